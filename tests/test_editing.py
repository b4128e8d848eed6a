"""Editing one's own tables and recipes: checked, undone, saved, and nothing else touched."""

import csv
import io
import shutil
from datetime import datetime

import pytest

import kitchenkit as kk
from kitchenkit import editing, saving
from kitchenkit.editing import (
    TABLES,
    EditedRecipe,
    EditedTable,
    EditError,
    column_texts,
    folder_faults,
    is_own,
    recipe_keys,
    removed_recipes,
    tidy,
)
from kitchenkit.errors import DataError
from kitchenkit.places import PACKAGE, shipped_folder
from kitchenkit.saving import ChangedError

NOW = datetime(2026, 11, 25, 10, 11, 12)
TIN = {
    **{"key": "my-tin", "name": "my tin", "kind": "loaf", "shape": "box", "top_length": "20"},
    **{"top_width": "10", "bottom_length": "19", "bottom_width": "9", "depth": "6", "wells": "1"},
    **{"material": "metal", "unit": "cm", "source": "pan-typical", "note": "weighed, with water"},
}
SHIPPED_TABLES = [name for name in TABLES if (shipped_folder("data") / f"{name}.csv").is_file()]


@pytest.fixture
def pans(data_folder):
    return EditedTable("pans", data_folder)


def id_of(table, label):
    return next(row.id for row in table.rows if label in row.label)


def lines(table):
    return table.content().decode("utf-8").splitlines()


# --- a table ------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", SHIPPED_TABLES)
def test_opened_and_not_edited_it_is_the_same_file(name, data_folder):
    table = EditedTable(name, data_folder)
    assert table.content() == (data_folder / f"{name}.csv").read_bytes()
    assert (table.unsaved, table.can_undo, table.can_redo) == (0, False, False)
    assert len(table.rows) > 2
    assert all(row.label for row in table.rows)
    assert table.new_faults() == []


@pytest.mark.parametrize("name", SHIPPED_TABLES)
def test_every_shipped_cell_is_one_that_may_be_typed(name, data_folder):
    table = EditedTable(name, data_folder)
    for row in table.rows:
        for column, words in row.texts.items():
            currency = row.texts.get("currency", "")
            assert table.complaint(column, words, currency) == "", (row.number, column, words)


def test_a_new_row_is_saved_and_every_lesson_has_it(pans, data_folder):
    before = lines(pans)
    pans.add(TIN)
    assert lines(pans)[:-1] == before
    assert lines(pans)[-1] == (
        'my-tin,my tin,loaf,box,20,10,19,9,6,,,,1,metal,cm,,pan-typical,"weighed, with water"'
    )
    assert pans.unsaved == 1
    pans.save(NOW)
    assert pans.unsaved == 0
    assert kk.open_kit(data_folder).pans["my tin"].capacity.m_as("ml") == pytest.approx(
        1112, abs=40
    )
    [version] = pans.versions()
    assert version.path.read_text(encoding="utf-8").splitlines() == before


def test_only_the_cell_that_was_changed_changes(pans):
    before = lines(pans)
    row = pans.row(id_of(pans, "loaf-9x5"))
    pans.change(row.id, {**row.texts, "depth": "2.8"})
    changed = [(a, b) for a, b in zip(before, lines(pans), strict=True) if a != b]
    [(old, new)] = changed
    assert new == old.replace(",2.75,", ",2.8,")


def test_a_removed_row_goes_and_comes_back_by_undo(pans):
    before, row = pans.content(), pans.row(id_of(pans, "loaf-9x5"))
    pans.remove(row.id)
    assert len(pans.rows) == len(EditedTable("pans", pans.folder).rows) - 1
    with pytest.raises(EditError, match="not there any more"):
        pans.change(row.id, {})
    pans.undo()
    assert pans.content() == before
    pans.redo()
    assert pans.unsaved == 1
    pans.undo()
    pans.undo()
    assert pans.content() == before


def test_undo_and_redo_go_through_every_step_and_an_edit_ends_the_redo(pans):
    states = [pans.content()]
    for n in range(5):
        pans.add({**TIN, "key": f"tin-{n}", "name": f"tin {n}"})
        states.append(pans.content())
    for state in reversed(states[:-1]):
        pans.undo()
        assert pans.content() == state
    for state in states[1:3]:
        pans.redo()
        assert pans.content() == state
    pans.add({**TIN, "key": "other", "name": "other"})
    assert not pans.can_redo
    assert pans.unsaved == 3


def test_undo_reaches_back_beyond_a_save(pans):
    first = pans.content()
    pans.add(TIN)
    pans.save(NOW)
    pans.undo()
    assert pans.content() == first
    assert pans.unsaved == 1
    pans.save(NOW)
    assert pans.path.read_bytes() == first


@pytest.mark.parametrize(
    ("column", "words", "mend"),
    [
        ("depth", "deep", "2 1/2"),
        ("depth", "", "Fill it in"),
        ("depth", "900", "from 0.2 to 50"),
        ("wells", "2.5", "whole number"),
        ("kind", "bucket", "Choose one of"),
        ("key", "my tin!", "letters, digits and hyphens"),
        ("name", "", "Fill it in"),
        ("note", "x" * 501, "at most 500"),
        ("name", "a\u202eb", "cannot be seen"),
        ("name", "a\x00b", "hidden control character"),
        ("name", "\ud800", "half a letter"),
        ("name", "8 Ã— 4", "garbled"),
    ],
)
def test_a_cell_is_checked_as_typed_and_a_row_with_a_fault_is_not_taken(pans, column, words, mend):
    assert mend in pans.complaint(column, words)
    before = pans.content()
    with pytest.raises(DataError) as told:
        pans.add({**TIN, column: words})
    [fault] = told.value.faults
    assert (fault.column, fault.file) == (column, "pans.csv")
    assert mend in fault.mend
    assert pans.content() == before
    assert not pans.can_undo


def test_every_fault_of_a_row_is_told_at_once(pans):
    with pytest.raises(DataError) as told:
        pans.add({"key": "x", "depth": "deep"})
    assert {fault.column for fault in told.value.faults} >= {"name", "depth", "kind", "source"}


@pytest.mark.parametrize(
    "words",
    [
        '=HYPERLINK("http://x")',
        "+1+1",
        "-2+3+cmd|' /C calc'!A0",
        "@SUM(A1:A9)",
        "  =1",
        "\t=1",
        "'=1",
        '"=1',
        "tin; =1+1",
        "tin,@x",
        "＝1+1",
        "－x",
    ],
)
def test_a_formula_is_refused_with_a_mend(pans, words):
    assert "Begin it with a word" in pans.complaint("note", words)
    with pytest.raises(DataError, match="spreadsheet would run this"):
        pans.add({**TIN, "note": words})


@pytest.mark.parametrize("words", ["-18 °C", "-5", "a-b", "tin, 2 = 1 + 1", "x@y", "-0.5 F"])
def test_a_plain_number_below_zero_and_signs_inside_are_words(words):
    assert tidy(words) == words


def test_what_the_whole_folder_does_not_bear_is_not_saved(pans):
    before = pans.path.read_bytes()
    pans.add({**TIN, "source": "nobody", "name": "loaf pan, 9 × 5 in"})
    with pytest.raises(DataError) as told:
        pans.save()
    assert {fault.column for fault in told.value.faults} == {"source", "name"}
    assert {fault.row for fault in told.value.faults} == {f"row {pans.rows[-1].number}"}
    assert pans.path.read_bytes() == before
    assert pans.versions() == []


def test_a_pan_that_the_bake_log_needs_is_not_removed(pans):
    pans.remove(id_of(pans, "loaf-8.5x4.5"))
    with pytest.raises(DataError, match=r"bake-log\.csv"):
        pans.save()


def test_faults_that_are_there_already_do_not_stop_a_mend(data_folder):
    path = data_folder / "pans.csv"
    path.write_text(
        path.read_text(encoding="utf-8")
        .replace("loaf-9x5,", "LOAF!,")
        .replace("muffin,", "mufin,"),
        encoding="utf-8",
    )
    pans = EditedTable("pans", data_folder)
    with pytest.raises(DataError):
        kk.open_kit(data_folder)
    row = pans.row(id_of(pans, "LOAF!"))
    pans.change(row.id, {**row.texts, "key": "loaf-9x5"})
    assert pans.new_faults() == []
    pans.save()
    pans.add({**TIN, "source": "nobody"})
    with pytest.raises(DataError) as told:
        pans.save()
    assert [fault.column for fault in told.value.faults] == ["source"]


def test_a_price_is_read_with_the_rows_currency(data_folder):
    prices = EditedTable("prices", data_folder)
    row = {
        **{"ingredient": "salt", "amount": "1 lb", "price": "0.65", "currency": "USD"},
        **{"place": "the market", "date": "2026-11-25", "source": "lantern-street"},
    }
    assert prices.complaint("price", "0.65", "USD") == ""
    assert "Write it like" in prices.complaint("price", "cheap", "USD")
    for faulty in ({"price": "cheap"}, {"currency": "EURO"}, {"date": "25.11.2026"}):
        with pytest.raises(DataError):
            prices.add({**row, **faulty})
    prices.add(row)
    prices.save()
    assert kk.open_kit(data_folder).prices["salt"].rows[-1].place == "the market"


@pytest.mark.parametrize("name", ["", "pan", "../pans", "PANS", "/etc/passwd", "pans.csv"])
def test_only_known_tables(name, data_folder):
    with pytest.raises(EditError, match="There are: ingredients, pans"):
        EditedTable(name, data_folder)


def test_a_table_that_is_not_there_yet_begins_with_its_headings(data_folder):
    (data_folder / "tariffs.csv").unlink()
    tariffs = EditedTable("tariffs", data_folder)
    assert tariffs.rows == []
    tariffs.add(
        {
            **{"key": "mine", "fuel": "gas", "per": "therm", "price": "1.50", "currency": "USD"},
            **{"place": "here", "date": "2026-11-25", "source": "lantern-street"},
        }
    )
    tariffs.save()
    assert tariffs.path.read_bytes() == (
        b"key,fuel,per,price,currency,place,date,source,note\n"
        b"mine,gas,therm,1.50,USD,here,2026-11-25,lantern-street,\n"
    )


@pytest.mark.parametrize(
    ("old", "new", "what"),
    [
        (b"depth,", b"deep,", "heading depth is missing"),
        (b"corner,", b"depth,", "heading"),
        (b'"loaf pan, 8 ', b'"loaf pan"x 8 ', "quotation mark"),
        (b"loaf-8x4", b"\x00", "control character"),
    ],
)
def test_a_file_that_cannot_be_edited_says_so(data_folder, old, new, what):
    path = data_folder / "pans.csv"
    path.write_bytes(path.read_bytes().replace(old, new, 1))
    with pytest.raises(EditError, match=what):
        EditedTable("pans", data_folder)


# --- a spreadsheet's round trip -----------------------------------------------------------------


def spreadsheets_way(raw: bytes) -> bytes:
    """As a spreadsheet of a country with decimal commas may save it, with a column of one's own."""
    rows = list(csv.reader(io.StringIO(raw.decode("utf-8"), newline="")))
    out = io.StringIO()
    writer = csv.writer(out, delimiter=";", lineterminator="\r\n", quoting=csv.QUOTE_ALL)
    writer.writerow([])
    writer.writerow(["Shelf", *reversed(rows[0])])
    for row in rows[1:]:
        cells = [c.replace(".", ",") if c.replace(".", "").isdigit() else c for c in row]
        writer.writerow(["  top ", *reversed(cells)])
    return b"\xef\xbb\xbfsep=;\r\n" + out.getvalue().encode("utf-8") + b"\r\n"


@pytest.fixture
def german(data_folder):
    path = data_folder / "pans.csv"
    path.write_bytes(spreadsheets_way(path.read_bytes()))
    kk.open_kit(data_folder)
    return EditedTable("pans", data_folder)


def in_row(raw: bytes, key: bytes, old: bytes, new: bytes) -> bytes:
    """The same file with something else in the row that ends with a key."""
    rows = raw.split(b"\r\n")
    [at] = [n for n, row in enumerate(rows) if row.endswith(b'"' + key + b'"')]
    assert old in rows[at]
    rows[at] = rows[at].replace(old, new)
    return b"\r\n".join(rows)


def test_a_spreadsheets_file_keeps_its_ways(german, data_folder):
    before = german.path.read_bytes()
    assert german.content() == before
    assert german.own_columns == ["Shelf"]
    row = german.row(id_of(german, "loaf-9x5"))
    assert row.texts["depth"] == "2,75"
    german.change(row.id, {**row.texts, "depth": "2,8"})
    assert german.content() == in_row(before, b"loaf-9x5", b'"2,75";"4,25"', b'"2,8";"4,25"')
    german.add(TIN)
    german.save()
    after = german.path.read_bytes()
    assert after.startswith(before[:200])
    assert after.endswith(b"loaf;my tin;my-tin\r\n\r\n")
    assert kk.open_kit(data_folder).pans["loaf-9x5"].height * 100 / 2.54 == pytest.approx(2.8)


@pytest.mark.parametrize(
    ("typed", "written"), [("2.8", "2,8"), ("2,8", "2,8"), ("3", "3"), ("2.875", None)]
)
def test_a_number_is_written_with_the_tables_sign(german, typed, written):
    row = german.row(id_of(german, "loaf-9x5"))
    if written is None:  # 2.875 or 2875?
        with pytest.raises(DataError, match="2,5 for"):
            german.change(row.id, {"depth": typed})
    else:
        german.change(row.id, {"depth": typed})
        assert german.row(row.id).texts["depth"] == written


def test_a_decimal_comma_typed_into_a_table_with_points_becomes_a_point(pans):
    row = pans.row(id_of(pans, "loaf-9x5"))
    pans.change(row.id, {"depth": "2,8"})
    assert pans.row(row.id).texts["depth"] == "2.8"


def test_an_edit_that_would_make_other_numbers_read_otherwise_is_refused(data_folder):
    path = data_folder / "pans.csv"
    head, loaf = path.read_text(encoding="utf-8").splitlines()[:2]
    wide = loaf.replace("7.875,3.875,7,3.125,2.375,0.25", '"9,125",9,"8,250",8,4,0')
    deep = loaf.replace("7.875,3.875,7,3.125,2.375,0.25", '9,9,8,8,"2,5",0')
    deep = deep.replace("loaf-8x4", "deep").replace("loaf pan,", "deep pan,")
    path.write_text(f"{head}\n{wide}\n{deep}\n", encoding="utf-8")
    pans = EditedTable("pans", data_folder)
    with pytest.raises(EditError, match="read otherwise"):
        pans.change(id_of(pans, "deep"), {"depth": "3"})
    pans.change(id_of(pans, "deep"), {"depth": "3.5"})
    assert pans.rows[-1].texts["depth"] == "3,5"


def test_rows_of_notes_stay(data_folder):
    path = data_folder / "pans.csv"
    notes = b"# measured in June\n\n"
    path.write_bytes(path.read_bytes() + notes)
    pans = EditedTable("pans", data_folder)
    row = pans.row(id_of(pans, "loaf-9x5"))
    pans.change(row.id, {"depth": "2.8"})
    assert pans.content().endswith(notes)
    pans.save()
    assert pans.path.read_bytes().endswith(notes)


# --- changed elsewhere --------------------------------------------------------------------------


def test_a_file_changed_in_a_spreadsheet_meanwhile_is_not_overwritten(pans):
    row = pans.row(id_of(pans, "loaf-9x5"))
    pans.change(row.id, {"depth": "2.8"})
    theirs = pans.path.read_bytes().replace(b"Depth at the small end", b"Depth of ours")
    pans.path.write_bytes(theirs)
    with pytest.raises(ChangedError):
        pans.save()
    assert pans.path.read_bytes() == theirs
    assert pans.unsaved == 1


def test_edits_are_put_onto_what_was_changed_elsewhere(pans):
    row = pans.row(id_of(pans, "loaf-9x5"))
    pans.change(row.id, {"depth": "2.8", "corner": "0.6"})
    theirs = spreadsheets_way(pans.path.read_bytes())
    theirs = in_row(theirs, b"loaf-9x5", b'"0,5";"2,75"', b'"0,7";"2,75"')
    pans.path.write_bytes(theirs)
    merged = pans.catch_up()
    [conflict] = merged.conflicts
    assert (conflict.row, conflict.column, conflict.mine) == ("loaf-9x5", "corner", "0,7")
    assert pans.unsaved == 1
    pans.save()
    assert pans.path.read_bytes() == in_row(theirs, b"loaf-9x5", b'"2,75"', b'"2,8"')
    pans.undo()
    assert pans.unsaved == 0


def test_catching_up_with_what_is_no_table_or_gone_says_so(pans):
    pans.add(TIN)
    pans.path.write_bytes(b'key,"name')
    with pytest.raises(EditError, match="cannot be put together"):
        pans.catch_up()
    pans.path.unlink()
    with pytest.raises(EditError, match="is gone"):
        pans.catch_up()
    assert pans.unsaved == 1


def test_an_earlier_version_comes_back(pans):
    first = pans.path.read_bytes()
    pans.add(TIN)
    with pytest.raises(EditError, match="Save your changes"):
        pans.bring_back("x")
    pans.save(NOW)
    [version] = pans.versions()
    pans.bring_back(version)
    assert pans.path.read_bytes() == first
    assert pans.content() == first
    assert len(pans.versions()) == 2


# --- whose data ---------------------------------------------------------------------------------


def test_the_kits_own_data_are_never_changed(monkeypatch, data_folder):
    assert is_own(data_folder)
    assert not is_own(shipped_folder("data"))
    assert not is_own(PACKAGE / "shipped/data")
    pans = EditedTable("pans")
    assert pans.folder == shipped_folder("data")
    before = pans.path.read_bytes()
    pans.add(TIN)
    for attempt in (pans.save, lambda: pans.bring_back("x")):
        with pytest.raises(EditError, match="kit's own data"):
            attempt()
    assert pans.path.read_bytes() == before
    assert not (pans.folder / saving.VERSIONS).exists()
    monkeypatch.setenv("KITCHENKIT_DATA", str(data_folder))
    assert EditedTable("pans").folder == data_folder


def test_the_kits_own_data_are_not_changed_by_way_of_a_link(tmp_path):
    link = tmp_path / "data"
    try:
        link.symlink_to(shipped_folder("data"), target_is_directory=True)
    except OSError:
        pytest.skip("links need rights there")
    assert not is_own(link)


def test_a_link_in_place_of_a_table_is_left_alone(pans, tmp_path):
    outside = tmp_path / "theirs.csv"
    pans.path.rename(outside)
    try:
        pans.path.symlink_to(outside)
    except OSError:
        pytest.skip("links need rights there")
    with pytest.raises(EditError, match="is a link"):
        EditedTable("pans", pans.folder)


def test_the_folders_check_leaves_the_folder_as_it_is(data_folder):
    before = {p: p.read_bytes() for p in data_folder.rglob("*") if p.is_file()}
    assert folder_faults(data_folder, "pans.csv", (data_folder / "pans.csv").read_bytes()) == []
    [fault] = folder_faults(data_folder, "pans.csv", None)
    assert fault.mend == "Put pans.csv back into data/."
    assert {p: p.read_bytes() for p in data_folder.rglob("*") if p.is_file()} == before


def test_what_was_found_is_asked_anew_once_the_folder_or_the_language_is_another(data_folder, told):
    pans = (data_folder / "pans.csv").read_bytes()
    assert folder_faults(data_folder, "pans.csv", pans) == []
    sources = data_folder / "sources.csv"
    before = sources.read_bytes()
    sources.write_bytes(before.replace(b",memory,", b",guess,", 1))
    [fault] = folder_faults(data_folder, "pans.csv", pans)
    assert fault.value == "guess"
    folder_faults(data_folder, "pans.csv", pans).clear()  # what is given is the asker's own
    assert folder_faults(data_folder, "pans.csv", pans) == [fault]
    with told("es_ES"):
        [other] = folder_faults(data_folder, "pans.csv", pans)
    assert other.mend.startswith("Elige")
    sources.write_bytes(before)
    assert folder_faults(data_folder, "pans.csv", pans) == []


def test_texts_to_choose_from(data_folder):
    assert "loaf-9x5" in column_texts("pans", "key", data_folder)
    (data_folder / "pans.csv").write_bytes(b"\x00")
    assert column_texts("pans", "key", data_folder) == []


# --- a recipe -----------------------------------------------------------------------------------

BASE = "carrot-oat-base"


@pytest.fixture
def recipe(data_folder):
    return EditedRecipe(BASE, data_folder)


def test_a_recipe_is_read_as_it_is_written(recipe, base):
    assert recipe.texts["name"] == base.name
    assert recipe.texts["servings"] == "16"
    assert recipe.texts["density"] == "1.03 g/ml"
    assert recipe.lines[0] == {
        "ingredient": "all-purpose flour",
        "amount": "1 1/2 cups",
        "note": "spooned into the cup and levelled",
    }
    assert recipe.content() == recipe.path.read_bytes()
    assert recipe.unsaved == 0


def test_a_changed_part_leaves_the_rest_of_the_file(recipe):
    before = recipe.content().decode()
    recipe.change({"servings": "12", "density": "1.02 g/ml"})
    recipe.change_line(1, {"amount": "1 cup"})
    assert recipe.content().decode() == (
        before.replace("servings = 16", "servings = 12")
        .replace("1.03 g/ml", "1.02 g/ml")
        .replace('"3/4 cup"', '"1 cup"')
    )
    assert before.startswith("# The demo's one base batter.")
    assert recipe.unsaved == 3
    recipe.undo()
    recipe.undo()
    assert recipe.content().decode() == before
    recipe.redo()
    recipe.save(NOW)
    assert kk.open_kit(recipe.folder).recipes[BASE].servings == 12
    [version] = recipe.versions()
    assert version.path.read_text(encoding="utf-8") == before


def test_lines_are_added_changed_and_removed(recipe, base):
    recipe.add_line({"ingredient": "raisins", "amount": "1/2 cup", "note": ""})
    recipe.remove_line(6)
    recipe.save()
    lines = kk.open_kit(recipe.folder).recipes[BASE].lines
    assert lines[-1].ingredient.name == "raisins, loose"
    assert len(lines) == len(base.lines)
    assert "cinnamon" not in [line.ingredient.name for line in lines]
    with pytest.raises(EditError, match="not there any more"):
        recipe.remove_line(40)


def test_a_new_recipe_gets_a_file_named_after_it(data_folder):
    recipe = EditedRecipe(None, data_folder)
    recipe.change(
        {
            **{"name": "Plain / batter: ../../x", "servings": "8", "source": "lantern-street"},
            **{"density": "1 g/ml", "basis": "measured", "note": 'says "hi"'},
        }
    )
    with pytest.raises(DataError):
        recipe.save()
    recipe.add_line({"ingredient": "all-purpose flour", "amount": "2 cups"})
    path = recipe.save()
    assert path == data_folder / "recipes/plain-batter-x.toml"
    assert recipe.key == "plain-batter-x"
    found = kk.open_kit(data_folder).recipes["plain-batter-x"]
    assert (found.name, found.servings) == ("Plain / batter: ../../x", 8)
    assert found.note == 'says "hi"'
    recipe.change({"density": "", "basis": "", "note": ""})
    recipe.save()
    assert kk.open_kit(data_folder).recipes["plain-batter-x"].density_basis == "computed"
    assert recipe_keys(data_folder) == [BASE, "plain-batter-x"]


def test_a_name_already_taken_is_told(data_folder):
    recipe = EditedRecipe(None, data_folder)
    recipe.change(
        {"name": "carrot-and-oat base batter", "servings": "8", "source": "lantern-street"}
    )
    recipe.add_line({"ingredient": "all-purpose flour", "amount": "2 cups"})
    with pytest.raises(DataError, match="has this name too"):
        recipe.save()


@pytest.mark.parametrize(
    ("part", "words", "line", "mend"),
    [
        ("servings", "many", False, "2 1/2"),
        ("servings", "0", False, "from 0.1"),
        ("density", "heavy", False, "g/ml"),
        ("basis", "guessed", False, "Choose one of"),
        ("name", "=1+1", False, "Begin it with a word"),
        ("name", "", False, "Fill it in"),
        ("amount", "2 moons", True, "moons"),
        ("ingredient", "", True, "Fill it in"),
    ],
)
def test_a_part_is_checked_as_typed(recipe, part, words, line, mend):
    assert mend in recipe.complaint(part, words, line)
    with pytest.raises(DataError):
        (lambda: recipe.change_line(0, {part: words}) if line else recipe.change({part: words}))()
    assert recipe.unsaved == 0


@pytest.mark.parametrize("amount", ["2 moons", "cup", "-1 cup"])
def test_an_unknown_ingredient_and_an_absurd_amount_are_not_saved(recipe, amount):
    with pytest.raises(DataError):
        recipe.change_line(0, {"amount": amount})
    recipe.add_line({"ingredient": "moon dust", "amount": "1 cup"})
    with pytest.raises(DataError, match="no ingredient called 'moon dust'"):
        recipe.save()


@pytest.mark.parametrize("key", ["", "..", "../pans", "/etc/passwd", "a b", "no-such", "A"])
def test_only_recipes_that_are_there(key, data_folder):
    with pytest.raises(EditError, match="There is no recipe called"):
        EditedRecipe(key, data_folder)


@pytest.mark.parametrize("raw", [b"name = ", b"\xff\xfe\x00", b"a = [" * 3000, b"x = 1\nx = 2\n"])
def test_a_recipe_that_cannot_be_read_says_so(data_folder, raw):
    (data_folder / f"recipes/{BASE}.toml").write_bytes(raw)
    with pytest.raises(EditError, match="cannot be read"):
        EditedRecipe(BASE, data_folder)


def test_a_removed_recipe_can_come_back(data_folder):
    shutil.copy(data_folder / f"recipes/{BASE}.toml", data_folder / "recipes/second.toml")
    second = data_folder / "recipes/second.toml"
    second.write_text(
        second.read_text(encoding="utf-8").replace("carrot-and-oat base", "second"),
        encoding="utf-8",
    )
    recipe = EditedRecipe("second", data_folder)
    recipe.remove(NOW)
    assert recipe_keys(data_folder) == [BASE]
    assert removed_recipes(data_folder) == ["second"]
    saving.bring_back(second, saving.versions(second)[0])
    assert recipe_keys(data_folder) == [BASE, "second"]
    assert removed_recipes(data_folder) == []


def test_the_last_recipe_and_one_that_is_needed_stay(recipe):
    with pytest.raises(DataError):
        recipe.remove()
    assert recipe.path.is_file()


def test_a_recipe_changed_elsewhere_is_not_overwritten_and_ones_own_comes_back_by_undo(recipe):
    recipe.change({"servings": "12"})
    mine = recipe.content()
    theirs = recipe.path.read_bytes().replace(b"servings = 16", b"servings = 20")
    recipe.path.write_bytes(theirs)
    with pytest.raises(ChangedError):
        recipe.save()
    recipe.catch_up()
    assert recipe.content() == theirs
    recipe.undo()
    assert recipe.content() == mine
    recipe.save()
    assert recipe.path.read_bytes() == mine


def test_the_kits_own_recipes_are_never_changed():
    recipe = EditedRecipe(BASE)
    recipe.change({"servings": "12"})
    for attempt in (recipe.save, recipe.remove):
        with pytest.raises(EditError, match="kit's own data"):
            attempt()
    assert editing.recipe_keys() == sorted(p.stem for p in recipe.path.parent.glob("*.toml"))
