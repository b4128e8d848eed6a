"""Freezer labels: every word on its label or told elsewhere, exact sizes, nothing left blank."""

from __future__ import annotations

import datetime
import io
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader
from test_printing import HOSTILE, Seen, squeezed

import kitchenkit as kk
from kitchenkit import language
from kitchenkit.keeping import COLD
from kitchenkit.kit import ALLERGENS
from kitchenkit.labels import LABEL_MM, Label, freezer_labels, label_for
from kitchenkit.language import day, tr
from kitchenkit.lettering import width_mm
from kitchenkit.pdf import print_pdf
from kitchenkit.printing import print_html
from kitchenkit.sheets import PAPERS
from kitchenkit.typesetting import lay_card, place_of_card

MADE = "2026-11-25"


def text_of(document) -> list[str]:
    return [page.extract_text() for page in PdfReader(io.BytesIO(print_pdf(document))).pages]


class TestWhatALabelSays:
    def test_all_of_it_on_paper(self, base):
        label = label_for(base, MADE, "2027-01-24", 4)
        [text] = text_of(freezer_labels([label]))
        for words in (
            "carrot-and-oat base batter",
            "Best by 2027-01-24",
            "Made 2026-11-25 · 4 portions",
            "In the data: milk, egg, wheat. Read every label.",
            "Thaw in the refrigerator, still wrapped.",
            "Print at actual size (100 %)",
        ):
            assert words in text

    def test_allergens_are_those_of_the_data(self, kit, base):
        found = {word for line in base.lines for word in line.ingredient.allergens}
        assert label_for(base, MADE).allergens == tuple(w for w in ALLERGENS if w in found)

    @pytest.mark.parametrize("allergens", [(), ("wheat",), ALLERGENS])
    def test_no_label_promises_that_something_is_not_in_it(self, allergens):
        said = " ".join(Label("cake", MADE, allergens=allergens).lines).casefold()
        assert "read every label" in said
        assert "free" not in said.replace("freezer", "")
        assert "safe" not in said

    def test_dates_come_as_dates_or_their_text(self):
        label = Label("cake", datetime.date(2026, 11, 25), datetime.datetime(2027, 1, 2, 9, 30))
        assert label == Label("cake", "2026-11-25", "2027-01-02")
        assert "Best by: ____" in " ".join(Label("cake", MADE).lines)

    @pytest.mark.parametrize(
        ("made", "best", "portions", "words"),
        [
            ("25.11.2026", None, None, "is no date"),
            (MADE, "soon", None, "is no date"),
            (MADE, "2026-11-24", None, "before the day it is made"),
            (MADE, None, 0, "above 0"),
            (MADE, None, float("nan"), "above 0"),
            (MADE, None, "four", "above 0"),
        ],
    )
    def test_wrong_words_are_refused(self, made, best, portions, words):
        with pytest.raises(kk.KitchenError, match=words):
            Label("cake", made, best, (), portions)


class TestSheets:
    @pytest.mark.parametrize("large", [False, True])
    @pytest.mark.parametrize("paper", PAPERS)
    def test_the_grid_stands_within_the_paper(self, paper, large):
        sheet = freezer_labels([(Label("cake", MADE), 30)], paper, large)
        assert (sheet.across, sheet.down) == ((2, 5) if large else (2, 7))
        width, height = LABEL_MM[large]
        [cards] = sheet.sheets[0].blocks
        assert (cards.width_mm, cards.height_mm) == (width, height)
        corners = [place_of_card(sheet.paper, cards.size, at) for at in range(sheet.per_sheet)]
        assert len(set(corners)) == sheet.per_sheet
        for left, top in corners:
            assert left >= 9
            assert top >= 9
            assert left + width <= sheet.paper.width_mm - 9 + 1e-9
            assert top + height <= sheet.paper.height_mm - 9 + 1e-9
        assert corners[1][0] - corners[0][0] == width
        assert corners[2][1] - corners[0][1] == pytest.approx(height)

    @pytest.mark.parametrize(("count", "pages"), [(1, 1), (14, 1), (15, 2), (28, 2), (29, 3)])
    def test_as_many_as_asked(self, count, pages):
        sheet = freezer_labels([(Label("cake", MADE), count)])
        texts = text_of(sheet)
        assert len(texts) == sheet.label_sheets == pages
        assert sum(text.count("Made 2026-11-25") for text in texts) == count
        assert print_html(sheet).count('class="card"') == count

    def test_a_mixed_sheet(self):
        one, two = Label("carrot", MADE), Label("cocoa", MADE)
        [text] = text_of(freezer_labels([(one, 3), two, (two, 0)]))
        assert text.count("carrot") == 3
        assert text.count("cocoa") == 1

    @pytest.mark.parametrize("labels", [[], [(Label("cake", MADE), 0)]])
    def test_no_label_is_said(self, labels):
        sheet = freezer_labels(labels)
        assert "No label is chosen yet." in text_of(sheet)[0]
        assert "No label is chosen yet." in print_html(sheet)

    @pytest.mark.parametrize("count", [-1, 1.5, True, "3", 501])
    def test_wrong_counts_are_refused(self, count):
        with pytest.raises(kk.KitchenError, match=r"labels\?|more than 500"):
            freezer_labels([(Label("cake", MADE), count)])

    def test_what_is_no_label_is_refused(self):
        with pytest.raises(kk.KitchenError, match="is no label"):
            freezer_labels(["cake"])


def fits_its_label(label: Label, large: bool, shown) -> None:
    width, height = LABEL_MM[large]
    for field in lay_card(label.card(large), width, shown):
        assert field.top + field.step * len(field.lines) <= height
        for line in field.lines:
            assert width_mm(line, field.size, field.bold) <= width - 6 + 1e-6
        assert field.size >= 7.5


class TestHostileNames:
    @pytest.mark.parametrize("large", [False, True])
    @pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
    def test_harmless_readable_and_in_full_somewhere(self, text, large):
        label = Label(text, MADE, "2026-12-25", (*ALLERGENS, text), 2, advice=text)
        fits_its_label(label, large, str)
        sheet = freezer_labels([label], large=large)
        seen = Seen(print_html(sheet))
        for line in label.lines:
            assert squeezed(line) in seen.text
        assert not {"script", "img", "b"} & {tag for tag, _ in seen.tags}
        assert len(text_of(sheet)) >= (2 if sheet.shortened else 1)

    def test_no_name_is_said(self):
        assert "no name" in text_of(freezer_labels([Label("", MADE)]))[0]

    def test_a_part_of_the_allergens_is_never_shown_as_all(self):
        label = Label("cake", MADE, allergens=(*ALLERGENS, "a" * 300))
        first, full = text_of(freezer_labels([label]))
        assert "too many to print here, see the full list" in first
        assert "wheat" not in first
        assert "sesame" in full

    def test_all_nine_allergens_stand_on_every_label(self):
        for large in (False, True):
            sheet = freezer_labels([Label("cake", MADE, None, ALLERGENS)], large=large)
            assert not sheet.shortened
            text = squeezed(text_of(sheet)[0])
            assert all(squeezed(word) in text for word in ALLERGENS)

    @given(st.text(max_size=250), st.text(max_size=250), st.booleans())
    def test_any_text_fits_its_label(self, name, thaw, large):
        label = Label(name, MADE, "2027-01-01", ALLERGENS, 3, thaw)
        fits_its_label(label, large, str)


@pytest.mark.parametrize("speech", list(language.LANGUAGES))
@pytest.mark.parametrize("large", [False, True])
class TestInEveryLanguage:
    """Words are longer in some languages, and a label's size is not."""

    def test_the_advice_and_the_dates_stand_on_it_and_every_allergen_is_printed(
        self, kit, speech, large
    ):
        with language.speaking(speech):
            panel = kk.LabelsPanel(kit, today=MADE)
            label = replace(panel._sheet.labels[0], allergens=ALLERGENS, portions=16)
            sheet = freezer_labels([label], large=large)
            first, *rest = map(squeezed, text_of(sheet))
            assert squeezed(tr("Thaw in the refrigerator, still wrapped.")) in first
            assert squeezed(day(label.best_by)) in first
            assert squeezed(day(label.made_on)) in first
            # All nine on one label, or none of them there and all on the sheet in full.
            place = rest[-1] if sheet.shortened else first
            assert all(squeezed(tr(allergen)) in place for allergen in ALLERGENS)
            assert not sheet.shortened or not any(squeezed(tr(one)) in first for one in ALLERGENS)

    def test_no_flavour_is_too_long(self, kit, speech, large):
        with language.speaking(speech):
            panel = kk.LabelsPanel(kit, today=MADE)
            panel.controls["large"].value = large
            for _, what in panel.controls["what"].options:
                panel.controls["what"].value = what
                assert not panel._sheet.shortened, what

    def test_what_needs_cold_says_so_whatever_it_is_said_to_keep_like(self, kit, speech, large):
        with language.speaking(speech):
            panel = kk.LabelsPanel(kit, today=MADE)
            panel.controls["what"].value = "+cheese-chive"
            for _, like in panel.controls["product"].options:
                panel.controls["product"].value = like
                if like != "raw-batter":
                    assert tr(COLD) in panel.notes, like

    def test_what_is_not_kept_anywhere_is_sent_nowhere(self, kit, speech, large):
        with language.speaking(speech):
            panel = kk.LabelsPanel(kit, today=MADE)
            panel.controls["product"].value = "raw-batter"
            for place in ("freezer", "fridge"):
                panel.controls["place"].value = place
                assert tr(place) in panel._sentence.value
                no_longer = tr(
                    "{product}, {place}: {limit}. No label makes that longer; choose the fridge or "
                    "the freezer."
                )
                assert no_longer.rpartition(". ")[2] not in panel._sentence.value

    def test_too_many_allergens_are_said_so_to_the_last_word(self, speech, large):
        label = Label("cake", MADE, allergens=("a" * 300,))
        with language.speaking(speech):
            fields = lay_card(label.card(large), LABEL_MM[large][0])
            said = tr("In the data: too many to print here, see the full list. Read every label.")
            assert squeezed(said) in [squeezed("".join(field.lines)) for field in fields]


def test_a_label_made_in_one_language_is_printed_in_another(base):
    label = label_for(base, MADE, "2027-01-24", 4)
    with language.speaking("es_ES"):
        text = " ".join(text_of(freezer_labels([label]))[0].split())
    for words in (
        "Mejor antes del 24 ene 2027",
        "Hecho el 25 nov 2026 · 4 porciones",
        "leche, huevo, trigo",
        "Lee todas las etiquetas.",
    ):
        assert words in text
    assert "Best by" not in text
