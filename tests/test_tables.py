"""Tables as spreadsheets save them: survived as they come, and every fault told where it stands."""

import codecs

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitchenkit.errors import MeasureError
from kitchenkit.tables import (
    choice,
    decode,
    key,
    line_of,
    names,
    number,
    read_table,
    several,
    text,
    whole,
)

COLUMNS = [
    key("key"),
    text("name"),
    names("also"),
    choice("colour", ("red", "dark blue")),
    several("tags", ("new", "old", "very old")),
    number("grams", 0, 5000),
    number("each", 0, 100, required=False),
    whole("count", 1, 100),
]
PLAIN = (
    "key,name,also,colour,tags,grams,each,count\n"
    "oats,rolled oats,oats; porridge,red,new,81.5,,1\n"
    'rye,"rye, dark",,dark blue,new; very old,1250,2.5,12\n'
)
OATS = {
    "key": "oats",
    "name": "rolled oats",
    "also": ("oats", "porridge"),
    "colour": "red",
    "tags": ("new",),
    "grams": 81.5,
    "each": None,
    "count": 1,
}
RYE = {
    "key": "rye",
    "name": "rye, dark",
    "also": (),
    "colour": "dark blue",
    "tags": ("new", "very old"),
    "grams": 1250.0,
    "each": 2.5,
    "count": 12,
}


@pytest.fixture
def read(tmp_path):
    def read(content):
        raw = content.encode() if isinstance(content, str) else content
        path = tmp_path / "things.csv"
        path.write_bytes(raw)
        return read_table(path, COLUMNS)

    return read


def semicolons(content=PLAIN):
    """The same table as a spreadsheet with decimal commas saves it."""
    return (
        "key;name;also;colour;tags;grams;each;count\n"
        'oats;rolled oats;"oats; porridge";red;new;81,5;;1\n'
        'rye;rye, dark;;dark blue;"new; very old";1250;2,5;12\n'
    )


def tabs():
    return (
        "key\tname\talso\tcolour\ttags\tgrams\teach\tcount\n"
        "oats\trolled oats\toats; porridge\tred\tnew\t81.5\t\t1\n"
        "rye\trye, dark\t\tdark blue\tnew; very old\t1250\t2.5\t12\n"
    )


HABITS = {
    "plain": PLAIN,
    "byte-order mark": "\ufeff" + PLAIN,
    "utf-16, little end first": codecs.BOM_UTF16_LE + PLAIN.encode("utf-16-le"),
    "utf-16, big end first": codecs.BOM_UTF16_BE + PLAIN.encode("utf-16-be"),
    "windows-1252": PLAIN.encode("cp1252"),
    "semicolons and decimal commas": semicolons(),
    "semicolons and a hint": "sep=;\n" + semicolons(),
    "semicolons and a hint, crlf": ("sep=;\n" + semicolons()).replace("\n", "\r\n"),
    "tabs": tabs(),
    "tabs and a hint": "sep=\t\n" + tabs(),
    "crlf": PLAIN.replace("\n", "\r\n"),
    "cr": PLAIN.replace("\n", "\r"),
    "no last line end": PLAIN.rstrip("\n"),
    "all cells quoted": '"key","name","also","colour","tags","grams","each","count"\n'
    '"oats","rolled oats","oats; porridge","red","new","81.5","","1"\n'
    '"rye","rye, dark","","dark blue","new; very old","1250","2.5","12"\n',
    "trailing spaces": PLAIN.replace(",red,", " , red ,").replace("key,", " key ,"),
    "spaces within": PLAIN.replace("rolled oats", "rolled \u00a0  oats"),
    "mixed case": PLAIN.replace("key,", "KEY,").replace("red", "Red").replace("oats,", "Oats,", 1),
    "thousands": PLAIN.replace("1250", '"1,250"'),
    "trailing empty cells": PLAIN.replace("\n", ",,,\n"),
    "columns of one's own": PLAIN.replace("count\n", "count,mine\n").replace("12\n", "12,x\n"),
    "columns in another order": "count,key,name,also,colour,tags,grams,each\n"
    "1,oats,rolled oats,oats; porridge,red,new,81.5,\n"
    '12,rye,"rye, dark",,dark blue,new; very old,1250,2.5\n',
}


@pytest.mark.parametrize("habit", HABITS)
def test_a_spreadsheets_habits_are_survived(read, habit):
    table = read(HABITS[habit])
    assert not table.faults
    assert [row for row, _ in table.rows] == [2, 3]
    first, second = (values for _, values in table.rows)
    assert first | {"name": first["name"].casefold()} == OATS
    assert second == RYE


def test_blank_lines_count_as_rows_but_hold_nothing(read):
    header, oats, rye = PLAIN.splitlines()
    table = read("\n".join(["", ",,,,,,,", header, "", oats, " , ,,,,,,", rye, "", ""]))
    assert not table.faults
    assert [row for row, _ in table.rows] == [5, 7]


def test_a_line_break_in_a_quoted_cell_does_not_shift_the_rows(read):
    table = read(PLAIN.replace("rolled oats", '"rolled\noats"').replace("1250", "heavy"))
    assert table.rows[0][1]["name"] == "rolled oats"
    assert [fault.row for fault in table.faults] == ["row 3"]


# Decimal commas ----------------------------------------------------------------------------------


def grams(read, *cells):
    rows = "\n".join(f"k{n};n;;red;;{cell};;1" for n, cell in enumerate(cells))
    table = read(f"key;name;also;colour;tags;grams;each;count\n{rows}\n")
    assert not table.faults
    return [values["grams"] for _, values in table.rows]


def test_beside_other_decimal_commas_three_digits_are_decimals(read):
    assert grams(read, "12,5", "1,250", "1250") == [12.5, 1.25, 1250]
    assert grams(read, "0,125", "1,250") == [0.125, 1.25]


def test_beside_decimal_points_three_digits_are_thousands(read):
    assert grams(read, "12.5", "1,250") == [12.5, 1250]
    assert grams(read, "1,250", "3") == [1250, 3]
    assert grams(read, "12.5", "2,5", "1,250") == [12.5, 2.5, 1250]


def test_european_thousands_and_decimals_together(read):
    assert grams(read, "1.250,5", "2,5") == [1250.5, 2.5]


def test_fractions_are_read_as_cooks_write_them(read):
    assert grams(read, "2 1/2", "½", "3¾") == [2.5, 0.5, 3.75]


# Faults ------------------------------------------------------------------------------------------


def told(table):
    return [(fault.row, fault.column, fault.value) for fault in table.faults]


def test_every_fault_is_told_at_once_with_its_place(read):
    table = read(
        "key,name,also,colour,tags,grams,each,count\n"
        "Rolled Oats,,x,green,new; odd,heavy,-1,1.5\n"
        "rye,rye,,red,new,5001,,0\n"
        "oats,oats,,red,,80,,1\n"
    )
    assert told(table) == [
        ("row 2", "key", "Rolled Oats"),
        ("row 2", "name", ""),
        ("row 2", "colour", "green"),
        ("row 2", "tags", "new; odd"),
        ("row 2", "grams", "heavy"),
        ("row 2", "each", "-1"),
        ("row 2", "count", "1.5"),
        ("row 3", "grams", "5001"),
        ("row 3", "count", "0"),
    ]
    assert all(fault.file == "things.csv" and fault.mend.endswith(".") for fault in table.faults)
    assert [values["key"] for _, values in table.rows] == ["oats"]


@pytest.mark.parametrize(
    ("cell", "mend"),
    [
        ("", "empty"),
        ("heavy", "not a number"),
        ("-5", "from 0 to 5000"),
        ("1e3", "not a number"),
        ("nan", "not a number"),
        ("inf", "not a number"),
        ("=A1*2", "not a number"),
        ("#REF!", "not a number"),
        ("1..5", "not a number"),
        ("12 g", "not a number"),
        ("1/0", "divides by zero"),
        ("9" * 400, "too large"),
        ("9" * 400 + "/7", "too large"),
        ("9" * 501, "Too long"),
    ],
    ids=lambda value: value[:12],
)
def test_a_cell_that_is_no_number_is_told_with_the_mend(read, cell, mend):
    table = read(PLAIN.replace("81.5", cell))
    assert told(table) == [("row 2", "grams", cell)]
    assert mend in table.faults[0].mend


@pytest.mark.parametrize("name", ["key", "also", "grams", "count"])
def test_a_missing_heading_is_told(read, name):
    table = read(PLAIN.replace(name, "other", 1))
    assert told(table)[0][:2] == ("row 1", name)
    assert "missing" in table.faults[0].mend
    assert not table.rows


def test_a_heading_that_stands_twice_is_told(read):
    table = read(PLAIN.replace("also,", "grams,", 1))
    assert ("row 1", "grams", "grams") in told(table)
    assert not table.rows


def test_a_heading_of_ones_own_may_stand_twice(read):
    table = read(PLAIN.replace("count\n", "count,mine,mine\n"))
    assert not table.faults


def test_more_cells_than_columns_are_told(read):
    table = read(PLAIN.replace('"rye, dark"', "rye, dark"))
    assert told(table) == [("row 3", "-", "12")]
    assert 'Put ""' in table.faults[0].mend


def test_fewer_cells_than_columns_are_told_as_empty(read):
    table = read(PLAIN + "spelt,spelt,,red\n")
    assert told(table) == [("row 4", "grams", ""), ("row 4", "count", "")]


@pytest.mark.parametrize("spoilt", ['"rolled oats', '"rolled" oats'])
def test_a_stray_quotation_mark_is_told(read, spoilt):
    table = read(PLAIN.replace("rolled oats", spoilt))
    assert told(table) == [("row 2", "-", '"')]


def test_a_quotation_mark_cannot_swallow_the_file_silently(read):
    many = PLAIN + "".join(f"k{n},{'x' * 60},,red,,1,,1\n" for n in range(20))
    table = read(many.replace("rolled oats,", '"rolled oats,').rstrip("\n") + '"\n')
    assert table.faults


@pytest.mark.parametrize("content", ["", "\n\n", ",,,\n", "\ufeff"])
def test_an_empty_file_is_told(read, content):
    table = read(content)
    assert told(table) == [("row 1", "-", "nothing")]


def test_headings_alone_are_told(read):
    table = read(PLAIN.splitlines()[0])
    assert told(table) == [("row 2", "-", "nothing")]


def test_a_missing_file_and_a_folder_in_its_place_are_told(tmp_path):
    table = read_table(tmp_path / "things.csv", COLUMNS)
    assert told(table) == [("the file", "-", "nothing")]
    (tmp_path / "things.csv").mkdir()
    table = read_table(tmp_path / "things.csv", COLUMNS)
    assert table.faults[0].row == "the file"
    assert table.faults[0].mend == "Make the file readable."


# Bytes -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("raw", "line", "what"),
    [
        (b"a\nb\x00c", 2, "hidden control"),
        (b"a\nb\n\x1b[0m", 3, "hidden control"),
        ("a\n\x85".encode(), 2, "hidden control"),
        (b"a\nb\x81", 2, "not text"),
        ("caf\u00e9 \u00d7\n".encode() + b"caf\xe9", 2, "not text"),
        ("a\nb\ufffd".encode(), 2, "lost letter"),
        ("a,b\n1,2".encode("utf-16-le"), 1, "hidden control"),
        (codecs.BOM_UTF16_LE + b"a\x00b", 1, "not text"),
        (codecs.BOM_UTF32_LE + "a".encode("utf-32-le"), 1, "hidden control"),
        (codecs.BOM_UTF8 + b"a\n\xff", 2, "not text"),
        ("a\nloaf, 8 × 4".encode().decode("cp1252").encode(), 2, "garbled letter, in 'loaf, 8 Ã—'"),
        ("⅓".encode().decode("cp1252").encode(), 1, "garbled letter"),
        ("it’s".encode().decode("cp1252").encode(), 1, "garbled letter"),
    ],
)
def test_what_is_no_text_is_told_with_its_line(raw, line, what):
    with pytest.raises(MeasureError, match=f"^Line {line} .*{what}"):
        decode(raw)


def test_a_damaged_letter_never_turns_the_names_into_garble():
    whole_text = "name\nloaf, 8 × 4 in\nloaf, 9 × 5 in\n".encode()
    at = whole_text.index(b"\xc3")
    with pytest.raises(MeasureError, match="Line 2 is not text"):
        decode(whole_text[:at] + b"\xff" + whole_text[at + 1 :])


@pytest.mark.parametrize("words", ["Âge", "SÃO", "pâté â la …", "“â”", "Spaß“", "naïve café ½ × 3"])
def test_accents_are_no_garble(words):
    assert decode(words.encode()) == words


def test_a_file_far_too_large_is_refused_at_once():
    with pytest.raises(MeasureError, match="far too large"):
        decode(b"x" * 5_000_001)


# Without the letters that garbled UTF-8 begins with; they are looked at by themselves.
WORDS = st.text(
    st.characters(exclude_categories=("Cc", "Cs"), exclude_characters="\ufffd\ufeffÂÃâ")
)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
@given(words=WORDS)
def test_text_survives_the_encodings_of_spreadsheets(encoding, words):
    assert decode(words.encode(encoding)) == words


@given(st.binary(max_size=300))
def test_any_bytes_are_text_or_plainly_refused(raw):
    try:
        found = decode(raw)
    except MeasureError as error:
        found = line_of(str(error))
        assert found.startswith("row ")
    assert "\x00" not in found
