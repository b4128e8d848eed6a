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
from kitchenkit import language, languages
from kitchenkit.exercises import LESSONS, questions
from kitchenkit.panels.answer import AnswerBox
from kitchenkit.panels.base import Panel
from kitchenkit.places import PACKAGE


CODE = sorted(PACKAGE.rglob("*.py"))
# Every panel, found by itself: none may be forgotten here.
PANELS = [
    name for name in kk.__all__ if name.endswith("Panel") and issubclass(getattr(kk, name), Panel)
]
CATALOGUES = languages.catalogues()


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
        before, shown = shown, re.sub(r"⟦[^⟦⟧]*⟧", " ", shown)
    return " ".join(word for word in re.findall(r"[^\W\d_]+\d?", shown) if word not in _SYMBOLS)


def _plain(markup: str) -> str:
    markup = re.sub(r"<style>.*?</style>|<svg.*?</svg>", " ", markup, flags=re.S)
    return html.unescape(re.sub(r"<[^>]*>", " ", markup))


def seen(box) -> list[str]:
    """Every text that a widget shows or tells a screen reader."""
    found = []
    if isinstance(box, widgets.HTML):
        found += [
            _plain(box.value),
            *re.findall(r'(?:aria-label|data-heading)="([^"]*)"', box.value),
        ]
    for name in ("description", "tooltip", "placeholder"):
        found.append(getattr(box, name, None) or "")
    if isinstance(box, widgets.Dropdown):
        found += [str(label) for label in box._options_labels]
    for inner in getattr(box, "children", ()):
        found += seen(inner)
    chart = getattr(box, "chart", None)
    if chart is not None:
        found += [text.get_text() for text in chart.figure.findobj(Text)]
    return [html.unescape(text) for text in found if text]


def _english(texts) -> list[str]:
    return sorted(
        {f"{left_over(text)}  <<< {text.strip()[:120]}" for text in texts if left_over(text)}
    )


@pytest.mark.parametrize("name", PANELS)
def test_no_word_of_a_panel_is_left_in_english(brackets, kit, name):
    panel = getattr(kk, name)(kit)
    texts = seen(panel)
    for control in panel.controls.values():
        if isinstance(control, widgets.Dropdown):
            values = [value for _, value in control._options_full]
            for value in values if len(values) < 6 else values[:: len(values) - 1]:
                control.value = value
                texts += seen(panel)
            panel.reset()
    assert _english(texts) == []


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


# The catalogues --------------------------------------------------------------------------------


@pytest.mark.parametrize("path", CODE, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_texts_are_handed_over_whole(path):
    """A text made up in the call, of pieces or of choices, would never be found in a catalogue."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") in languages.KEYWORDS:
            count = {"trn": 2, "trc": 2}.get(node.func.id, 1)
            for given in node.args[:count]:
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
                    for one in languages._strings(message):
                        # A count of one may be a word.
                        assert language.blanks(one) - wanted == set(), message.id
                        assert wanted - language.blanks(one) <= {"n"}, message.id
                        assert one.strip() == one, message.id
