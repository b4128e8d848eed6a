"""Another language is chosen while a form is open: what is typed stays, what is shown turns."""

from __future__ import annotations

import html
from weakref import WeakSet

import pytest

import kitchenkit as kk
from kitchenkit import language
from kitchenkit.bakelog import read_bake_log

PAGE = "# Bar\nMakes 8\n## Ingredients\n- 1 cup flubber\n- 1 cup rolled oats\n"


@pytest.fixture(autouse=True)
def fresh(monkeypatch):
    """English first, whatever the room says, and no form of another test listening."""
    monkeypatch.setattr(language, "_speech", language._Speech(language.ENGLISH))
    monkeypatch.setattr(language, "_listening", WeakSet())


def said(box):
    return html.unescape(box.value)


def test_what_is_typed_in_a_table_s_form_stays(data_folder):
    form = kk.TableEditor("pans", data_folder)
    typed = {"key": "My Tin", "name": "my tin", "kind": "loaf", "top_length": "20"}
    for name, words in typed.items():
        form.fields.controls[name].value = words
    held, english = form.fields.texts(), [c.description for c in form.fields.controls.values()]
    boxes = list(form.fields.controls.values())
    language.use("es_US")
    assert form.fields.texts() == held
    assert list(form.fields.controls.values()) == boxes  # letters on their way find their field
    assert form.fields.controls["name"].description == "Nombre del molde"
    assert "Usa solo letras" in said(form.fields.messages["key"])
    assert ("redondo", "round") in form.fields.controls["kind"].options
    assert "Todo está guardado" in said(form._status)
    form.fields.controls["key"].value = "my-tin"
    more = {"top_width": "10", "bottom_length": "19", "bottom_width": "9", "depth": "6"}
    rest = {"wells": "1", "shape": "box", "material": "metal", "unit": "cm"}
    for name, words in (more | rest | {"source": "pan-typical"}).items():
        form.fields.controls[name].value = words
    form.add.click()
    assert "La fila se ha añadido." in said(form._said)
    form._buttons["Save"].click()
    language.use("en_US")
    assert [control.description for control in form.fields.controls.values()] == english
    assert kk.open_kit(data_folder).pans["my-tin"].kind == "loaf"  # the file keeps its own words


def test_what_is_typed_in_other_rows_and_tables_stays(data_folder):
    chooser = kk.TableChooser("pans", "snacks", folder=data_folder)
    pans = chooser.shown
    pans.fields.controls["name"].value = "half a name"
    pans.pick.value = pans.pick.options[1][1]
    chooser.pick.value = "snacks"
    language.use("es_ES")
    assert chooser.pick.value == "snacks"
    assert chooser.shown.name == "snacks"
    assert chooser.pick.options[0] == ("Tus moldes", "pans")
    chooser.pick.value = "pans"
    assert chooser.shown is pans
    pans.pick.value = -1
    assert pans.fields.controls["name"].value == "half a name"


def test_what_is_typed_in_a_recipe_s_form_stays(data_folder):
    form = kk.RecipeEditor(data_folder)
    form.pick.value = "carrot-oat-base"
    form.line.value = 2
    form.fields.controls["note"].value = "mine"
    form.line_fields.controls["amount"].value = "1 cup"
    held = form.fields.texts(), form.line_fields.texts()
    language.use("es_US")
    assert (form.fields.texts(), form.line_fields.texts()) == held
    assert (form.pick.value, form.line.value) == ("carrot-oat-base", 2)
    assert form.change_line.description == "Cambiar este ingrediente"
    form.change_line.click()
    assert "El ingrediente se ha cambiado." in said(form._said)
    assert form.edited.lines[2]["amount"] == "1 cup"


def test_a_recipe_being_read_stays_with_all_that_was_settled(data_folder):
    panel = kk.RecipeExchangePanel(kk.open_kit(data_folder))
    panel.form_out.value, panel.text_in.value = "csv", PAGE
    written = panel.text_out.value
    panel.source.value, panel.name.value = "lantern-street", "A bar"
    panel.reads.click()
    (field,) = panel._unread.values()
    field.value = "1 cup all-purpose flour"
    language.use("es_US")
    assert list(panel._unread.values()) == [field]
    assert (field.value, field.description) == ("1 cup all-purpose flour", "1: leerla como")
    assert (panel.source.value, panel.name.value) == ("lantern-street", "A bar")
    assert (panel.form_out.value, panel.text_out.value) == ("csv", written)
    panel.reads.click()
    read = panel.read
    assert "Leída: A bar, 8 porciones, 2 ingredientes" in said(panel._said_in)
    language.use("en_US")
    assert panel.read is read
    assert "Read: A bar, 8 servings, 2 ingredients" in said(panel._said_in)
    panel.keep.click()
    assert kk.open_kit(data_folder).recipes["A bar"].servings == 8


def test_a_file_being_read_stays(data_folder):
    panel = kk.RecipeExchangePanel(kk.open_kit(data_folder))
    panel._file = PAGE.encode()
    panel.form_in.value = "markdown"
    language.use("es_US")
    assert panel._file == PAGE.encode()
    panel.reads.click()
    assert len(panel._unread) == 1


def test_a_class_s_open_question_is_asked_anew_and_can_be_answered(data_folder):
    panel = kk.AfterClassPanel(kk.open_kit(data_folder))
    before = len(read_bake_log(panel.kit))
    panel.ask["bake-log"].click()
    language.use("es_US")
    assert "Se añadirían 6 filas a bake-log.csv" in said(panel._said)
    assert "station 1" in said(panel._said)  # rows as they will stand in the table
    panel.save.click()
    assert "Guardado en" in said(panel._said)
    assert len(read_bake_log(panel.kit)) == before + 6
    language.use("en_US")
    panel.back.click()
    assert "bake-log.csv is again what it was." in said(panel._said)
    assert len(read_bake_log(panel.kit)) == before


def test_the_key_that_is_looked_at_stays(kit):
    key = kk.AnswerKey(kit)
    key.lesson.value, key.name.value = "05-cost", "Tansy"
    english = key._key.value
    language.use("es_US")
    assert (key.lesson.value, key.name.value) == ("05-cost", "Tansy")
    assert "Respuestas para los números de Tansy." in said(key._key)
    language.use("en_US")
    assert key._key.value == english
