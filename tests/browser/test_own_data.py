"""An instructor fills a form in a class folder, is told, saves, comes back and finds it there."""

import contextlib

import nbformat
import pytest

import kitchenkit
from kitchenkit.panels.editor_words import field_words
from kitchenkit.places import shipped_folder

from . import lab
from .lab import press

PAGE = "instructor/your-own-data"
TIN = {
    "key": "my-tin",
    "name": "<b>my</b> tin",
    "kind": "loaf",
    "shape": "box",
    "top_length": "20",
    "top_width": "10",
    "bottom_length": "19",
    "bottom_width": "9",
    "depth": "6",
    "wells": "1",
    "material": "metal",
    "unit": "cm",
    "source": "pan-typical",
}


def cell_of(source: str) -> int:
    book = nbformat.read(shipped_folder("lessons") / f"{PAGE}.ipynb", as_version=4)
    (at,) = [at for at, cell in enumerate(book.cells) if source in cell.source]
    return at


def field(form, table, column):
    """The input or select under a label."""
    label = field_words(table, column)
    box = form.locator(".kk-field", has=form.page.get_by_text(label, exact=True))
    return box, box.locator("input, select")


def put(form, table, column, words):
    """Type into a field, or choose in it, by keyboard."""
    _, control = field(form, table, column)
    control.focus()
    if control.evaluate("e => e.tagName") == "SELECT":
        control.select_option(words)
    else:
        form.page.keyboard.press("ControlOrMeta+a")
        form.page.keyboard.press("Delete")
        form.page.keyboard.type(words)


def wait_for(lesson, form, words):
    lesson.until(
        lambda: words in form.inner_text(), lambda: f"{words!r} not in:\n{form.inner_text()}"
    )


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("class") / "class"


@pytest.fixture(scope="module")
def day(browser, folder):
    """Open the page, or go on in it; on a new day there is a new server, and the old one ended."""
    with contextlib.ExitStack() as closing:
        opened = []

        def day(new: bool = False) -> lab.LessonPage:
            if new or not opened:
                closing.close()
                opened[:] = [closing.enter_context(lab.class_pages(browser, folder))]
            return opened[0](PAGE)

        yield day


def test_a_pan_is_typed_saved_and_there_the_next_day(day, folder):
    at = cell_of('kk.TableEditor("pans")')
    lesson = day()
    form = lesson.cell(at).locator(".kk-panel")
    put(form, "pans", "depth", "deep")
    box, _ = field(form, "pans", "depth")
    lesson.until(lambda: box.get_by_role("alert").count() == 1, box.inner_text)
    assert "2 1/2" in box.get_by_role("alert").inner_text()
    for column, words in TIN.items():
        put(form, "pans", column, words)
    lesson.until(lambda: form.get_by_role("alert").count() == 0, form.inner_text)
    press(form, "Add as a new row")
    wait_for(lesson, form, "1 change is not saved yet")
    press(form, "Save")
    wait_for(lesson, form, "Everything is saved")
    assert form.locator("b").count() == 0
    assert lesson.cut_off(lab.PHONE) == []
    assert lesson.faults == []
    assert kitchenkit.open_kit(folder / "data").pans["my-tin"].name == "<b>my</b> tin"

    lesson = day(new=True)
    form = lesson.cell(at).locator(".kk-panel")
    rows = form.locator("select").first
    labels = rows.locator("option").all_inner_texts()  # their spaces do not break
    (label,) = [words for words in labels if words.endswith("my-tin")]
    assert "<b>my</b>" in label
    rows.select_option(label=label)
    _, depth = field(form, "pans", "depth")
    lesson.until(lambda: depth.input_value() == "6", form.inner_text)
    put(form, "pans", "depth", "7")
    press(form, "Change this row")
    wait_for(lesson, form, "1 change is not saved yet")
    press(form, "Undo")
    wait_for(lesson, form, "Everything is saved")
    press(form, "Bring back")
    wait_for(lesson, form, "The earlier version is back")
    assert lesson.faults == []
    assert "my-tin" not in kitchenkit.open_kit(folder / "data").pans


def test_a_recipe_is_changed_by_keyboard(day, folder):
    lesson = day()
    form = lesson.cell(cell_of("kk.RecipeEditor()")).locator(".kk-panel")
    form.locator("select").first.select_option(label="carrot-oat-base")
    _, servings = field(form, "recipe", "servings")
    lesson.until(lambda: servings.input_value() == "16", form.inner_text)
    put(form, "recipe", "servings", "12")
    press(form, "Take these over")
    wait_for(lesson, form, "1 change is not saved yet")
    press(form, "Save")
    wait_for(lesson, form, "Everything is saved")
    assert lesson.faults == []
    assert kitchenkit.open_kit(folder / "data").recipes["carrot-oat-base"].servings == 12
