"""A newer table comes into an edited one: no edit is lost, no conflict hidden, the rest follows."""

import csv
import io
import random

import pytest

from kitchenkit.errors import MeasureError
from kitchenkit.merging import Conflict, merge_tables
from kitchenkit.places import shipped_folder

BASE = b"key,name,depth,note\nloaf,Loaf,2.5,\nround,Round,2,old\nsquare,Square,2,\n"


def rows(raw, separator=","):
    text = raw.decode("utf-8-sig")
    return {r["key"]: r for r in csv.DictReader(io.StringIO(text, newline=""), delimiter=separator)}


def merge(mine, theirs, base=BASE):
    return merge_tables("pans.csv", base, mine, theirs)


def changed(raw, *pairs):
    for old, new in pairs:
        assert old in raw
        raw = raw.replace(old, new)
    return raw


def test_an_edit_survives_and_untouched_cells_follow():
    mine = changed(BASE, (b"loaf,Loaf,2.5", b"loaf,My loaf,2.5"))
    theirs = changed(BASE, (b"loaf,Loaf,2.5", b"loaf,Loaf,2.75"), (b"2,old", b"3,new"))
    done = merge(mine, theirs)
    assert done.conflicts == []
    assert done.content == (
        b"key,name,depth,note\nloaf,My loaf,2.75,\nround,Round,3,new\nsquare,Square,2,\n"
    )
    assert done.notes == ["3 cells were brought up to date."]


def test_the_same_cell_changed_on_both_sides_is_told_and_mine_stays():
    mine = changed(BASE, (b"2.5", b"2.6"))
    theirs = changed(BASE, (b"2.5", b"2.75"))
    done = merge(mine, theirs)
    assert done.content == mine
    assert done.conflicts == [Conflict("loaf", "depth", "2.6", "2.75")]
    assert str(done.conflicts[0]) == (
        "loaf, depth: yours, '2.6', stays; the newer table says '2.75'"
    )


def test_the_same_change_on_both_sides_is_no_conflict():
    both = changed(BASE, (b"2.5", b"2.75"))
    done = merge(both, both)
    assert (done.content, done.conflicts, done.notes) == (both, [], [])


def test_an_emptied_cell_is_a_change_too():
    mine = changed(BASE, (b"2,old", b"2,"))
    theirs = changed(BASE, (b"2,old", b"2,new"))
    [conflict] = merge(mine, theirs).conflicts
    assert "yours, the empty cell, stays" in str(conflict)
    [conflict] = merge(theirs, mine).conflicts
    assert "says nothing" in str(conflict)


def test_new_rows_come_in_after_the_row_they_follow_and_mine_keep_their_place():
    mine = changed(BASE, (b"round,", b"mine,My tin,4,\nround,"))
    theirs = changed(BASE, (b"square,", b"ring,Ring,3,\nsquare,")) + b"tray,Tray,1,\n"
    done = merge(mine, theirs)
    assert list(rows(done.content)) == ["loaf", "mine", "round", "ring", "square", "tray"]
    assert done.notes == ["2 rows came in: ring; tray."]


def test_new_rows_without_a_known_neighbour_come_first():
    done = merge(BASE, changed(BASE, (b"loaf,Loaf", b"a,A,1,\nb,B,1,\nloaf,Loaf")))
    assert list(rows(done.content)) == ["a", "b", "loaf", "round", "square"]


def test_a_row_added_on_both_sides():
    mine, theirs = BASE + b"tray,Tray,1,mine\n", BASE + b"tray,Tray,1,theirs\n"
    done = merge(mine, theirs)
    assert done.content == mine
    assert done.conflicts == [Conflict("tray", "note", "mine", "theirs")]


def test_a_row_dropped_by_the_newer_table_goes_unless_edited():
    theirs = b"key,name,depth,note\nsquare,Square,2,\n"
    done = merge(changed(BASE, (b"2,old", b"2,mine")), theirs)
    assert list(rows(done.content)) == ["round", "square"]
    assert any("no longer has round; you had changed it" in note for note in done.notes)
    assert any("1 row went" in note and "loaf" in note for note in done.notes)


def test_a_row_that_i_removed_stays_away_and_is_told_when_it_changed():
    mine = b"key,name,depth,note\nloaf,Loaf,2.5,\n"
    done = merge(mine, changed(BASE, (b"2,old", b"3,old")))
    assert list(rows(done.content)) == ["loaf"]
    assert done.notes == [
        "You had removed round, and the newer table has changed it; it stays away."
    ]


def test_a_new_column_comes_in_at_the_end():
    theirs = (
        b"key,lid,name,depth,note\nloaf,yes,Loaf,2.5,\nround,,Round,2,old\nsquare,no,Square,2,\n"
    )
    mine = changed(BASE, (b"2,old", b"2,mine"))
    done = merge(mine, theirs)
    assert done.content == (
        b"key,name,depth,note,lid\nloaf,Loaf,2.5,,yes\nround,Round,2,mine\nsquare,Square,2,,no\n"
    )
    assert "A column came in: lid." in done.notes
    assert done.conflicts == []


def test_a_column_of_my_own_and_an_order_of_my_own_stay():
    mine = (
        b"shelf,note,key,depth,name\ntop,,loaf,2.5,Loaf\nlow,old,round,2,Round\n,,square,2,Square\n"
    )
    theirs = changed(BASE, (b"Square,2", b"Square,3")) + b"tray,Tray,1,thin\n"
    assert merge(mine, theirs).content == (
        b"shelf,note,key,depth,name\ntop,,loaf,2.5,Loaf\nlow,old,round,2,Round\n,,square,3,Square\n"
        b",thin,tray,1,Tray\n"
    )


def test_a_spreadsheets_own_way_of_writing_is_no_change():
    """Semicolons, decimal commas, a mark, quoted cells, other line ends and zeros: all stay."""
    mine = (
        b'\xef\xbb\xbf"key";"name";"depth";"note"\r\n"loaf";"Loaf";2,50;\r\n'
        b'"round";"Round";2,00;"mine"\r\n"square";"Square";2;'
    )
    theirs = changed(BASE, (b"Square,2", b"Square,2.25"), (b"2,old", b"2,new"))
    done = merge(mine, theirs)
    assert done.content == changed(mine, (b'"Square";2;', b'"Square";2,25;'))
    assert done.conflicts == [Conflict("round", "note", "mine", "new")]


def test_rows_that_are_no_rows_stay_where_they_are():
    mine = b"\n# my pans, measured in June\n"
    done = merge(BASE + mine, changed(BASE, (b"2.5", b"2.75")) + b"tray,Tray,1,\n")
    assert done.content.endswith(b"square,Square,2,\ntray,Tray,1,\n\n# my pans, measured in June\n")


def test_without_the_common_table_whatever_differs_is_told_and_nothing_is_lost():
    mine = changed(BASE, (b"2,old", b"2,mine")) + b"tin,My tin,4,\n"
    theirs = changed(BASE, (b"2.5", b"2.75")) + b"tray,Tray,1,\n"
    done = merge(mine, theirs, base=None)
    assert {c.column for c in done.conflicts} == {"depth", "note"}
    assert rows(done.content)["round"]["note"] == "mine"
    assert {"tin", "tray"} <= set(rows(done.content))


def test_merging_again_after_a_break_changes_nothing_more():
    mine = changed(BASE, (b"2,old", b"2,mine")) + b"tin,My tin,4,\n"
    theirs = changed(BASE, (b"2.5", b"2.75"), (b"2,old", b"2,new")) + b"tray,Tray,1,\n"
    once = merge(mine, theirs)
    again = merge(once.content, theirs)
    assert again.content == once.content
    assert again.conflicts == once.conflicts


def test_prices_are_told_apart_by_what_where_and_when():
    head = b"ingredient,amount,price,currency,place,date,source,note\n"
    base = head + b"salt,1 lb,0.50,USD,the market,2026-11-01,x,\n"
    mine = head + b"salt,1 lb,0.55,USD,the market,2026-11-01,x,\n"
    theirs = base + b"salt,1 lb,0.60,USD,the market,2026-12-01,x,\n"
    done = merge_tables("prices.csv", base, mine, theirs)
    assert done.content == mine + b"salt,1 lb,0.60,USD,the market,2026-12-01,x,\n"
    assert done.conflicts == []


def test_keeping_times_are_told_apart_by_their_sources():
    base = (shipped_folder("data") / "keeping.csv").read_bytes()
    first = b"quick bread,,freezer,2,3,months,quality,extension-column,"
    guide = b"quick bread,,freezer,2,2,months,quality,cold-storage-guide,"
    my_guide = guide.replace(b"2,2", b"2,5")
    newer = b"quick bread,,freezer,1,1,months,quality,mu-cakes-2009,Plain\n"
    done = merge_tables(
        "keeping.csv", base, changed(base, (guide, my_guide)), changed(base, (first, newer + first))
    )
    assert done.content == changed(base, (guide, my_guide), (first, newer + first))
    assert done.conflicts == []


def test_two_rows_of_one_name_are_counted():
    base = b"key,n\na,1\na,2\n"
    done = merge(b"key,n\na,1\na,5\n", b"key,n\na,3\na,4\n", base)
    assert done.content == b"key,n\na,3\na,5\n"
    assert done.conflicts == [Conflict("a (2)", "n", "5", "4")]


@pytest.mark.parametrize("raw", [b"", b"\n\n", b"name,depth\nLoaf,2\n", b'key,"name\nloaf', b"\0"])
@pytest.mark.parametrize("side", ["mine", "theirs", "base"])
def test_what_is_no_table_is_refused(raw, side):
    sides = {"base": BASE, "mine": BASE, "theirs": BASE} | {side: raw}
    with pytest.raises(MeasureError):
        merge_tables("pans.csv", **sides)


def test_a_letter_that_an_old_code_has_not_is_told():
    mine = "key;name;depth;note\nloaf;Laib ä;2.5;\n".encode("cp1252")
    with pytest.raises(MeasureError, match="no '≈'"):
        merge(mine, BASE + "tray;≈;1;\n".replace(";", ",").encode())


@pytest.mark.parametrize("path", sorted(shipped_folder("data").glob("*.csv")), ids=lambda p: p.name)
def test_every_shipped_table_has_what_tells_its_rows_apart(path):
    """A row removed by its owner stays away, and no other row is taken for it."""
    base = path.read_bytes()
    lines = base.splitlines(keepends=True)
    for at in range(1, len(lines)):
        mine = b"".join(lines[:at] + lines[at + 1 :])
        try:
            done = merge_tables(path.name, base, mine, base)
        except MeasureError:  # a cell of two lines was cut
            continue
        assert done.content == mine
        assert done.conflicts == []


@pytest.mark.parametrize("name", ["pans.csv", "ingredients.csv", "prices.csv", "sources.csv"])
@pytest.mark.parametrize("seed", range(5))
def test_no_edit_is_lost_in_a_shipped_table(name, seed):
    """Both sides change cells and rows by chance: what either changed alone is there afterwards."""
    rng = random.Random(f"{name} {seed}")
    base = (shipped_folder("data") / name).read_bytes()
    table = list(csv.reader(io.StringIO(base.decode(), newline="")))
    names = {"prices.csv": 6}.get(name, 1)  # the columns that name a row come first

    def edited(word):
        copy = [row[:] for row in table]
        edits = {}
        for _ in range(12):
            at, column = rng.randrange(1, len(copy)), rng.randrange(names, len(copy[0]))
            copy[at][column] = f"{word} {rng.random()}"
            edits[at, column] = copy[at][column]
        copy.append([f"{word}-{n}" for n in range(len(copy[0]))])
        return copy, edits

    def written(some):
        out = io.StringIO()
        csv.writer(out, lineterminator="\n").writerows(some)
        return out.getvalue().encode()

    (mine, my_edits), (theirs, their_edits) = edited("mine"), edited("theirs")
    done = merge_tables(name, base, written(mine), written(theirs))
    found = list(csv.reader(io.StringIO(done.content.decode(), newline="")))
    assert len(found) == len(table) + 2
    for at, row in enumerate(table[1:], start=1):
        for column, cell in enumerate(row):
            wanted = my_edits.get((at, column), their_edits.get((at, column), cell))
            assert found[at][column] == wanted
    assert len(done.conflicts) == len(set(my_edits) & set(their_edits))
