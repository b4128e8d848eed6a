"""Opening a data folder: whole and right, or one error with every fault, its place and its mend."""

import codecs
import csv
import datetime
import io

import pytest

import kitchenkit as kk
from kitchenkit import editing
from kitchenkit.errors import DataError
from kitchenkit.kit import ALLERGENS
from kitchenkit.places import shipped_folder
from kitchenkit.shelf import Shelf

TABLES = ["ingredients.csv", "pans.csv", "sources.csv"]
RECIPE = "recipes/carrot-oat-base.toml"


def rows_of(folder, name):
    with (folder / name).open(encoding="utf-8-sig", newline="") as file:
        return list(csv.reader(file))


def write(folder, name, rows, separator=",", encoding="utf-8", line_end="\n", before=""):
    out = io.StringIO()
    csv.writer(out, delimiter=separator, lineterminator=line_end).writerows(rows)
    (folder / name).write_bytes((before + out.getvalue()).encode(encoding))


def set_cell(folder, name, row, column, value):
    """Put a value into a row, numbered as a spreadsheet does."""
    rows = rows_of(folder, name)
    rows[row - 1][rows[0].index(column)] = value
    write(folder, name, rows)


def edit(folder, name, old, new):
    text = (folder / name).read_text(encoding="utf-8")
    assert old in text
    (folder / name).write_text(text.replace(old, new, 1), encoding="utf-8")


def faults(folder):
    with pytest.raises(DataError) as caught:
        kk.open_kit(folder)
    assert str(caught.value).count("\n- ") == len(caught.value.faults)
    return caught.value.faults


def told(folder):
    return [(fault.file, fault.row, fault.column, fault.value) for fault in faults(folder)]


def contents(kit):
    return (
        list(kit.ingredients.values()),
        list(kit.pans.values()),
        list(kit.sources.values()),
        [(r.key, r.name, r.servings, r.weight.m_as("g")) for r in kit.recipes.values()],
    )


# Whole and right ---------------------------------------------------------------------------------


def test_the_shipped_data_hold_what_lessons_need(kit):
    assert len(kit.ingredients) >= 45
    assert len(kit.pans) >= 30
    assert "carrot-oat-base" in kit.recipes
    assert kit.recipes["Carrot-and-Oat Base Batter"] is kit.recipes["carrot-oat-base"]
    assert {pan.material for pan in kit.pans.values()} == {
        "metal",
        "dark metal",
        "glass",
        "ceramic",
        "silicone",
    }


def test_nothing_of_the_tables_is_lost(kit):
    for name, shelf in zip(TABLES, (kit.ingredients, kit.pans, kit.sources), strict=True):
        keys = [row[0] for row in rows_of(kit.folder, name)[1:] if any(row)]
        assert list(shelf) == keys


def test_the_nine_major_allergens_are_known():
    # FALCPA (2004); the FASTER Act, Pub. L. 117-11 (2021), added sesame.
    assert set(ALLERGENS) == {
        *("milk", "egg", "fish", "crustacean shellfish", "tree nuts"),
        *("peanut", "wheat", "soy", "sesame"),
    }


def test_a_copy_of_the_folder_opens_the_same(kit, data_folder):
    for folder in (data_folder, str(data_folder)):
        assert contents(kk.open_kit(folder)) == contents(kit)


def test_sources_are_cited_with_how_they_were_read(kit):
    assert kit.cite("nist-sp-430").startswith("NIST")
    assert kit.cite("pan-typical").endswith("(from memory, unverified)")
    assert "invented" in kit.cite("lantern-street").casefold()


def test_a_shelf_is_found_by_any_spelling_and_lists_keys(kit):
    shelf = kit.ingredients
    assert shelf["Rolled_Oats"] is shelf["rolled oats"] is shelf["ROLLED-OATS"]
    assert "rolled oats" in shelf
    assert "sawdust" not in shelf
    assert 3 not in shelf
    assert shelf.get("sawdust") is None
    assert list(shelf) == [item.key for item in shelf.values()]
    assert repr(Shelf("thing")) == "things: none"


# Spreadsheet habits ------------------------------------------------------------------------------


def decimal_commas(folder, name):
    rows = rows_of(folder, name)
    text = {"key", "name", "also", "note", "nominal", "citation", "measure"}
    return [rows[0]] + [
        [
            cell if head in text or not cell.replace(".", "").isdigit() else cell.replace(".", ",")
            for head, cell in zip(rows[0], row, strict=True)
        ]
        for row in rows[1:]
    ]


def shouting(rows):
    """Everything that is no name or note in capitals."""
    free = {"name", "also", "note", "nominal", "citation", "measure", "unit"}
    return [[cell.upper() for cell in rows[0]]] + [
        [cell if head in free else cell.upper() for head, cell in zip(rows[0], row, strict=True)]
        for row in rows[1:]
    ]


HABITS = {
    "byte-order mark": lambda f, n: write(f, n, rows_of(f, n), encoding="utf-8-sig"),
    "utf-16": lambda f, n: write(f, n, rows_of(f, n), encoding="utf-16"),
    "utf-16 big end first": lambda f, n: write(
        f, n, rows_of(f, n), encoding="utf-16-be", before="\ufeff"
    ),
    "crlf": lambda f, n: write(f, n, rows_of(f, n), line_end="\r\n"),
    "semicolons": lambda f, n: write(f, n, rows_of(f, n), separator=";"),
    "semicolons, decimal commas": lambda f, n: write(f, n, decimal_commas(f, n), separator=";"),
    "all of a European spreadsheet": lambda f, n: write(
        f, n, decimal_commas(f, n), ";", "utf-8-sig", "\r\n"
    ),
    "tabs, decimal commas, utf-16": lambda f, n: write(
        f, n, decimal_commas(f, n), "\t", "utf-16", "\r\n"
    ),
    "sep hint": lambda f, n: write(f, n, rows_of(f, n), ";", before="sep=;\n"),
    "quoted decimal commas": lambda f, n: write(f, n, decimal_commas(f, n)),
    "spaces": lambda f, n: write(f, n, [[f"  {c} " for c in row] for row in rows_of(f, n)]),
    "blank lines": lambda f, n: write(
        f, n, [line for row in rows_of(f, n) for line in ([], row, ["", " "])]
    ),
    "capitals": lambda f, n: write(f, n, shouting(rows_of(f, n))),
    "columns turned round": lambda f, n: write(f, n, [row[::-1] for row in rows_of(f, n)]),
    "a column of one's own": lambda f, n: write(
        f, n, [[*row, "mine" if at == 0 else ""] for at, row in enumerate(rows_of(f, n))]
    ),
}


@pytest.mark.parametrize("habit", HABITS)
def test_a_spreadsheets_habits_change_nothing(kit, data_folder, habit):
    for name in TABLES:
        HABITS[habit](data_folder, name)
    assert contents(kk.open_kit(data_folder)) == contents(kit)


def test_a_recipe_survives_a_text_editors_habits(kit, data_folder):
    path = data_folder / RECIPE
    text = path.read_text(encoding="utf-8")
    path.write_bytes(codecs.BOM_UTF8 + text.replace("\n", "\r\n").encode())
    assert contents(kk.open_kit(data_folder)) == contents(kit)


def test_grouped_thousands_in_a_table_of_decimal_points(data_folder):
    set_cell(data_folder, "ingredients.csv", 2, "measure", "10 cups")
    set_cell(data_folder, "ingredients.csv", 2, "measure_g", "1,250")
    item = next(iter(kk.open_kit(data_folder).ingredients.values()))
    assert item.weight("10 cups").m_as("g") == pytest.approx(1250)


# Every fault at once -----------------------------------------------------------------------------


def test_faults_of_all_files_are_told_in_one_error(data_folder):
    set_cell(data_folder, "sources.csv", 3, "how", "guessed")
    set_cell(data_folder, "ingredients.csv", 4, "measure_g", "heavy")
    set_cell(data_folder, "ingredients.csv", 4, "allergens", "gluten")
    set_cell(data_folder, "pans.csv", 5, "material", "paper")
    set_cell(data_folder, "pans.csv", 5, "depth", "")
    edit(data_folder, RECIPE, '"1 1/2 cups"', '"some cups"')
    assert told(data_folder) == [
        ("sources.csv", "row 3", "how", "guessed"),
        ("ingredients.csv", "row 4", "measure_g", "heavy"),
        ("ingredients.csv", "row 4", "allergens", "gluten"),
        ("pans.csv", "row 5", "depth", ""),
        ("pans.csv", "row 5", "material", "paper"),
        (RECIPE, "ingredient 1", "amount", "some cups"),
    ]


def test_the_message_is_a_list_a_person_can_work_through(data_folder):
    set_cell(data_folder, "ingredients.csv", 4, "yield_pct", "110")
    with pytest.raises(DataError) as caught:
        kk.open_kit(data_folder)
    assert str(caught.value) == (
        "1 thing to mend in the data:\n"
        "- ingredients.csv, row 4, column yield_pct: found '110'. Write a number from 1 to 100."
    )


@pytest.mark.parametrize(
    ("name", "column", "value", "mend"),
    [
        ("ingredients.csv", "key", "Oats & Co", "letters, digits and hyphens"),
        ("ingredients.csv", "name", "", "empty"),
        ("ingredients.csv", "group", "stuff", "Choose one of: flour"),
        ("ingredients.csv", "measure", "1 blob", "not a unit"),
        ("ingredients.csv", "measure", "0 cups", "above 0"),
        ("ingredients.csv", "measure", "100 g", "not a volume"),
        ("ingredients.csv", "measure_g", "0", "from 0.1 to 5000"),
        ("ingredients.csv", "measure_g", "2500", "Weigh it again"),
        ("ingredients.csv", "measure_g", "1.5", "Weigh it again"),
        ("ingredients.csv", "each_g", "-3", "from 0.1 to 5000"),
        ("ingredients.csv", "yield_pct", "0", "from 1 to 100"),
        ("ingredients.csv", "allergens", "milk; gluten", "Choose one of: milk"),
        ("ingredients.csv", "water", "50", "add up to 98 to 102"),
        ("ingredients.csv", "fibre", "99", "cannot be more"),
        ("ingredients.csv", "source", "hearsay", "Add this key to sources.csv"),
        ("ingredients.csv", "composition_source", "hearsay", "Add this key to sources.csv"),
        ("pans.csv", "kind", "bucket", "Choose one of: loaf"),
        ("pans.csv", "shape", "star", "Choose one of: box"),
        ("pans.csv", "top_length", "900", "from 0.5 to 100"),
        ("pans.csv", "depth", "-1", "from 0.2 to 50"),
        ("pans.csv", "wells", "1.5", "whole number"),
        ("pans.csv", "material", "paper", "Choose one of: metal"),
        ("pans.csv", "unit", "feet", "Choose one of: in, cm"),
        ("pans.csv", "top_width", "", "both needed"),
        ("pans.csv", "bottom_length", "99", "fits no oven"),
        ("pans.csv", "shape", "tube", "has the shape box"),
        ("pans.csv", "source", "hearsay", "Add this key to sources.csv"),
        ("sources.csv", "citation", "", "empty"),
        ("sources.csv", "how", "guessed", "Choose one of: read"),
    ],
)
def test_a_wrong_cell_is_told_with_its_place_and_mend(data_folder, name, column, value, mend):
    set_cell(data_folder, name, 2, column, value)
    found = [fault for fault in faults(data_folder) if fault.file == name]
    assert {fault.row for fault in found} == {"row 2"}
    assert any(fault.column == column and mend in fault.mend for fault in found), found


@pytest.mark.parametrize(
    ("pan", "changes", "column", "value", "mend"),
    [
        ("loaf-9x5", {"kind": "round"}, "shape", "box", "has the shape round"),
        ("loaf-9x5", {"shape": "tube"}, "shape", "tube", "has the shape box"),
        ("loaf-9x5", {"top_length": "45"}, "top_length", "45 in", "fits no oven"),
        ("loaf-9x5", {"top_width": ""}, "top_width", "", "both needed"),
        ("loaf-9x5", {"top_width": "4"}, "bottom_width", "4.25 in", "lean outwards"),
        ("loaf-9x5", {"bottom_length": "9.5"}, "bottom_length", "9.5 in", "lean outwards"),
        ("loaf-9x5", {"bottom_width": ""}, "bottom_width", "", "both needed"),
        ("loaf-9x5", {"bottom_width": "0.1"}, "bottom_width", "0.1 in", "fits no oven"),
        ("loaf-9x5", {"depth": "20"}, "depth", "20 in", "No baking pan"),
        ("loaf-9x5", {"depth": "0.3", "unit": "cm"}, "depth", "0.3 cm", "fits no oven"),
        ("loaf-9x5", {"corner": "3"}, "corner", "3 in", "at most half"),
        ("loaf-9x5", {"tube_top": "1"}, "tube_top", "1 in", "no tube"),
        ("loaf-9x5", {"tube_bottom": "1"}, "tube_bottom", "1 in", "no tube"),
        ("round-9x2", {"corner": "1"}, "corner", "1 in", "0 for a round"),
        ("round-9x2", {"top_width": "8"}, "top_width", "8 in", "one size across"),
        ("tube-10x4", {"tube_top": ""}, "tube_top", "", "A tube needs"),
        ("tube-10x4", {"tube_bottom": "15"}, "tube_bottom", "15 in", "A tube needs"),
    ],
)
def test_a_size_that_makes_no_pan_is_told_at_its_own_cell(
    data_folder, pan, changes, column, value, mend
):
    rows = rows_of(data_folder, "pans.csv")
    row = next(n for n, cells in enumerate(rows, 1) if cells[0] == pan)
    for name, cell in changes.items():
        set_cell(data_folder, "pans.csv", row, name, cell)
    (fault,) = faults(data_folder)
    assert (fault.row, fault.column, fault.value) == (f"row {row}", column, value)
    assert mend in fault.mend


@pytest.mark.parametrize(
    ("total", "opens"), [(97.9, False), (98.1, True), (101.9, True), (102.1, False)]
)
def test_a_composition_adds_up_to_a_hundred_within_two(data_folder, total, opens):
    rows = rows_of(data_folder, "ingredients.csv")
    others = ("protein", "fat", "carbohydrate", "ash")
    rest = sum(float(rows[1][rows[0].index(name)]) for name in others)
    set_cell(data_folder, "ingredients.csv", 2, "water", f"{total - rest:.2f}")
    if opens:
        assert kk.open_kit(data_folder).ingredients
    else:
        assert [fault.value for fault in faults(data_folder)] == [f"{total:g} g in all"]


@pytest.mark.parametrize(
    ("name", "column"), [("ingredients.csv", "key"), ("pans.csv", "name"), ("sources.csv", "key")]
)
def test_a_name_given_twice_is_told_with_the_other_row(data_folder, name, column):
    rows = rows_of(data_folder, name)
    first = rows[1][rows[0].index(column)]
    set_cell(data_folder, name, 6, column, first.upper() if column == "name" else first)
    found = [fault for fault in faults(data_folder) if "already has this name" in fault.mend]
    assert [(fault.row, fault.column) for fault in found] == [("row 6", column)]
    assert "Row 2" in found[0].mend


def test_another_name_may_not_be_someone_elses(data_folder):
    set_cell(data_folder, "ingredients.csv", 2, "also", "Rolled Oats")
    found = faults(data_folder)
    assert any("already has this name" in fault.mend for fault in found)


@pytest.mark.parametrize("name", TABLES)
def test_a_missing_table_is_one_fault_and_not_a_hundred(data_folder, name):
    (data_folder / name).unlink()
    assert told(data_folder) == [(name, "the file", "-", "nothing")]


def test_a_fault_in_a_row_is_told_once_though_others_lean_on_it(data_folder):
    set_cell(data_folder, "sources.csv", 2, "how", "guessed")
    rows = [row[0] for row in rows_of(data_folder, "ingredients.csv")]
    set_cell(data_folder, "ingredients.csv", rows.index("rolled-oats") + 1, "water", "wet")
    assert [(file, column) for file, _, column, _ in told(data_folder)] == [
        ("sources.csv", "how"),
        ("ingredients.csv", "water"),
    ]


def test_a_folder_that_is_not_there(tmp_path):
    for folder in (tmp_path / "none", str(tmp_path / "none")):
        with pytest.raises(DataError, match="Give the folder that holds"):
            kk.open_kit(folder)


def test_a_folder_without_recipes(data_folder):
    (data_folder / RECIPE).unlink()
    assert told(data_folder) == [("recipes/", "the folder", "-", "nothing")]
    (data_folder / "recipes").rmdir()
    assert told(data_folder) == [("recipes/", "the folder", "-", "nothing")]


# Recipes -----------------------------------------------------------------------------------------

GOOD = """
name = "test batter"
servings = 12
source = "lantern-street"
[[ingredients]]
ingredient = "all-purpose flour"
amount = "2 cups"
"""


def test_a_recipe_of_ones_own_is_read(data_folder):
    (data_folder / "recipes/my-own.toml").write_text(GOOD)
    kit = kk.open_kit(data_folder)
    assert kit.recipes["test batter"].weight.m_as("g") == pytest.approx(250)
    assert kit.recipes["my-own"].density_basis == "computed"


@pytest.mark.parametrize(
    ("old", "new", "row", "column", "mend"),
    [
        ('name = "test batter"', "", "the top", "name", "missing"),
        ('name = "test batter"', 'name = ""', "the top", "name", "empty"),
        ('name = "test batter"', "name = 3", "the top", "name", "like the shipped recipe"),
        ("servings = 12", "", "the top", "servings", "missing"),
        ("servings = 12", "servings = 0", "the top", "servings", "1 to 10,000"),
        ("servings = 12", "servings = -2", "the top", "servings", "1 to 10,000"),
        ("servings = 12", "servings = nan", "the top", "servings", "1 to 10,000"),
        ("servings = 12", "servings = inf", "the top", "servings", "1 to 10,000"),
        ("servings = 12", "servings = true", "the top", "servings", "like the shipped recipe"),
        ("servings = 12", 'servings = "12"', "the top", "servings", "like the shipped recipe"),
        ("servings = 12", "servings = 2026-11-25", "the top", "servings", "like the shipped"),
        ("servings = 12", "servings = 12\nyield = 3", "the top", "yield", "not a part"),
        ("servings = 12", "servings = 0x" + "f" * 9000, "the file", "-", "no part of a recipe"),
        ("servings = 12", "servings = " + "9" * 9000, "the file", "-", "no part of a recipe"),
        ("servings = 12", "note = " + "[" * 5000, "the file", "-", "no part of a recipe"),
        ("servings = 12", "servings = ", "row 3", "-", "Mend the line"),
        ("servings = 12", "servings 12", "row 3", "-", "Mend the line"),
        ("servings = 12", "servings = 12\nservings = 13", "row 4", "-", "Mend the line"),
        ("lantern-street", "hearsay", "the top", "source", "Add this key"),
        ("[[ingredients]]", "[ingredients]", "the top", "ingredients", "like the shipped recipe"),
        ('"all-purpose flour"', '"sawdust"', "ingredient 1", "ingredient", "no ingredient"),
        ('"all-purpose flour"', "3", "ingredient 1", "ingredient", "quotation marks"),
        ('amount = "2 cups"', "", "ingredient 1", "ingredients", "Each one needs"),
        ('"2 cups"', "2", "ingredient 1", "amount", "quotation marks"),
        ('"2 cups"', '"two blobs"', "ingredient 1", "amount", "not a unit"),
        ('"2 cups"', '"0 cups"', "ingredient 1", "amount", "above 0"),
        ('"2 cups"', '"9000000 kg"', "ingredient 1", "amount", "below a tonne"),
        ('"2 cups"', '"3 pieces"', "ingredient 1", "amount", "3 of what"),
        ('"2 cups"', '"' + "9" * 400 + '/3 cups"', "ingredient 1", "amount", "too large"),
        ("[[ing", '[batter]\nbasis = "x"\n[[ing', "[batter]", "basis", "stated, measured, carried"),
        ("[[ing", "[batter]\ndensity = 1.03\n[[ing", "[batter]", "density", "no unit"),
        ("[[ing", '[batter]\ndensity = "1 g"\n[[ing', "[batter]", "density", "not a density"),
        ("[[ing", '[batter]\ndensity = "9 g/ml"\n[[ing', "[batter]", "density", "0.4 and 1.4"),
        ("[[ing", "batter = 3\n[[ing", "the top", "batter", "like the shipped recipe"),
    ],
    ids=lambda value: str(value)[:24],
)
def test_a_fault_in_a_recipe_is_told_with_its_place(data_folder, old, new, row, column, mend):
    assert old in GOOD
    (data_folder / "recipes/my-own.toml").write_text(GOOD.replace(old, new))
    found = [fault for fault in faults(data_folder) if fault.row == row]
    assert {fault.file for fault in faults(data_folder)} == {"recipes/my-own.toml"}
    assert any(fault.column == column and mend in fault.mend for fault in found), found


def test_two_recipes_may_not_share_a_name(data_folder):
    for stem in ("one", "two"):
        (data_folder / f"recipes/{stem}.toml").write_text(GOOD)
    assert told(data_folder) == [("recipes/two.toml", "the top", "name", "test batter")]


def test_a_recipes_file_name_is_its_key(data_folder):
    (data_folder / "recipes/My Own.toml").write_text(GOOD)
    assert told(data_folder) == [("recipes/My Own.toml", "the file", "-", "My Own.toml")]


def test_companions_of_the_files_are_no_recipes(kit, data_folder, monkeypatch):
    for name in (RECIPE, "flavours/carrot-cream.toml", "pans.csv"):
        path = data_folder / name
        assert path.is_file()
        path.with_name(f"._{path.name}").write_bytes(b"\0\5\x16\7\xff")
    assert contents(kk.open_kit(data_folder)) == contents(kit)
    monkeypatch.setattr(editing, "_faults_of", lambda folder, files, said_in: files)
    checked = [name for name, _ in editing.folder_faults(data_folder, "pans.csv", b"")]
    assert RECIPE in checked
    assert not [name for name in checked if "._" in name]


def test_no_ingredients_is_a_fault(data_folder):
    (data_folder / "recipes/my-own.toml").write_text(
        'name = "air"\nservings = 1\nsource = "lantern-street"\ningredients = []\n'
    )
    assert told(data_folder) == [("recipes/my-own.toml", "the end", "ingredients", "nothing")]


def test_the_shipped_data_tell_of_their_own_day_and_other_folders_of_the_reader_s(kit, data_folder):
    own = kk.open_kit(data_folder)
    assert own.today == datetime.date.today()
    shipped = kk.open_kit(shipped_folder("data"))
    noted = {price.date for listed in shipped.prices.values() for price in listed}
    assert max(noted) <= shipped.today == kit.today
    assert str(shipped.today) == "2026-11-25"
