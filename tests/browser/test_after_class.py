"""An instructor looks back upon a class, takes its bakes over and back, and brings a recipe in."""

import json

import pytest

import kitchenkit as kk
from kitchenkit.exchange import recipe_text
from kitchenkit.saving import versions

from . import lab
from .lab import press
from .test_lessons import due, look, move, wait_for
from .test_own_data import wait_for as wait_for_words
from .test_progress import cell_of

AFTER = "instructor/after-the-class"
RECIPES = "instructor/recipes-in-and-out"
PAGE = """# Oat <b>squares</b>
Makes 9
## Ingredients
- 2 cups rolled oats
- a handful of <img src=x onerror=alert(1)>
- 1/2 cup honey
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("class") / "class"


@pytest.fixture(scope="module")
def page_of(browser, folder):
    with lab.class_pages(browser, folder) as page_of:
        yield page_of


@pytest.fixture
def visit(page_of):
    """Open a page, or go on in it; afterwards no error may stand on its console."""
    with lab.without_faults(page_of) as visit:
        yield visit


def test_a_class_is_looked_back_upon_and_its_bakes_are_taken_over_and_back(visit, folder):
    log = folder / "data/bake-log.csv"
    before = log.read_bytes()
    twin = kk.AfterClassPanel(kk.open_kit(folder / "data"))

    lesson = visit(AFTER)
    panel = lesson.cell(cell_of(AFTER, "kk.AfterClassPanel(")).locator(".kk-panel")
    wait_for(lesson, panel, due(twin, panel))
    first = look(panel)
    assert first.sentence.startswith("6 of 7 timed bakes were done in their window")
    move(lesson, panel, twin, "oven", "ArrowDown")
    wait_for(lesson, panel, due(twin, panel))
    one_oven = look(panel)
    assert one_oven.sentence != first.sentence
    assert one_oven.table != first.table
    press(panel, "Start again")
    wait_for(lesson, panel, first)

    press(panel, "Add to the bake log …")
    wait_for_words(lesson, panel, "Nothing is saved yet. 6 rows would be added")
    assert log.read_bytes() == before
    assert lesson.cut_off(lab.PHONE) == []
    lesson.page.set_viewport_size(lab.DESK)
    press(panel, "Yes, save these rows")
    wait_for_words(lesson, panel, "Saved in")
    assert len(kk.read_bake_log(kk.open_kit(folder / "data"))) == 12
    assert [kept.path.read_bytes() for kept in versions(log)] == [before]
    press(panel, "Take it back")
    wait_for_words(lesson, panel, "is again what it was")
    assert log.read_bytes() == before


def test_results_typed_into_the_form_are_read_by_the_panel(visit, folder):
    lesson = visit(AFTER)
    form = lesson.cell(cell_of(AFTER, 'TableEditor("class-results")')).locator(".kk-panel")
    rows = form.locator("select").first
    box = form.get_by_label("Minutes to done, or until it came out (empty: not timed)")
    options = rows.locator("option")

    def labels():  # their spaces do not break
        texts = options.all_inner_texts()
        return [w for w in texts if "2026-11-24, station 4" in w.replace("\xa0", " ")]

    lesson.until(lambda: len(labels()) == 1, form.inner_text)
    rows.select_option(label=labels()[0])
    lesson.until(lambda: box.input_value() == "280", form.inner_text)
    box.fill("28")
    press(form, "Change this row")
    wait_for_words(lesson, form, "1 change is not saved yet")
    press(form, "Save")
    wait_for_words(lesson, form, "Everything is saved")
    panel = lesson.cell(cell_of(AFTER, "kk.AfterClassPanel(")).locator(".kk-panel")
    press(panel, "Read the results again")
    wait_for_words(lesson, panel, "7 of 7 timed bakes were done in their window")


def test_a_recipe_goes_out_and_another_comes_in(visit, folder):
    lesson = visit(RECIPES)
    panel = lesson.cell(cell_of(RECIPES, "kk.RecipeExchangePanel(")).locator(".kk-panel")
    out, into = panel.locator("textarea").nth(0), panel.locator("textarea").nth(1)
    lesson.until(lambda: "carrot-and-oat" in out.input_value(), panel.inner_text)
    panel.get_by_label("Written as").select_option(
        label="for recipe programs (schema.org in JSON-LD)"
    )
    lesson.until(lambda: out.input_value().startswith("{"), out.input_value)
    assert json.loads(out.input_value())["@type"] == "Recipe"
    press(panel, "Save this text as a file")
    wait_for_words(lesson, panel, "recipes-out")

    into.fill(PAGE)
    into.blur()
    panel.get_by_label("Comes from").select_option(index=1)
    press(panel, "Read it")
    wait_for_words(lesson, panel, "1 to settle")
    field = panel.get_by_label("1: read it as")
    assert field.input_value() == "a handful of <img src=x onerror=alert(1)>"
    assert panel.locator("img").count() == 0
    assert lesson.cut_off(lab.PHONE) == []
    lesson.page.set_viewport_size(lab.DESK)
    field.fill("1/2 cup raisins")
    field.blur()
    press(panel, "Read it")
    wait_for_words(lesson, panel, "3 ingredients")
    press(panel, "Keep this recipe")
    wait_for_words(lesson, panel, "Kept in")
    assert panel.locator("b, img").count() == 0
    kit = kk.open_kit(folder / "data")
    assert [line.ingredient.name for line in kit.recipes["oat-b-squares-b"].lines] == [
        "rolled oats",
        "raisins, loose",
        "honey",
    ]


def test_a_file_is_chosen_read_kept_and_removed(visit, folder, tmp_path):
    base = kk.open_kit(folder / "data").recipes["carrot-oat-base"]
    given = tmp_path / "from a friend.csv"
    given.write_text(
        recipe_text(base, "csv").replace("carrot-and-oat base batter", "a friend's batter"),
        encoding="utf-8-sig",
    )

    lesson = visit(RECIPES)
    panel = lesson.cell(cell_of(RECIPES, "kk.RecipeExchangePanel(")).locator(".kk-panel")
    button = panel.get_by_role("button", name="Or choose a file")
    lesson.until(lambda: button.count() == 1, panel.inner_text)
    with lesson.page.expect_file_chooser() as choosing:
        button.click()
    choosing.value.set_files(given)
    wait_for_words(lesson, panel, "Chosen: from a friend.csv")
    press(panel, "Read it")
    wait_for_words(lesson, panel, "Read: a friend's batter")
    press(panel, "Keep this recipe")
    wait_for_words(lesson, panel, "Kept in")
    assert "a friend's batter" in kk.open_kit(folder / "data").recipes
    press(panel, "Remove it again")
    wait_for_words(lesson, panel, "is removed")
    assert "a friend's batter" not in kk.open_kit(folder / "data").recipes
