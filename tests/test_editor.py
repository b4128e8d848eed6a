"""The forms: what a person does by pressing and typing, and what is said to them."""

import asyncio
import shutil

import pytest

import kitchenkit as kk
from kitchenkit.editing import LINE_COLUMNS, RECIPE_COLUMNS, TABLES, EditError
from kitchenkit.panels.editor import TITLES
from kitchenkit.panels.editor_words import field_words
from kitchenkit.panels.pieces import is_shown
from kitchenkit.places import shipped_folder

TIN = {
    **{"key": "my-tin", "name": "my tin", "kind": "loaf", "shape": "box", "top_length": "20"},
    **{"top_width": "10", "bottom_length": "19", "bottom_width": "9", "depth": "6", "wells": "1"},
    **{"material": "metal", "unit": "cm", "source": "pan-typical", "note": "x"},
}
BASE = "carrot-oat-base"


@pytest.fixture
def pans(data_folder):
    return kk.TableEditor("pans", data_folder)


@pytest.fixture
def recipes(data_folder):
    return kk.RecipeEditor(data_folder)


def fill(fields, texts):
    for name, words in texts.items():
        fields.controls[name].value = words


def choose(form, label):
    [id_] = [value for words, value in form.pick.options if words.endswith(f", {label}")]
    form.pick.value = id_


def press(form, name):
    button = form._buttons.get(name) or getattr(form, name)
    assert not button.disabled, name
    button.click()


def said(form):
    return form._said.value


# --- tables -------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", TABLES)
def test_every_table_has_a_form_with_words_for_its_fields(name, data_folder):
    form = kk.TableEditor(name, data_folder)
    assert form.title == TITLES[name]
    assert said(form) == ""
    for column, control in form.fields.controls.items():
        words = control.description
        assert words == field_words(name, column)
        assert len(words) > 3
        assert "_" not in words
    labels = [control.description for control in form.fields.controls.values()]
    assert len(set(labels)) == len(labels)


def test_every_part_of_a_recipe_has_words():
    for column in (*RECIPE_COLUMNS, *LINE_COLUMNS):
        assert "_" not in field_words("recipe", column.name)


def test_a_pan_is_typed_added_saved_and_found_by_the_lessons(pans, data_folder):
    assert pans._buttons["Save"].disabled
    fill(pans.fields, TIN)
    assert all(not message.value for message in pans.fields.messages.values())
    press(pans, "add")
    assert "The row is added. Press Save" in said(pans)
    assert "1 change is not saved yet" in pans._status.value
    press(pans, "Save")
    assert "Saved in" in said(pans)
    assert "Everything is saved" in pans._status.value
    assert kk.open_kit(data_folder).pans["my-tin"].material == "metal"
    assert kk.TableEditor("pans", data_folder).edited.rows[-1].texts["note"] == "x"


def test_a_message_stands_under_the_field_as_it_is_typed(pans):
    pans.fields.controls["depth"].value = "deep"
    assert "2 1/2" in pans.fields.messages["depth"].value
    assert 'role="alert"' in pans.fields.messages["depth"].value
    pans.fields.controls["depth"].value = "6"
    assert pans.fields.messages["depth"].value == ""


def test_a_row_with_faults_is_not_taken_and_each_field_says_why(pans):
    fill(pans.fields, TIN | {"depth": "deep", "name": ""})
    press(pans, "add")
    assert "Fill it in" in pans.fields.messages["name"].value
    assert "2 1/2" in pans.fields.messages["depth"].value
    assert "Mend the fields" in said(pans)
    assert pans.edited.unsaved == 0


def test_what_the_whole_folder_does_not_bear_is_said_at_once_and_not_saved(pans):
    before = pans.path.read_bytes()
    fill(pans.fields, TIN | {"source": "nobody"})
    press(pans, "add")
    assert "Before it can be saved" in said(pans)
    assert "Add this key to sources.csv" in said(pans)
    press(pans, "Save")
    assert "Not saved." in said(pans)
    assert pans.path.read_bytes() == before
    press(pans, "Undo")
    assert pans._buttons["Save"].disabled


def test_change_remove_undo_redo(pans):
    choose(pans, "loaf-9x5")
    assert pans.fields.texts()["depth"] == "2.75"
    pans.fields.controls["depth"].value = "2.8"
    press(pans, "change")
    assert pans.edited.unsaved == 1
    press(pans, "Undo")
    assert pans.fields.texts()["depth"] == "2.75"
    press(pans, "Redo")
    assert pans.fields.texts()["depth"] == "2.8"
    press(pans, "remove")
    assert not [words for words, _ in pans.pick.options if words.endswith(", loaf-9x5")]
    assert pans.pick.value == -1
    assert pans.change.disabled
    assert pans.remove.disabled
    press(pans, "Undo")
    assert [words for words, _ in pans.pick.options if words.endswith(", loaf-9x5")]


def test_what_is_typed_waits_for_its_row(pans):
    choose(pans, "loaf-9x5")
    pans.fields.controls["note"].value = "half typed"
    choose(pans, "loaf-8x4")
    assert pans.fields.texts()["note"] != "half typed"
    assert "not taken over yet: row" in pans._status.value
    choose(pans, "loaf-9x5")
    assert pans.fields.texts()["note"] == "half typed"
    assert "is here again" in said(pans)


def test_typed_words_stay_through_undo(pans):
    fill(pans.fields, TIN)
    press(pans, "add")
    pans.pick.value = -1
    pans.fields.controls["name"].value = "another"
    press(pans, "Undo")
    assert pans.fields.texts()["name"] == "another"


def test_rows_are_found_by_words(pans):
    pans.find.value = "loaf DARK"
    assert [words for words, value in pans.pick.options if value != -1] == [
        words for words, _ in pans.pick.options if "dark" in words and "loaf" in words
    ]
    assert f"Rows found: {len(pans.pick.options) - 1}." in said(pans)
    assert 1 < len(pans.pick.options) < 5
    pans.find.value = "no such pan"
    assert len(pans.pick.options) == 1
    pans.find.value = ""
    assert len(pans.pick.options) > 40


def test_a_cell_with_a_fault_is_shown_as_it_is(data_folder):
    path = data_folder / "pans.csv"
    path.write_bytes(path.read_bytes().replace(b",loaf,box,7.875", b",bucket,box,7.875", 1))
    form = kk.TableEditor("pans", data_folder)
    choose(form, "loaf-8x4")
    assert form.fields.texts()["kind"] == "bucket"
    form.fields.controls["kind"].value = "loaf"
    press(form, "change")
    press(form, "Save")
    assert kk.open_kit(data_folder).pans["loaf-8x4"].kind == "loaf"


def test_earlier_versions_come_back(pans):
    first = pans.path.read_bytes()
    assert pans._back.disabled
    fill(pans.fields, TIN)
    press(pans, "add")
    press(pans, "Save")
    assert not pans._back.disabled
    press(pans, "_back")
    assert "is back" in said(pans)
    assert pans.path.read_bytes() == first
    assert len(pans._version.options) == 2


def test_unsaved_changes_are_not_lost_to_an_earlier_version(pans):
    for n in range(2):
        fill(pans.fields, TIN | {"key": f"tin-{n}", "name": f"tin {n}"})
        press(pans, "add")
        press(pans, "Save") if n == 0 else None
    press(pans, "_back")
    assert "Save your changes or undo them first" in said(pans)
    assert pans.edited.unsaved == 1


def test_a_file_that_cannot_be_read_says_why_and_an_earlier_version_helps(data_folder):
    form = kk.TableEditor("pans", data_folder)
    fill(form.fields, TIN)
    press(form, "add")
    press(form, "Save")
    good = form.path.read_bytes()
    form.path.write_bytes(b'key,"name\n')
    broken = kk.TableEditor("pans", data_folder)
    assert "quotation mark" in said(broken)
    broken.add.click()
    assert "quotation mark" in said(broken)
    assert "cannot be shown" in broken._status.value
    assert "pans" in repr(broken)
    press(broken, "_back")
    assert "is back" in said(broken)
    assert broken.edited.rows
    assert good not in (broken.path.read_bytes(), b"")


def test_a_change_in_a_spreadsheet_meanwhile_is_told_and_both_come_together(pans):
    choose(pans, "loaf-9x5")
    pans.fields.controls["depth"].value = "2.8"
    press(pans, "change")
    theirs = pans.path.read_bytes().replace(b"Depth at the small end", b"Depth of ours")
    pans.path.write_bytes(theirs)
    assert not is_shown(pans._catch_up)
    press(pans, "Save")
    assert "changed elsewhere" in said(pans)
    assert pans.path.read_bytes() == theirs
    assert is_shown(pans._catch_up)
    press(pans, "_catch_up")
    assert "on top of what the file holds" in said(pans)
    press(pans, "Save")
    assert pans.path.read_bytes() == theirs.replace(b",2.75,0.5,", b",2.8,0.5,", 1)


def test_a_conflict_with_a_spreadsheet_is_told(pans):
    choose(pans, "loaf-9x5")
    pans.fields.controls["depth"].value = "2.8"
    press(pans, "change")
    pans.path.write_bytes(pans.path.read_bytes().replace(b",2.75,0.5,", b",2.9,0.5,", 1))
    press(pans, "Save")
    press(pans, "_catch_up")
    assert "keeps it; you had" in said(pans)
    assert "2.8" in said(pans)


def test_the_kits_own_data_can_be_tried_and_not_saved():
    form = kk.TableEditor("pans")
    before = form.path.read_bytes()
    fill(form.fields, TIN)
    press(form, "add")
    assert "the kit&#x27;s own data" in form._status.value
    assert form._buttons["Save"].disabled
    assert form._back.disabled
    form._buttons["Save"].click()
    assert "kit&#x27;s own data" in said(form)
    assert form.path.read_bytes() == before
    assert str(shipped_folder("data")) not in form._repr_mimebundle_()["text/html"]


def test_an_empty_table_says_what_to_do(data_folder):
    (data_folder / "tariffs.csv").unlink()
    form = kk.TableEditor("tariffs", data_folder)
    assert "There are no rows yet" in form._status.value


def test_a_fault_of_ours_is_said(pans, monkeypatch):
    def stumble(*words):
        raise ZeroDivisionError("planned")

    monkeypatch.setattr(pans.edited, "add", stumble)
    press(pans, "add")
    assert "The kit stumbled (ZeroDivisionError: planned)" in said(pans)


def test_an_unknown_table_is_an_error():
    with pytest.raises(EditError, match="There are: ingredients"):
        kk.TableEditor("bread")


def test_a_still_for_pages_that_have_not_run(pans, recipes):
    for form, words in ((pans, "loaf-8x4"), (recipes, BASE)):
        still = form._repr_mimebundle_()
        assert words in still["text/html"]
        assert form.title in still["text/plain"]


# --- recipes ------------------------------------------------------------------------------------


def test_a_new_recipe(recipes, data_folder):
    fill(recipes.fields, {"name": "Plain batter", "servings": "8", "source": "lantern-street"})
    press(recipes, "change")
    assert "Before it can be saved" in said(recipes)
    fill(recipes.line_fields, {"ingredient": "all-purpose flour", "amount": "2 cups"})
    press(recipes, "add_line")
    assert "Press Save" in said(recipes)
    assert "2 cups" in recipes._lines.value
    press(recipes, "Save")
    assert kk.open_kit(data_folder).recipes["plain-batter"].servings == 8
    assert recipes.pick.value == "plain-batter"


def test_a_recipe_is_changed_line_by_line(recipes, data_folder):
    recipes.pick.value = BASE
    assert recipes.fields.texts()["servings"] == "16"
    recipes.line.value = 1
    assert recipes.line_fields.texts()["amount"] == "3/4 cup"
    recipes.line_fields.controls["amount"].value = "lots"
    assert recipes.line_fields.messages["amount"].value
    press(recipes, "change_line")
    assert "Mend the fields" in said(recipes)
    recipes.line_fields.controls["amount"].value = "1 cup"
    press(recipes, "change_line")
    press(recipes, "Undo")
    press(recipes, "Redo")
    recipes.line.value = 6
    press(recipes, "remove_line")
    press(recipes, "Save")
    lines = kk.open_kit(data_folder).recipes[BASE].lines
    assert [line.ingredient.name for line in lines].count("cinnamon") == 0
    assert lines[1].weight.m_as("g") == pytest.approx(81, rel=0.2)


def test_another_recipe_is_not_shown_over_unsaved_changes(recipes):
    recipes.pick.value = BASE
    recipes.fields.controls["servings"].value = "12"
    recipes.pick.value = ""
    assert recipes.pick.value == BASE
    assert "Something is typed" in said(recipes)
    press(recipes, "change")
    recipes.pick.value = ""
    assert recipes.pick.value == BASE
    assert "not saved" in said(recipes)
    press(recipes, "Undo")
    recipes.pick.value = ""
    assert recipes.fields.texts()["name"] == ""


def test_a_recipe_is_removed_and_comes_back(recipes, data_folder):
    second = data_folder / "recipes/second.toml"
    shutil.copy(data_folder / f"recipes/{BASE}.toml", second)
    words = second.read_text(encoding="utf-8").replace("carrot-and-oat", "second")
    second.write_text(words, encoding="utf-8")
    form = kk.RecipeEditor(data_folder)
    form.pick.value = "second"
    press(form, "remove")
    assert not second.exists()
    assert "can come back" in said(form)
    press(form, "restore")
    assert second.read_text(encoding="utf-8") == words
    form.pick.value = "second"
    assert form.fields.texts()["name"] == "second base batter"


def test_the_only_recipe_cannot_be_removed(recipes):
    recipes.pick.value = BASE
    press(recipes, "remove")
    assert "Not saved." in said(recipes)
    assert recipes.path.is_file()


def test_a_recipe_changed_elsewhere_meanwhile(recipes):
    recipes.pick.value = BASE
    recipes.fields.controls["servings"].value = "12"
    press(recipes, "change")
    theirs = recipes.path.read_bytes().replace(b"servings = 16", b"servings = 20")
    recipes.path.write_bytes(theirs)
    press(recipes, "Save")
    assert "changed elsewhere" in said(recipes)
    press(recipes, "_catch_up")
    assert recipes.fields.texts()["servings"] == "20"
    press(recipes, "Undo")
    assert recipes.fields.texts()["servings"] == "12"
    press(recipes, "Save")
    assert b"servings = 12" in recipes.path.read_bytes()


def test_a_recipe_that_cannot_be_read_says_why_and_another_can_be_chosen(data_folder):
    (data_folder / "recipes/broken.toml").write_text("name = ", encoding="utf-8")
    form = kk.RecipeEditor(data_folder)
    form.pick.value = "broken"
    assert "cannot be read" in said(form)
    form.add_line.click()
    form.fields.controls["name"].value = "x"
    assert "cannot be read" in said(form)
    form.pick.value = BASE
    assert form.fields.texts()["servings"] == "16"
    assert said(form) == ""


def test_the_kits_own_recipes_stay():
    form = kk.RecipeEditor()
    form.pick.value = BASE
    before = form.path.read_bytes()
    form.fields.controls["servings"].value = "12"
    press(form, "change")
    assert form._buttons["Save"].disabled
    assert form.remove.disabled
    form._buttons["Save"].click()
    assert "kit&#x27;s own data" in said(form)
    assert form.path.read_bytes() == before


def test_a_press_waits_for_letters_that_are_still_on_their_way(pans):
    """A browser sends a press at once and holds letters back: the row has them all the same."""

    async def type_and_press():
        fill(pans.fields, TIN | {"depth": "5"})
        press(pans, "add")
        for late in ("5.", "5.5"):
            await asyncio.sleep(0.05)
            pans.fields.controls["depth"].value = late
        assert pans.edited.unsaved == 0
        for _ in range(40):
            await asyncio.sleep(0.05)
            if pans.edited.unsaved:
                break

    asyncio.run(type_and_press())
    assert pans.edited.rows[-1].texts["depth"] == "5.5"
    assert "The row is added" in said(pans)
