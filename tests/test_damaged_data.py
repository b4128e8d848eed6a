"""Five hundred spoilt data folders: each opens whole and right, or tells one error with its places.

Each case spoils one file of the shipped data in one way, by a generator with a fixed seed, opens
the folder, and puts the file back.
"""

import csv
import io
import math
import random
import shutil

import pytest

import kitchenkit as kk
from kitchenkit.errors import DataError
from kitchenkit.places import shipped_folder

CASES = 500
SEED = 20261125
SHIPPED = shipped_folder("data")
TABLES = ["ingredients.csv", "pans.csv", "sources.csv"]
RECIPE = "recipes/carrot-oat-base.toml"

JUNK = [
    *("", " ", "-", "?", "n/a", "NaN", "nan", "inf", "-inf", "None", "TRUE", "#REF!", "#NAME?"),
    *("=1+1", "=A1", "@SUM(A1:A9)", "+cmd", "-1", "-0.5", "0", "1e309", "1E3", "9" * 30, "9" * 400),
    *("9" * 400 + "/3", "9" * 5000, "1/0", "1,250", "1.250,5", "12,5", "½", "²", "٣", "12 g"),
    *("1 cup", "0 cups", "x" * 501, "x" * 200_000, '"', '""', "'", ";", "\t", "a;b", "milk;;soy"),
    *("\x00", "a\x00b", "\x1b[31m", "\r", "a\nb", "\u202e", "\ufeff", "\ufffd", "\U0001f955", "é"),
    *("../../etc", "<b>bold</b>", "{0}", "%s", "\\", "rolled-oats", "2026-11-25", "25-Nov"),
]

# Ways to spoil the bytes of any file -------------------------------------------------------------


def flip_bits(rng, raw):
    out = bytearray(raw)
    for _ in range(rng.choice([1, 1, 3, 20, 200])):
        out[rng.randrange(len(out))] ^= 1 << rng.randrange(8)
    return bytes(out)


def random_bytes(rng, raw):
    out = bytearray(raw)
    for _ in range(rng.choice([1, 2, 10])):
        out[rng.randrange(len(out))] = rng.randrange(256)
    return bytes(out)


def insert_bytes(rng, raw):
    at = rng.randrange(len(raw) + 1)
    return raw[:at] + rng.randbytes(rng.choice([1, 2, 8, 64])) + raw[at:]


def insert_marks(rng, raw):
    out = raw
    for _ in range(rng.choice([1, 2, 5])):
        at = rng.randrange(len(out) + 1)
        mark = rng.choice([b'"', b'""', b"'", b",", b";", b"\t", b"\n", b"\r", b"\x00", b"[", b"="])
        out = out[:at] + mark + out[at:]
    return out


def cut_out(rng, raw):
    at = rng.randrange(len(raw))
    return raw[:at] + raw[at + rng.choice([1, 2, 10, 100, 1000]) :]


def cut_short(rng, raw):
    return raw[: rng.choice([0, 1, 2, 3, 10, rng.randrange(len(raw)), rng.randrange(len(raw))])]


def repeat_piece(rng, raw):
    start = rng.randrange(len(raw))
    piece = raw[start : start + rng.choice([1, 10, 300])]
    at = rng.randrange(len(raw) + 1)
    return raw[:at] + piece + raw[at:]


def blank_piece(rng, raw):
    at, size = rng.randrange(len(raw)), rng.choice([1, 16, 512])
    return raw[:at] + rng.choice([b"\x00", b" ", b"\xff"]) * size + raw[at + size :]


def nothing_but_noise(rng, raw):
    return rng.randbytes(rng.choice([1, 100, 5000]))


def another_encoding(rng, raw):
    text = raw.decode("utf-8")
    coding = rng.choice(
        ["utf-16", "utf-16-le", "utf-16-be", "utf-32", "utf-8-sig", "cp1252", "cp500"]
    )
    return text.encode(coding)


def old_encoding(rng, raw):
    return raw.decode("utf-8").encode(rng.choice(["ascii", "cp437", "mac-roman"]), "replace")


def encoded_twice(rng, raw):
    return raw.decode("cp1252", "replace").encode(rng.choice(["utf-8", "utf-8-sig", "utf-16"]))


def false_mark(rng, raw):
    return rng.choice([b"\xff\xfe", b"\xfe\xff", b"\xef\xbb", b"\xff\xfe\x00\x00"]) + raw


def other_line_ends(rng, raw):
    return raw.replace(b"\n", rng.choice([b"\r\n", b"\r", b"\n\n", b"\n\r", b"\x0b", b" "]))


BYTES = [
    flip_bits,
    random_bytes,
    insert_bytes,
    insert_marks,
    cut_out,
    cut_short,
    repeat_piece,
    blank_piece,
    nothing_but_noise,
    another_encoding,
    old_encoding,
    encoded_twice,
    false_mark,
    other_line_ends,
]

# Ways to spoil the cells of a table --------------------------------------------------------------


def spoil_cells(rng, rows):
    for _ in range(rng.choice([1, 1, 2, 20])):
        row = rng.choice(rows)
        row[rng.randrange(len(row))] = rng.choice(JUNK)


def spoil_numbers(rng, rows):
    for _ in range(rng.choice([1, 3])):
        row = rng.choice(rows[1:])
        numeric = [at for at, cell in enumerate(row) if cell.replace(".", "").isdigit()]
        if numeric:
            at = rng.choice(numeric)
            row[at] = rng.choice(
                [f"-{row[at]}", row[at] + "000000", row[at].replace(".", ","), f"{row[at]} g", "0"]
            )


def drop_column(rng, rows):
    at = rng.randrange(len(rows[0]))
    for row in rows:
        del row[at]


def double_column(rng, rows):
    at = rng.randrange(len(rows[0]))
    for row in rows:
        row.insert(rng.randrange(len(row) + 1) if rng.random() < 0.2 else at, row[at])


def rename_column(rng, rows):
    rows[0][rng.randrange(len(rows[0]))] = rng.choice(
        ["", "weight", "key", "note", "KEY ", "x" * 99]
    )


def swap_headings(rng, rows):
    one, other = rng.sample(range(len(rows[0])), 2)
    rows[0][one], rows[0][other] = rows[0][other], rows[0][one]


def shift_row(rng, rows):
    row = rng.choice(rows)
    if rng.random() < 0.5:
        row.insert(rng.randrange(len(row)), "")
    else:
        del row[rng.randrange(len(row))]


def drop_rows(rng, rows):
    for _ in range(rng.choice([1, 1, 5, len(rows)])):
        if rows:
            del rows[rng.randrange(len(rows))]


def double_row(rng, rows):
    rows.insert(rng.randrange(len(rows) + 1), list(rng.choice(rows)))


def shuffle_rows(rng, rows):
    below = rows[1:]
    rng.shuffle(below)
    rows[1:] = below


def blank_rows(rng, rows):
    for _ in range(3):
        rows.insert(rng.randrange(len(rows) + 1), rng.choice([[], [""], [" ", ""], [""] * 30]))


CELLS = [
    spoil_cells,
    spoil_cells,
    spoil_cells,
    spoil_numbers,
    spoil_numbers,
    drop_column,
    double_column,
    rename_column,
    swap_headings,
    shift_row,
    drop_rows,
    double_row,
    shuffle_rows,
    blank_rows,
]


def spoil_table(rng, raw):
    rows = list(csv.reader(io.StringIO(raw.decode("utf-8"), newline="")))
    way = rng.choice(CELLS)
    way(rng, rows)
    out = io.StringIO()
    line_end, mark = rng.choice(["\n", "\r\n"]), rng.choice([",", ",", ";", "\t"])
    csv.writer(out, delimiter=mark, lineterminator=line_end).writerows(rows)
    coding = rng.choice(["utf-8", "utf-8", "utf-8-sig", "utf-16"])
    return out.getvalue().encode(coding, "replace"), way.__name__


# Ways to spoil the lines of a recipe -------------------------------------------------------------

VALUES = [
    *('""', '"x"', "0", "-1", "nan", "inf", "-inf", "1e309", "true", "[]", "{}", "2026-11-25"),
    *(
        "07:30:00",
        "[1, [2, 3]]",
        "{a = 1}",
        '"1 cup"',
        '"0 g"',
        '"1e9 kg"',
        '"-1 cup"',
        "0x" + "f" * 6000,
    ),
    *("9" * 6000, "[" * 3000, "[" * 400 + "]" * 400, '"' + "9" * 400 + '/3 cups"', "'''", '"""'),
    *('"\\u0000"', '"\\ud800"', "=1+1", "", '"=1+1"', '"1.03 g/ml"', '"9999 g/ml"', '"1 g/0 ml"'),
]


def spoil_recipe(rng, raw):
    lines = raw.decode("utf-8").splitlines()
    filled = [at for at, line in enumerate(lines) if " = " in line]
    at = rng.choice(filled)
    way = rng.choice(["value", "value", "value", "name", "drop", "double", "swap", "table"])
    if way == "value":
        lines[at] = lines[at].split(" = ")[0] + " = " + rng.choice(VALUES)
    elif way == "name":
        lines[at] = rng.choice(["", "x", "name", "a.b", '"servings"']) + lines[at].partition(" ")[2]
    elif way == "drop":
        del lines[at]
    elif way == "double":
        lines.insert(at, lines[at])
    elif way == "swap":
        other = rng.choice(filled)
        lines[at], lines[other] = lines[other], lines[at]
    else:
        lines.insert(
            at, rng.choice(["[batter]", "[[ingredients]]", "[ingredients]", "[name]", "[", "]"])
        )
    return "\n".join(lines).encode(), f"recipe {way}"


def damage(case):
    """The file that case number `case` spoils, the way, and the spoilt bytes."""
    rng = random.Random(f"{SEED}/{case}")
    name = rng.choice([*TABLES, RECIPE])
    raw = (SHIPPED / name).read_bytes()
    if rng.random() < 0.4:
        way = rng.choice(BYTES)
        return name, way.__name__, way(rng, raw)
    spoilt, way = (spoil_recipe if name == RECIPE else spoil_table)(rng, raw)
    return name, way, spoilt


# What must hold ----------------------------------------------------------------------------------


def plain_rows(raw):
    """Rows with anything in them, read by the plainest means."""
    coding = "utf-16" if raw[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig"
    try:
        text = raw.decode(coding)
    except UnicodeDecodeError:
        text = raw.decode("cp1252")
    first = next(line for line in text.splitlines() if line.strip(" ,;\t"))
    mark = max(",;\t", key=first.count)
    rows = csv.reader(io.StringIO(text, newline=""), delimiter=mark)
    return [row for row in rows if any(cell.strip() for cell in row)]


# What only changes how the data are written down: if it opens, nothing may have changed.
HARMLESS = {
    "another_encoding",
    "blank_rows",
    "encoded_twice",
    "false_mark",
    "other_line_ends",
    "shuffle_rows",
}


def contents(kit):
    shelves = (kit.ingredients, kit.pans, kit.sources, kit.recipes)
    return [{key: repr(item) for key, item in shelf.items()} for shelf in shelves]


def assert_whole(kit, name, raw):
    """No row is lost, and every figure is one that a kitchen can have."""
    if name in TABLES:
        head, *rows = plain_rows(raw)
        at = [cell.strip().casefold() for cell in head].index("key")
        shelf = {"ingredients.csv": kit.ingredients, "pans.csv": kit.pans}.get(name, kit.sources)
        assert list(shelf) == [row[at].strip().casefold() for row in rows]
    for item in kit.ingredients.values():
        assert 0.03 <= item.density.m_as("g/ml") <= 2
        assert 0 < item.edible_yield <= 1
        assert 0.95 < sum(item.composition.values()) - item.composition["fibre"] < 1.05
        assert item.source in kit.sources
        assert item.composition_source in kit.sources
        assert item.name.strip()
        assert item.name.isprintable()
    for pan in kit.pans.values():
        assert 0 < pan.capacity.m_as("liter") < 1000
        assert pan.source in kit.sources
    assert kit.recipes
    for recipe in kit.recipes.values():
        assert 0 < recipe.servings <= 10_000
        assert math.isfinite(recipe.weight.m_as("g"))
        assert recipe.weight.m_as("g") > 0
        assert 0.4 <= recipe.density.m_as("g/ml") <= 1.5
        assert recipe.source in kit.sources
        for line in recipe.lines:
            assert kit.ingredients[line.ingredient.key] is line.ingredient


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return shutil.copytree(SHIPPED, tmp_path_factory.mktemp("spoilt") / "data")


@pytest.fixture
def spoil(folder):
    """Put spoilt bytes into a file for one test."""
    spoilt = []

    def spoil(name, raw):
        spoilt.append(name)
        (folder / name).write_bytes(raw)
        return folder

    yield spoil
    for name in spoilt:
        shutil.copyfile(SHIPPED / name, folder / name)


def assert_told(error, folder, name):
    """One error of the kit's own, with places that a person can find, and about the spoilt file."""
    assert type(error) is DataError
    assert error.faults
    for fault in error.faults:
        assert (folder / fault.file).exists(), fault
        assert fault.row.strip(), fault
        assert fault.mend.strip(), fault
    # A row that is gone from one of these is told where it is missed.
    missed_elsewhere = {"sources.csv", "ingredients.csv"}
    assert name in missed_elsewhere or {fault.file for fault in error.faults} == {name}
    assert len(str(error)) < 200_000


@pytest.mark.parametrize("case", range(CASES))
def test_spoilt_data_open_right_or_are_told(spoil, kit, case):
    name, way, raw = damage(case)
    folder = spoil(name, raw)
    try:
        opened = kk.open_kit(folder)
    except DataError as error:
        assert_told(error, folder, name)
    else:
        assert_whole(opened, name, raw)
        if way in HARMLESS:
            assert contents(opened) == contents(kit)


def test_the_cases_are_many_kinds_of_damage_to_every_file():
    damaged = [damage(case)[:2] for case in range(CASES)]
    assert {name for name, _ in damaged} == {*TABLES, RECIPE}
    ways = {way for _, way in damaged}
    assert ways >= {*(way.__name__ for way in (*BYTES, *CELLS)), *HARMLESS}


def test_the_folder_is_put_back_after_each_case(folder):
    for name in (*TABLES, RECIPE):
        assert (folder / name).read_bytes() == (SHIPPED / name).read_bytes()
