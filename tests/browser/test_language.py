"""The four core lessons in Spanish, chosen on the page: the panels follow at once, and stay so."""

import re

import pytest
from playwright.sync_api import expect

import kitchenkit as kk
from kitchenkit import language

from . import lab
from .lab import press
from .test_lessons import MOVES, PANELS, due, look, move, wait_for

CORE = ["02-scale", "03-pans", "05-cost", "07-freezer"]
SPAIN = "es_ES"
_CODES, _NAMES = list(language.LANGUAGES), list(language.LANGUAGES.values())


def choose(lesson: lab.LessonPage, code: str) -> None:
    """Go through the list of languages by keyboard, to the one wanted."""
    choice = lesson.page.locator("select", has_text="Español").first
    choice.focus()
    wanted = _CODES.index(code)
    while (at := _NAMES.index(choice.input_value())) != wanted:
        forward = at < wanted
        choice.press("ArrowDown" if forward else "ArrowUp")
        expect(choice).to_have_value(_NAMES[at + 1 if forward else at - 1])
    with language.speaking(code):  # said once the choice is kept
        said = language.tr(
            "The panels speak English now. Other tables follow when the lesson is opened again."
        )
    told = lesson.page.get_by_role("status").get_by_text(said, exact=True)
    expect(told).to_be_visible(timeout=lab.PATIENCE * 1000)


@pytest.fixture
def in_spanish(run_lesson):
    """Choose Spanish in a lesson; afterwards it speaks English again."""
    chosen = []

    def in_spanish(name: str) -> lab.LessonPage:
        lesson = run_lesson(name)
        for place in (place for place in PANELS if place.lesson == name):
            press(lesson.cell(place.cell).locator(".kk-panel"), "Start again")
        chosen.append(lesson)
        choose(lesson, SPAIN)
        return lesson

    yield in_spanish
    for lesson in chosen:
        choose(lesson, _CODES[0])


@pytest.mark.parametrize("name", CORE)
def test_a_core_lesson_speaks_spanish(in_spanish, name, kit):
    lesson = in_spanish(name)
    with language.speaking(SPAIN):
        for place in (place for place in PANELS if place.lesson == name):
            panel = lesson.cell(place.cell).locator(".kk-panel")
            twin = getattr(kk, place.name)(kit, **place.options())
            wait_for(lesson, panel, due(twin, panel))
            for control, keys in MOVES[place.name]:
                move(lesson, panel, twin, control, keys)
                wait_for(lesson, panel, due(twin, panel))
            assert panel.locator(".kk-title").inner_text() == twin.name
            assert panel.locator("p.kk-say").first.get_attribute("lang") == "es"
            # As Spain writes them: a comma before decimals, a point before thousands only.
            shown = " ".join(cell for row in look(panel).table for cell in row)
            assert not re.search(r"\d\.\d{1,2}(?!\d)", shown)
    for size in (lab.PHONE, lab.DESK):
        assert lesson.cut_off(size) == []


@pytest.mark.parametrize("name", CORE[:1])
def test_the_choice_is_kept_for_the_next_lesson(in_spanish, address, kit, name):
    lesson = in_spanish(name)
    following = lab.LessonPage(lesson.page.context, address, CORE[1])
    title = following.page.locator(".kk-panel.jupyter-widgets .kk-title").first
    with language.speaking(SPAIN):
        expect(title).to_have_text(kk.SwapPanel(kit).name)
    assert following.faults == []
    following.leave()
