"""An instructor prepares a class in a folder of their own: fewer students, another sheet."""

import io
import subprocess
import sys

import pytest
from pypdf import PdfReader

import kitchenkit as kk
from kitchenkit.places import PACKAGE

from . import lab
from .test_lessons import due, look, move, wait_for
from .test_progress import cell_of

NAME = "instructor/prepare-a-class"


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("class") / "winter class"


@pytest.fixture(scope="module")
def lesson(browser, folder):
    """The lesson in a class folder, as the two commands make and open it."""
    command = [sys.executable, "-m", "kitchenkit", "class-folder", str(folder)]
    subprocess.run(command, check=True, cwd=PACKAGE.parent, capture_output=True, timeout=120)
    with lab.serving(folder) as address:
        context = browser.new_context()
        opened = lab.LessonPage(context, address, NAME)
        yield opened
        assert opened.faults == []
        context.close()


@pytest.fixture
def panel(lesson):
    lesson.page.set_viewport_size(lab.DESK)
    found = lesson.cell(cell_of(NAME, "evening = kk.ClassPanel(")).locator(".kk-panel")
    lab.press(found, "Start again")
    return found


@pytest.fixture
def twin(kit):
    return kk.ClassPanel(kit)


def keys(lesson, panel, twin, name, pressed):
    for key in pressed:
        move(lesson, panel, twin, name, key)
    wait_for(lesson, panel, due(twin, panel))


def test_twelve_students_at_six_stations(lesson, panel, twin):
    """The numbers move the sentence, the picture, the timetable and the shopping."""
    wait_for(lesson, panel, due(twin, panel))
    sixteen = look(panel)
    keys(lesson, panel, twin, "students", ["ArrowLeft"] * 4)
    keys(lesson, panel, twin, "stations", ["ArrowLeft"] * 2)
    twelve = look(panel)
    assert twelve.sentence.startswith("12 students at 6 stations bake 72 servings")
    assert twelve.table != sixteen.table
    assert twelve.alt == twelve.sentence

    keys(lesson, panel, twin, "sheet", ["ArrowDown"] * 3)
    shopping = look(panel)
    assert shopping.table[0] == ["what", "aisle", "packages", "where", "pay", "price of"]
    assert shopping.table[-1][0] == "all of it"
    keys(lesson, panel, twin, "students", ["ArrowRight"] * 4)
    more = look(panel)
    assert more.table != shopping.table
    flour = [row[2] for row in more.table if row[0] == "all-purpose flour"]
    assert flour == [row[2] for row in twin.table if row[0] == "all-purpose flour"]


def test_the_handout_is_saved_and_opens_as_pages(lesson, browser, folder):
    """What stands in the panel above is what a button writes beside the instructor's data."""
    prints = lesson.cell(cell_of(NAME, "kk.ClassPrints(")).locator(".jp-OutputArea-output")
    said = prints.locator("[role=status]")
    for kind in ("PDF", "HTML"):
        lab.press(prints, f"Save as {kind}")
        lesson.until(
            lambda k=kind: said.inner_text().endswith(f".{k.lower()}"),
            lambda: f"not saved: {said.all_inner_texts()}",
        )
    pdf, page = (next((folder / "to-print").glob(f"*.{kind}")) for kind in ("pdf", "html"))
    stations = PdfReader(pdf).pages
    assert "Station 1" in stations[0].extract_text()
    context = browser.new_context()
    sheet = context.new_page()
    sheet.goto(page.as_uri())
    assert sheet.get_by_role("heading", name="Station 1").count() == 1
    assert sheet.get_by_text("Read every label").count() >= 1
    printed = PdfReader(io.BytesIO(sheet.pdf(prefer_css_page_size=True)))
    assert len(printed.pages) == len(stations)
    context.close()


def test_a_class_that_does_not_fit_says_what_helps(lesson, kit):
    panel = lesson.cell(cell_of(NAME, 'rack="narrow"')).locator(".kk-panel")
    twin = kk.ClassPanel(kit, rack="narrow", sheet="what to change")
    wait_for(lesson, panel, due(twin, panel))
    seen = look(panel)
    assert "too long for 120. Change first: " in seen.sentence
    assert seen.table[1][3] == "yes"


def test_more_stations_than_students_are_refused_and_taken_back(lesson, panel, twin):
    wait_for(lesson, panel, due(twin, panel))
    before = look(panel)
    for _ in range(9):
        move(lesson, panel, twin, "students", "ArrowLeft")
    wrong = panel.locator("[role=alert] .kk-say")
    lesson.until(lambda: wrong.count() == 1, lambda: "eight stations for seven were taken")
    assert "8 stations are too many for 7 students" in wrong.inner_text()
    lab.press(panel, "Start again")
    wait_for(lesson, panel, before)


@pytest.mark.parametrize("size", [lab.DESK, lab.PHONE], ids=["desk", "phone"])
def test_nothing_is_cut_off(lesson, panel, twin, size):
    assert lesson.cut_off(size) == []
    cell = lesson.cell(cell_of(NAME, "evening = kk.ClassPanel("))
    for _ in twin.controls["sheet"].options[1:]:
        keys(lesson, panel, twin, "sheet", ["ArrowDown"])
        assert cell.evaluate(lab.CUT_OFF) == [], twin.controls["sheet"].value
    assert lesson.page.evaluate(lab.TOO_WIDE) == []
