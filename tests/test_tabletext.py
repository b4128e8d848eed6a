"""A table's file comes apart and together again to the last byte, and one cell changes alone."""

import csv
import io
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitchenkit.errors import MeasureError
from kitchenkit.places import shipped_folder
from kitchenkit.tables import decode
from kitchenkit.tabletext import TableText, bare, decode_as

SHIPPED = sorted(shipped_folder("data").glob("*.csv"))
HEADINGS = {"key", "name", "note"}
# The ways in which spreadsheets and people leave a table.
ODD = {
    "plain": b"key,name,note\na,Apple,\nb,Pear,x\n",
    "no last line end": b"key,name,note\na,Apple,\nb,Pear,x",
    "Windows line ends": b"key,name,note\r\na,Apple,\r\nb,Pear,x\r\n",
    "old line ends": b"key,name,note\ra,Apple,\rb,Pear,x\r",
    "mixed line ends": b"key,name,note\r\na,Apple,\nb,Pear,x\r",
    "mark": b"\xef\xbb\xbfkey,name,note\na,Apple,\n",
    "UTF-16": "\ufeffkey\tname\tnote\r\na\tÄpfel\t\r\n".encode("utf-16-le"),
    "UTF-16, the other way round": "\ufeffkey;name;note\r\na;Äpfel;\r\n".encode("utf-16-be"),
    "Windows-1252": "key;name;note\na;Äpfel × 2;\n".encode("cp1252"),
    "hint": b"sep=;\r\nkey;name;note\r\na;Apple;1,5\r\n",
    "quotes": b'"key","name","note"\n"a","Apple, red","say ""hi"""\n',
    "rows of notes": b"# my notes, kept\n\nkey,name,note\n\n# weighed by me\na,Apple,\n,,\n\n",
    "spaces": b"key , name,  note\n a ,Apple ,  two  spaces \n",
    "short and long rows": b"key,name,note,more\na\nb,Pear,x,y\nc,d,e,f,g,h\n",
    "lines in a cell": b'key,name,note\na,"two\r\nlines",x\n',
    "empty": b"",
    "blank lines only": b"\n\r\n,,\n",
}


@pytest.mark.parametrize("raw", ODD.values(), ids=list(ODD))
def test_a_round_trip_is_the_same_to_the_last_byte(raw):
    assert TableText.read(raw, HEADINGS).write() == raw


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.name)
def test_the_shipped_tables_too(path):
    raw = path.read_bytes()
    sheet = TableText.read(raw, {"key", "date", "source"})
    assert sheet.write() == raw
    rows = list(csv.reader(io.StringIO(raw.decode("utf-8"), newline=""), strict=True))
    assert [[bare(cell) for cell in record.cells] for record in sheet.records] == rows


CELL = st.text(st.sampled_from('ab1 ,;\t"\r\n=ä×'), max_size=8)


@given(st.lists(st.lists(CELL, min_size=1, max_size=4), min_size=1, max_size=6))
def test_cells_are_what_the_standard_librarys_reader_finds(rows):
    """Written by Python's csv module, cut up here: the same cells, the same bytes again."""
    out = io.StringIO()
    csv.writer(out, lineterminator="\r\n").writerows([["key", "name"], *rows])
    raw = out.getvalue().encode()
    sheet = TableText.read(raw, {"key", "name"})
    assert sheet.write() == raw
    if sheet.separator == ",":
        read = csv.reader(io.StringIO(out.getvalue(), newline=""), strict=True)
        # The csv module says [] for a line without a cell; here it is a row of one empty cell.
        found = [[bare(c) for c in r.cells] for r in sheet.records]
        assert found == [row or [""] for row in read]


@pytest.mark.parametrize("raw", ODD.values(), ids=list(ODD))
def test_one_cell_changed_leaves_every_other_byte(raw):
    rng = random.Random(7)
    sheet = TableText.read(raw, HEADINGS)
    for n, record in enumerate(sheet.records):
        if sheet.header is None or n <= sheet.header or len(record.cells) < 2:
            continue
        at = rng.randrange(len(record.cells))
        changed = sheet.put(record, at, 'new, "one"; x')
        rows = [*sheet.records[:n], changed, *sheet.records[n + 1 :]]
        again = TableText.read(sheet.with_records(rows).write(), HEADINGS)
        assert again.records[:n] == sheet.records[:n]
        assert again.records[n + 1 :] == sheet.records[n + 1 :]
        assert again.records[n][at] == 'new, "one"; x'
        before, after = sheet.records[n].cells, again.records[n].cells
        assert [c for m, c in enumerate(after) if m != at] == [
            c for m, c in enumerate(before) if m != at
        ]


def test_a_row_after_one_without_line_end_gets_a_line_of_its_own():
    sheet = TableText.read(b"key;name\r\na;b", {"key", "name"})
    more = sheet.with_records([*sheet.records, sheet.records[-1]])
    assert more.write() == b"key;name\r\na;b\r\na;b"


def test_headings_are_found_below_notes_and_in_any_case():
    sheet = TableText.read(b"\n;;\nKey;NAME;;note\na;b\n", HEADINGS)
    assert sheet.separator == ";"
    assert sheet.header == 2
    assert sheet.columns == {"key": 0, "name": 1, "note": 3}
    assert sheet.records[3][3] == ""
    assert TableText.read(b"", HEADINGS).columns == {}


def test_a_letter_that_an_old_code_has_not_is_told():
    sheet = TableText.read("key;name\na;é\n".encode("cp1252"), HEADINGS)
    assert sheet.encoding == "cp1252"
    changed = sheet.put(sheet.records[1], 1, "żur")
    with pytest.raises(MeasureError, match=r"no 'ż'.*CSV UTF-8"):
        sheet.with_records([sheet.records[0], changed]).write()


@pytest.mark.parametrize(
    ("raw", "line"), [(b'a,"b\nc', 1), (b'a,b\n"c"d,e\n', 2), (b'a\nb\n"c\n', 3)]
)
def test_a_stray_quotation_mark_is_told_with_its_line(raw, line):
    with pytest.raises(MeasureError, match=f"^Line {line} holds a quotation mark"):
        TableText.read(raw, HEADINGS)


@pytest.mark.parametrize("raw", ODD.values(), ids=list(ODD))
def test_the_code_is_told_with_the_text(raw):
    text, encoding = decode_as(raw)
    assert text == decode(raw)
    assert text.encode(encoding.removesuffix("-sig")) in raw
