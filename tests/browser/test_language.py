"""The four core lessons in Spanish, chosen on the page: the panels follow at once, and stay so."""

import re

import pytest
from playwright.sync_api import expect

import kitchenkit as kk
from kitchenkit import language

from . import lab
from .test_lessons import MOVES, PANELS, due, look, move, wait_for

CORE = ["02-scale", "03-pans", "05-cost", "07-freezer"]
SPAIN = "es_ES"


@pytest.fixture(scope="module")
def page_of(browser, tmp_path_factory):
    """Pages of a learner's own server; lesson 02 was open in English when they chose Spanish."""
    context = browser.new_context()
    with lab.serving(tmp_path_factory.mktemp("aprende")) as address:
        first = lab.LessonPage(context, address, CORE[0])
        assert "Scale the batter" in first.page.locator(".kk-title").all_inner_texts()
        choice = first.page.locator("select", has_text="Español").first
        choice.focus()
        for wanted in list(language.LANGUAGES.values())[1:]:
            choice.press("ArrowDown")
            expect(choice).to_have_value(wanted)

        yield lambda name: first if name == CORE[0] else lab.LessonPage(context, address, name)
    context.close()


@pytest.mark.parametrize("name", CORE)
def test_a_core_lesson_speaks_spanish(page_of, name, kit):
    lesson = page_of(name)
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
    assert lesson.faults == []
    if name != CORE[0]:
        lesson.page.close()
