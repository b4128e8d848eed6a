"""Other languages: every text has its translation, and nothing on a screen is left in English."""

from __future__ import annotations

import ast
import html
import re

import ipywidgets as widgets
import pytest
from babel.messages.pofile import read_po
from matplotlib.text import Text

import kitchenkit as kk
from kitchenkit import editing, language, languages
from kitchenkit.exercises import LESSONS, questions
from kitchenkit.panels.answer import AnswerBox
from kitchenkit.panels.base import Panel
from kitchenkit.panels.progress import DEMO, lesson_title, question_name
from kitchenkit.panels.editor_recipe import RecipeEditor
from kitchenkit.places import PACKAGE

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
        texts = [text.replace(one.citation[:75], "").replace(one.key, "") for text in texts]
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
