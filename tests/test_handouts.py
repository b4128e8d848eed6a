"""Handouts: every amount on its page, one page each where that is promised, and no answer given."""

from __future__ import annotations

import io
import re
from dataclasses import replace

import pytest
from pypdf import PdfReader
from test_printing import HOSTILE, Seen, squeezed

import kitchenkit as kk
from kitchenkit.exercises import LESSONS
from kitchenkit.handouts import (
    HomePage,
    PanUse,
    StationPage,
    amounts_table,
    cost_line,
    handout,
    kept_line,
    worksheet,
)
from kitchenkit.labels import label_for
from kitchenkit.pdf import print_pdf
from kitchenkit.printing import print_html
from kitchenkit.recipe import Line
from kitchenkit.sheets import PAPERS
from kitchenkit.typesetting import lay_document
from kitchenkit.units import Q

DAY = "2026-11-25"
PANS = (PanUse("muffin tin", 1, Q(2.9, "cm"), 18, (18, 26), wells=12),)
OVEN = "350 °F (177 °C)"


@pytest.fixture(scope="module")
def twelve(kit):
    """The base batter with a twelfth line."""
    base = kit.recipes["carrot-oat-base"]
    return replace(base, lines=(*base.lines, Line(kit.ingredients["raisins"], Q(0.5, "cup"))))


def pieces(kit, recipe) -> tuple[StationPage, HomePage]:
    kept = tuple(kk.keep_by(kit, "muffins", place, DAY) for place in ("counter", "freezer"))
    return (
        StationPage("Station 3", recipe, "two students", pans=PANS, oven=OVEN),
        HomePage(
            recipe,
            pans=PANS,
            oven=OVEN,
            cost=kk.cost(kit, recipe, today=DAY),
            kept=kept,
            label=label_for(recipe, DAY, kept[1].by, 2),
        ),
    )


def text_of(document) -> list[str]:
    return [page.extract_text() for page in PdfReader(io.BytesIO(print_pdf(document))).pages]


class TestOnePageEach:
    @pytest.mark.parametrize("tools", ["us", "metric", "both"])
    @pytest.mark.parametrize("large", [False, True])
    @pytest.mark.parametrize("paper", PAPERS)
    def test_a_recipe_of_twelve_lines(self, kit, twelve, paper, large, tools):
        document = handout(kit, *pieces(kit, twelve), tools=tools, large=large, paper=paper)
        assert len(twelve.lines) == 12
        assert len(text_of(document)) == 2
        for laid in lay_document(document):
            assert laid.size >= (13.5 if large else 11)

    def test_every_flavour_in_usual_print(self, kit, base):
        for flavour in kit.flavours.values():
            whole = flavour.applied_to(base).whole
            assert len(text_of(handout(kit, *pieces(kit, whole), paper="Letter"))) == 2, whole.name

    def test_a_longer_one_goes_on_and_says_so(self, kit, base):
        long = replace(base, lines=base.lines * 6)
        texts = text_of(handout(kit, StationPage("Station 1", long)))
        assert len(texts) > 1
        assert f"This sheet takes {len(texts)} pages." in texts[0]
        assert "(page 2)" in texts[1]
        assert "cups, spoons" in texts[1]
        assert sum(text.count("rolled oats") for text in texts) == 6


class TestWhatItSays:
    @pytest.fixture
    def pages(self, kit, twelve):
        return text_of(handout(kit, *pieces(kit, twelve)))

    def test_every_amount_in_both_tools(self, twelve, pages):
        for page in pages:
            for line in twelve.lines:
                row = f"{line.ingredient.name}{f' ({line.note})' if line.note else ''}"
                assert f"{row} {line.say('us')} {line.say('metric')}" in page

    def test_a_station_tells_who_pans_depth_window_and_cautions(self, pages):
        station = pages[0].replace("\n", " ")
        for words in (
            "Station 3: carrot-and-oat base batter",
            "Makes 16 portions; two students",
            "Oven: 350 °F (177 °C).",
            "1 × muffin tin, 12 wells filled, batter 2.9 cm (1 1/8 in) deep",
            "look from 18 min on, done most likely between 18 and 26 min",
            "In the data: milk (plain yogurt); egg (large egg); wheat (all-purpose flour). Read",
            "raw flour and raw eggs can carry germs",
            "Oven, racks and pans burn",
        ):
            assert words in station

    def test_the_page_to_take_home_tells_cost_and_dates(self, kit, twelve, pages):
        home = pages[1].replace("\n", " ")
        found = kk.cost(kit, twelve, today=DAY)
        kept = kk.keep_by(kit, "muffins", "freezer", DAY)
        assert f"Costs {found.serving} a portion, {found.batch} the batch (USD;" in home
        assert "noted 2026-11-10" in home
        assert "the discount store" in home
        assert f"in the freezer until {kept.by} (for its best)" in home
        assert home.count(f"Best by {kept.by}") == 2
        assert "throw it out" in home
        assert "free" not in home.casefold().replace("freezer", "")

    def test_one_kind_of_tools(self, twelve):
        us, metric = (amounts_table(twelve, tools) for tools in ("us", "metric"))
        assert us.headings == ("what goes in", "cups, spoons")
        assert metric.headings == ("what goes in", "metric")
        assert metric.rows[0][1] == "188 g"  # 1 1/2 cups of flour at 125 g (USDA SR, 20081)

    def test_a_topping_says_when_it_goes_on(self, kit, base):
        flavour = next(x for x in kit.flavours.values() if x.applied_to(base).finish)
        made = flavour.applied_to(base)
        names = [row[0] for row in amounts_table(made.whole).rows]
        for line in made.finish:
            assert any(line.ingredient.name in name and line.when in name for name in names)

    def test_a_bare_recipe_becomes_a_page_to_take_home(self, kit, base):
        [text] = text_of(handout(kit, base, on=DAY))
        assert f"Costs {kk.cost(kit, base, today=DAY).serving} a portion" in text
        [text] = text_of(handout(replace(kit, prices={}), base))
        assert "Costs" not in text

    def test_what_has_no_price_is_said(self, kit, base):
        flour = base.line("flour").ingredient
        unpriced = replace(flour, key="teff-flour", name="teff flour")
        recipe = replace(base, lines=(*base.lines, Line(unpriced, Q(1, "cup"))))
        said = cost_line(kk.cost(kit, recipe, today=DAY))
        assert "Costs at least " in said
        assert f"No price for {unpriced.name}." in said

    def test_hours_are_no_date(self, kit):
        said = kept_line([kk.keep_by(kit, "cream cheese topped", "counter", DAY)])
        assert "on the counter 2 hours" in said
        assert DAY not in said

    def test_minutes_may_be_quantities(self):
        use = PanUse("loaf pan", 2, None, Q(0.75, "hour"), (Q(45, "min"), Q(1, "hour")))
        assert str(use) == (
            "2 × loaf pan; look from 45 min on, done most likely between 45 and 60 min."
        )


class TestWrongPieces:
    def test_each_is_refused_plainly(self, kit, base):
        for arguments, options, words in (
            ((), {}, "nothing to hand out"),
            (("carrot",), {}, "is no StationPage"),
            ((base,), {"tools": "imperial"}, "Tools 'imperial'"),
            ((base,), {"paper": "A5"}, "A4 or Letter"),
            ((base,), {"on": "today"}, "is no date"),
        ):
            with pytest.raises(kk.KitchenError, match=words):
                handout(kit, *arguments, **options)

    @pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
    def test_hostile_words_are_harmless(self, kit, base, text):
        recipe = replace(base, name=text, note=text, serving=text)
        station = StationPage(text, recipe, text, text, oven=text, notes=(text,), care=(text,))
        home = HomePage(recipe, text, label=label_for(recipe, DAY), notes=(text,))
        document = handout(kit, station, home, title=text)
        seen = Seen(print_html(document))
        assert not {"script", "img", "b", "a"} & {tag for tag, _ in seen.tags}
        assert len(text_of(document)) >= 2


class TestWorksheet:
    @pytest.mark.parametrize("lesson", LESSONS)
    def test_questions_without_answers_and_their_key(self, kit, lesson):
        questions = kk.questions(kit, lesson)
        sheet = squeezed("".join(text_of(worksheet(questions, title=lesson))))
        key = squeezed("".join(text_of(worksheet(questions, key=True, title=lesson))))
        for one in questions:
            assert squeezed(one.ask) in sheet
            assert squeezed(one.ask) in key
            assert squeezed(one.working) in key
            for given in (one.working, one.hint, *(slip.say for slip in one.slips)):
                assert squeezed(given) not in sheet
            assert all(squeezed(slip.say) in key for slip in one.slips)
        asked = squeezed("".join(one.ask for one in questions))
        rest = sheet
        for one in questions:
            rest = rest.replace(squeezed(one.ask), "")
        assert asked
        assert not re.search(r"\d", re.sub(r"Question\d+|^0\d-", "", rest))

    def test_there_are_lines_to_write_on(self, kit):
        questions = kk.questions(kit, "01-measure")
        [laid] = lay_document(worksheet(questions))
        assert len(laid.pages[0].strokes) == 3 * len(questions)
        assert print_html(worksheet(questions)).count("class=blank") == 3 * len(questions)
        assert print_html(worksheet(questions, key=True)).count("class=blank") == 0

    def test_no_question_is_said(self):
        with pytest.raises(kk.KitchenError, match="no question"):
            worksheet([])
