"""Other languages: every text has its translation, and nothing on a screen is left in English."""

from __future__ import annotations

import ast
import html
import re
from functools import cache
from unittest import mock
from weakref import WeakSet

import ipywidgets as widgets
import pytest
from babel.dates import format_date
from babel.messages.pofile import read_po
from babel.numbers import format_currency, format_decimal
from hypothesis import given
from hypothesis import strategies as st
from matplotlib.text import Text

import kitchenkit as kk
from kitchenkit import editing, language, languages
from kitchenkit.exercises import LESSONS, questions
from kitchenkit.panels.answer import AnswerBox
from kitchenkit.panels.base import Panel
from kitchenkit.panels.editor_recipe import RecipeEditor
from kitchenkit.panels.progress import DEMO, lesson_title, question_name
from kitchenkit.places import DATA_VARIABLE, PACKAGE, STATE
from kitchenkit.saving import SavingError

CODE = sorted(PACKAGE.rglob("*.py"))
# Every panel, found by itself: none may be forgotten here.
PANELS = [
    name for name in kk.__all__ if name.endswith("Panel") and issubclass(getattr(kk, name), Panel)
]
CATALOGUES = languages.catalogues()
KEYWORDS = languages.KEYWORDS


class _Brackets:
    """A language of which every word is known: each text in brackets of its own."""

    def gettext(self, text):
        return f"⟦{text}⟧"

    def pgettext(self, context, text):
        return f"⟦{text}⟧"

    def ngettext(self, one, many, n):
        return f"⟦{one if n == 1 else many}⟧"


@pytest.fixture
def brackets(monkeypatch):
    speech = language._Speech(language.ENGLISH)
    speech.texts = _Brackets()
    monkeypatch.setattr(language, "_speech", speech)


# What stays as it is in every language: symbols of units and currencies, and the scale's letters.
_SYMBOLS = "g kg mg ml l oz lb cm mm m C F kWh W kW h min s pH USD US EUR A4 CSV PDF HTML x"
_SYMBOLS = set(_SYMBOLS.split())


def left_over(shown: str) -> str:
    """The words outside all brackets."""
    before = None
    while before != shown:
        # The kit itself cuts a text short, with dots: the first step of a working, a long label.
        before, shown = shown, re.sub(r"⟦[^⟦⟧]*[⟧…]", " ", shown)
    return " ".join(word for word in re.findall(r"[^\W\d_]+\d?", shown) if word not in _SYMBOLS)


def _plain(markup: str, own=frozenset()) -> str:
    markup = re.sub(r"<style>.*?</style>|<svg.*?</svg>|<pre>.*?</pre>", " ", markup, flags=re.S)
    parts = [html.unescape(part) for part in re.split(r"<[^>]*>", markup)]
    return " ".join(part for part in parts if part.strip() not in own)


def seen(box, own=frozenset()) -> list[str]:
    """Every text that a widget shows or tells a screen reader, but the `own` words of people."""
    found = []
    if isinstance(box, widgets.HTML):
        found += [
            _plain(box.value, own),
            *re.findall(r'(?:aria-label|data-heading)="([^"]*)"', box.value),
        ]
    for name in ("description", "tooltip", "placeholder"):
        found.append(getattr(box, name, None) or "")
    if isinstance(box, widgets.Dropdown):
        found += [str(label) for label in box._options_labels]
    for inner in getattr(box, "children", ()):
        found += seen(inner, own)
    chart = getattr(box, "chart", None)
    if chart is not None:
        # Together, for a text may be broken into lines that stand one under the other.
        drawn = (text.get_text() for text in chart.figure.findobj(Text))
        found.append("\n".join(text for text in drawn if text not in own))
    return [html.unescape(text) for text in found if text and text not in own]


def _english(texts) -> list[str]:
    return sorted(
        {f"{left_over(text)}  <<< {text.strip()[:120]}" for text in texts if left_over(text)}
    )


@pytest.mark.parametrize("name", PANELS)
def test_no_word_of_a_panel_is_left_in_english(brackets, kit, name):
    panel = getattr(kk, name)(kit)
    own = _to_be_written(panel)
    texts = seen(panel, own)
    for control in panel.controls.values():
        if isinstance(control, widgets.Dropdown):
            values = [value for _, value in control._options_full]
            for value in values if len(values) < 6 else values[:: len(values) - 1]:
                control.value = value
                texts += seen(panel, own)
            panel.reset()
    assert _english(texts) == []


def test_every_lesson_and_question_has_a_name(brackets, kit):
    names = [lesson_title(lesson) for lesson in LESSONS]
    names += [question_name(one.key) for lesson in LESSONS for one in questions(kit, lesson)]
    assert _english(names) == []


def _to_be_written(panel) -> set[str]:
    """Cells of rows that a panel offers to a table, shown as they would stand in it; names."""
    if isinstance(panel, kk.ClassProgressPanel):
        return set(kk.class_summary(panel.kit.folder / DEMO).names)
    review = getattr(panel, "review", None)
    rows = (*review.bake_rows, *review.price_rows) if review else ()
    return {cell for row in rows for cell in row.values()}


# What is shown besides the panels: how it is made.
BOXES = {
    "Balance": lambda kit: kk.Balance(kit.recipes["carrot-oat-base"]),
    "ClassPrints": lambda kit: kk.ClassPrints(kk.ClassPanel(kit)),
    "FlavourRules": kk.FlavourRules,
    "KeepingTimes": lambda kit: kk.KeepingTimes(kit, *kit.keeping),
    "Ovens": kk.Ovens,
    "RecipeEditor": lambda kit: kk.RecipeEditor(kit.folder),
    "RecipeExchangePanel": kk.RecipeExchangePanel,
    "TableChooser": lambda kit: kk.TableChooser(folder=kit.folder),
    **{
        f"TableEditor-{name}": lambda kit, name=name: kk.TableEditor(name, kit.folder)
        for name in editing.TABLES
    },
    "YourNumbers": lambda kit: kk.YourNumbers(),
    "AnswerKey": kk.AnswerKey,
    "Sources": lambda kit: kk.Sources(kit, *kit.sources),
}


@pytest.mark.parametrize("name", BOXES)
def test_no_word_of_a_box_is_left_in_english(brackets, kit, name):
    box = BOXES[name](kit)
    if isinstance(box, RecipeEditor):
        box.pick.value = "carrot-oat-base"
    own = _own_words(kit)
    if isinstance(box, widgets.Widget):
        texts = [*seen(box, own), _plain(box._repr_mimebundle_()["text/html"], own)]
    else:
        texts = [_plain(box._repr_html_(), own)]
    assert _english(_without_citations(kit, texts)) == []


def _own_words(kit) -> set[str]:
    """What the tables and recipes hold, which their forms show as it is, alone or in a list."""
    found = set()
    for name in editing.TABLES:
        for row in editing.EditedTable(name, kit.folder).rows:
            found |= {*row.texts.values(), f"{row.number}: {row.label}"}
    found -= {word for table in editing.TABLES.values() for c in table for word in c.options}
    for key in editing.recipe_keys(kit.folder):
        lines = editing.EditedRecipe(key, kit.folder).lines
        found |= {key} | {cell for line in lines for cell in line.values()}
        found |= {f"{n}: {x['amount']} {x['ingredient']}" for n, x in enumerate(lines, 1)}
    found |= {f"{key}: {one.citation}"[:90] for key, one in kit.sources.items()}
    return found - {""}


def _without_citations(kit, texts) -> list[str]:
    """Nobody translates what a source is called."""
    for one in kit.sources.values():
        for said in (one.citation, one.citation[:75], one.key):  # a form shows its beginning
            texts = [text.replace(said, "") for text in texts]
    return texts


@pytest.mark.parametrize("lesson", LESSONS)
def test_no_word_of_a_question_is_left_in_english(brackets, kit, lesson):
    for question in questions(kit, lesson):
        box = AnswerBox(question)
        texts = seen(box)
        for typed in (
            "",
            "1",
            "9999",
            "12 wobbles",
            *(f"{slip.answer.magnitude}" for slip in question.slips),
        ):
            box.answer.value = typed
            box.check()
            box.help()
            texts += seen(box)
        texts += [question.working, question.hint, *(slip.say for slip in question.slips)]
        assert _english(texts) == []


@pytest.mark.parametrize(("n", "said"), [(1, "1 día"), (1.0, "1 día"), (1.5, "1,5 días")])
def test_a_fraction_is_many(n, said):
    with language.speaking("es_ES"):
        assert language.trn("{n} day", "{n} days", n) == said


def test_numbers_along_an_axis_are_written_as_the_language_does(kit):
    with language.speaking("es_ES"):
        panel = kk.CostPanel(kit, today=kit.today)
        marks = [text.get_text() for text in panel.chart.axes.get_xticklabels()]
    assert "0,5" in marks
    assert not [text for text in marks if "." in text]


# Which language, and its numbers and dates --------------------------------------------------------


@pytest.fixture
def fresh(monkeypatch):
    """As when a lesson is opened: no language chosen, no panel of another test listening."""
    monkeypatch.setattr(language, "_speech", None)
    monkeypatch.setattr(language, "_listening", WeakSet())
    monkeypatch.delenv(language.VARIABLE, raising=False)
    monkeypatch.delenv(DATA_VARIABLE, raising=False)


@pytest.fixture
def learner(fresh, monkeypatch, tmp_path):
    """A learner's own folder, as the launcher makes it."""
    (tmp_path / "data").mkdir()
    (tmp_path / STATE).mkdir()
    monkeypatch.setenv(DATA_VARIABLE, str(tmp_path / "data"))
    return tmp_path


def test_english_is_spoken_until_another_language_is_chosen(fresh):
    assert (language.current(), language.code()) == ("en_US", "en")
    language.use("es_US")
    assert (language.current(), language.code()) == ("es_US", "es")
    assert language.tr("How many pieces?") == "¿Cuántas piezas?"


def test_a_room_may_start_in_another_language(fresh, monkeypatch):
    monkeypatch.setenv(language.VARIABLE, "es_ES")
    assert language.current() == "es_ES"


@pytest.mark.parametrize(
    "name", ["xx_XX", "", "es_ES; rm", "../es", "de_DE", "es_ES\n", "nonsense"]
)
def test_a_language_without_a_catalogue_is_refused_and_nothing_changes(learner, name):
    language.use("es_US")
    for change in (language.use, language.keep):
        with pytest.raises(language.LanguageError, match="en_US, es_US, es_ES"):
            change(name)
    assert language.current() == "es_US"
    assert list((learner / STATE).iterdir()) == []


@pytest.mark.parametrize("name", ["xx_XX", "de_DE", "nonsense"])
def test_a_room_in_no_known_language_speaks_english(fresh, monkeypatch, name):
    monkeypatch.setenv(language.VARIABLE, name)
    assert language.current() == "en_US"


def test_a_language_is_spoken_for_a_while_and_through_a_fault(fresh):
    with language.speaking("es_ES"):
        assert language.current() == "es_ES"
        with pytest.raises(ZeroDivisionError), language.speaking("es_US"):
            raise ZeroDivisionError
        assert language.current() == "es_ES"
    assert language.current() == "en_US"


def test_the_kept_choice_outranks_the_room_s(learner, monkeypatch):
    assert language.keep("es_US")
    assert (learner / STATE / "language").read_text() == "es_US\n"
    monkeypatch.setenv(language.VARIABLE, "es_ES")
    assert language.current() == "es_US"


@pytest.mark.parametrize("content", [b"\xff\xfe\x00", b"", b"es", b"xx_XX\n", b"es_US" * 1000])
def test_a_damaged_choice_is_none(learner, content):
    (learner / STATE / "language").write_bytes(content)
    assert language.current() in ("en_US", "es")
    assert (language.code() == "es") == (content == b"es")


def test_a_folder_in_the_place_of_the_choice_is_none_and_is_told_of(learner):
    (learner / STATE / "language").mkdir()
    assert language.current() == "en_US"
    with pytest.raises(SavingError):
        language.keep("es_US")


def test_without_copies_of_one_s_own_nothing_is_kept(fresh, monkeypatch, tmp_path):
    assert not language.keep("es_US")
    monkeypatch.setenv(DATA_VARIABLE, str(tmp_path / "data"))  # tables alone
    assert not language.keep("es_US")
    assert list(tmp_path.iterdir()) == []


_speech = cache(language._Speech)
NUMBERS = st.floats(-1e9, 1e9).map(lambda value: round(value, 3) + 0.0)


@pytest.mark.parametrize("name", language.LANGUAGES)
@given(value=NUMBERS)
def test_numbers_are_written_as_the_unicode_locale_data_do(name, value):
    """Babel's own formatting, from the Unicode CLDR; Spain's four digits are not parted."""
    with mock.patch.object(language, "_speech", _speech(name)):
        said = language.num(value, ",.3f")
        whole = language.num(value)

    def due(number: float, pattern: str) -> str:
        written = format_decimal(number, pattern, locale=name)
        if name == "es_ES" and 1000 <= abs(number) < 10_000:
            return written.replace(".", "")
        return written

    assert said == due(value, "#,##0.000")
    assert whole == due(float(f"{value:.0f}"), "#,##0")


@pytest.mark.parametrize("name", language.LANGUAGES)
@given(when=st.dates())
def test_dates_and_days_are_written_as_the_unicode_locale_data_do(name, when):
    with mock.patch.object(language, "_speech", _speech(name)):
        said, named = language.day(when), language.weekday(when)
    assert said == (when.isoformat() if name == "en_US" else format_date(when, locale=name))
    assert named == format_date(when, "EEEE", locale=name)


def test_lists_are_joined_as_the_language_does(fresh):
    words = ["a", "b", "c"]
    assert [language.join_and(words[:n]) for n in range(4)] == ["", "a", "a and b", "a, b and c"]
    assert language.join_or(words) == "a, b or c"
    language.use("es_ES")
    assert [language.join_and(words[:n]) for n in range(4)] == ["", "a", "a y b", "a, b y c"]
    assert language.join_or(words) == "a, b o c"


def test_money_follows(fresh):
    money = kk.Money("1234.5", "USD")
    said = {}
    for name in language.LANGUAGES:
        language.use(name)
        said[name] = kk.say_money(money)
        assert said[name] == str(money) == format_currency(1234.5, "USD", locale=name)
    assert said["en_US"] == said["es_US"] != said["es_ES"]


# A lesson that changes its language ---------------------------------------------------------------


def test_choosing_turns_the_panels_and_is_kept(learner, kit):
    panel, choice = kk.ScalePanel(kit), kk.LanguageChoice()
    english = (panel.sentence, panel.table, panel.notes)
    panel.controls["way"].value = "servings"
    panel.controls["servings"].value = 40
    moved = panel.values()
    choice.choice.value = "es_ES"
    assert panel.sentence.startswith("Haz 2,5 veces la receta")
    assert panel.values() == moved
    assert (learner / STATE / "language").read_text() == "es_ES\n"
    assert "hablan español" in choice._said.value
    panel.step_back()  # the moves made in the other language are remembered
    panel.step_back()
    choice.choice.value = "en_US"
    assert (panel.sentence, panel.table, panel.notes) == english
    assert (learner / STATE / "language").read_text() == "en_US\n"


def test_a_choice_that_cannot_be_kept_is_told(learner, kit):
    (learner / STATE / "language").mkdir()
    choice = kk.LanguageChoice()
    choice.choice.value = "es_US"
    assert language.current() == "es_US"
    assert "No se pudo guardar" in choice._said.value


def test_the_list_shows_a_language_that_something_else_chose(fresh):
    choice = kk.LanguageChoice()
    language.use("es_US")
    assert choice.choice.value == "es_US"


@pytest.mark.parametrize("name", PANELS)
def test_a_panel_told_in_spanish_and_back_is_as_it_was(fresh, kit, name):
    panel = getattr(kk, name)(kit)
    before, values = (panel.sentence, panel.table, panel.notes), panel.values()
    language.use("es_US")
    assert panel.values() == values
    assert panel.sentence != before[0]
    language.use("en_US")
    assert panel.values() == values
    assert (panel.sentence, panel.table, panel.notes) == before


def test_an_answer_box_asks_anew_and_keeps_what_was_typed(learner, kit):
    box = kk.ask(kit, "01-measure", "oats")
    asked = box.question.ask
    box.answer.value, box.unit.value = "9999", "oz"
    box.check()
    box.help()
    language.use("es_ES")
    assert (box.answer.value, box.unit.value) == ("9999", "oz")
    assert box.question.ask.startswith("Una taza de avena")
    assert "Todavía no" in box._said.value
    assert "Pista:" in box._help.value
    box.answer.value, box.unit.value = "202,5", "g"
    box.check()
    assert box.verdict.state == "right"
    language.use("en_US")
    assert box.question.ask == asked
    assert "Right." in box._said.value
    assert box.record.solved


def test_a_name_being_typed_is_kept(learner):
    box = kk.YourNumbers()
    box.name.value, box.own.value = "Tansy", True
    language.use("es_US")
    assert (box.name.value, box.own.value) == ("Tansy", True)
    assert box.name.description == "Tu nombre o apodo"
    box.keep()
    assert "tus propios números" in box._said.value
    language.use("en_US")
    assert "Kept: Tansy, your own numbers." in html.unescape(box._said.value)


# The catalogues --------------------------------------------------------------------------------


@pytest.mark.parametrize("path", CODE, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_texts_are_handed_over_whole(path):
    """A text made up in the call, of pieces or of choices, would never be found in a catalogue."""
    nodes = list(ast.walk(ast.parse(path.read_text(encoding="utf-8"))))
    for node in nodes:
        if isinstance(node, ast.JoinedStr):  # what stands inside one is not looked for
            for inner in ast.walk(node):
                if isinstance(inner, ast.Call) and getattr(inner.func, "id", "") in KEYWORDS:
                    assert not isinstance(inner.args[0], ast.Constant), (path.name, inner.lineno)
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") in KEYWORDS:
            places = {"trn": [0, 1], "trc": [0, 1], "si": [2], "celsius": [1]}
            for given in (node.args[at] for at in places.get(node.func.id, [0])):
                if not (isinstance(given, ast.Constant) and isinstance(given.value, str)):
                    made_up = (ast.JoinedStr, ast.IfExp, ast.BinOp)
                    assert not isinstance(given, made_up), (path.name, node.lineno)


@pytest.mark.parametrize("path", CATALOGUES, ids=lambda path: path.stem)
class TestCatalogue:
    def test_it_is_in_step_and_whole(self, path):
        content, missing = languages.brought_up_to_date(path)
        assert content == path.read_bytes(), "run: python -m kitchenkit.languages"
        assert missing == 0

    def test_translations_hold_the_same_names_and_no_more(self, path):
        with path.open("rb") as file:
            for message in read_po(file):
                if message.id:
                    of_all = message.id if isinstance(message.id, tuple) else (message.id,)
                    wanted = set().union(*(language.blanks(one) for one in of_all))
                    assert not message.fuzzy, message.id  # it would not be shown
                    for one in languages._strings(message):
                        # A count of one may be a word.
                        assert language.blanks(one) - wanted == set(), message.id
                        assert wanted - language.blanks(one) <= {"n"}, message.id
                        assert one.strip() == one, message.id
