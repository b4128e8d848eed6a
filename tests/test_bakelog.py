"""The bake log: what it says of an oven, one absurd entry or not, and every fault told at once."""

import datetime
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

import kitchenkit as kk
from kitchenkit.bakelog import Bake, OvenCorrection, correct_oven, has_bake_log, read_bake_log
from kitchenkit.baking import RESIDUAL, bake_minutes, bake_time
from kitchenkit.errors import DataError

PANS = kk.open_kit().pans
KEYS = ["loaf-8.5x4.5", "muffin-12", "square-8", "rectangle-13x9"]
HEADINGS = "date,oven,pan,volume,set,real,minutes,note"
GOOD = "2026-11-03,left oven,loaf-9x5,1 l,350 F,345 F,70,"


def _bake(key, minutes=None, times=1.0, oven="left oven", day=1):
    """A bake that took so long, or so many times what the model says."""
    pan = PANS[key]
    volume = 0.5 * pan.capacity_m3
    if minutes is None:
        minutes = times * bake_minutes(pan, volume, 177.0)
    return Bake(datetime.date(2026, 11, day), oven, pan, volume, 177.0, 177.0, minutes)


def _factor(bakes):
    return correct_oven(bakes, "left oven").factor


# One absurd entry ---------------------------------------------------------------------------------

ABSURD = {
    "five times as long": {"times": 5.0},
    "a fifth": {"times": 0.2},
    "600 min": {"minutes": 600.0},
    "1 min": {"minutes": 1.0},
}


@pytest.mark.parametrize("at", range(4))
@pytest.mark.parametrize("absurd", ABSURD.values(), ids=ABSURD)
def test_an_absurd_entry_beside_three_good_ones_has_no_say(absurd, at):
    good = [_bake(key, times=times) for key, times in zip(KEYS, (1.22, 1.08, 1.16), strict=False)]
    alone = correct_oven(good, "left oven")
    assert 1.08 < alone.factor < 1.22
    bakes = [*good[:at], _bake(KEYS[3], **absurd), *good[at:]]
    found = correct_oven(bakes, "left oven")
    assert found.factor == pytest.approx(alone.factor, rel=0.05)
    assert (found.bakes, found.odd) == (4, 1)
    assert "1 odd entry hardly counted" in found.why
    assert found.spread == pytest.approx(alone.spread, rel=0.01)  # nor any weight


@given(
    oven=st.floats(0.75, 1.35),
    good=st.lists(st.floats(0.9, 1.1), min_size=3, max_size=3),
    off=st.floats(2, 60),
    longer=st.booleans(),
    key=st.sampled_from(KEYS),
)
def test_whatever_is_twice_off_has_no_say(oven, good, off, longer, key):
    bakes = [_bake(k, times=oven * times) for k, times in zip(KEYS, good, strict=False)]
    odd = _bake(key, times=oven * (off if longer else 1 / off) * (1.1 if longer else 0.9))
    assert _factor([*bakes, odd]) == pytest.approx(_factor(bakes), rel=0.05)


@given(
    oven=st.floats(0.75, 1.35),
    good=st.lists(st.floats(0.9, 1.1), min_size=3, max_size=3),
    times=st.floats(0.01, 100),
)
def test_no_one_entry_however_mild_or_wild_moves_three_by_a_tenth(oven, good, times):
    """The worst is one about a third off: no longer near, not yet plainly wrong."""
    bakes = [_bake(k, times=oven * t) for k, t in zip(KEYS, good, strict=False)]
    odd = _bake(KEYS[3], times=oven * times)
    assert abs(math.log(_factor([*bakes, odd]) / _factor(bakes))) < 0.1


# Few and many -------------------------------------------------------------------------------------


@given(times=st.floats(0.6, 1.7), key=st.sampled_from(KEYS))
def test_one_entry_stays_nearer_the_model_than_it_says_itself(times, key):
    found = correct_oven([_bake(key, times=times)], "left oven")
    told = math.log(times)
    assert abs(math.log(found.factor)) <= 0.75 * abs(told) + 1e-12
    assert math.log(found.factor) * told >= 0


def test_a_single_absurd_entry_is_not_believed():
    for absurd in ABSURD.values():
        found = correct_oven([_bake(KEYS[0], **absurd)], "left oven")
        assert found.factor == pytest.approx(1, abs=0.05)
        assert found.odd == 1
        assert found.window == correct_oven([], "left oven").window


@given(times=st.floats(0.7, 1.5))
def test_more_entries_of_one_mind_are_followed_further_and_are_surer(times):
    found = [correct_oven([_bake(KEYS[0], times=times)] * n, "left oven") for n in (1, 2, 4, 20)]
    logs = [abs(math.log(f.factor)) for f in found]
    assert logs == sorted(logs)
    assert found[-1].factor == pytest.approx(times, rel=0.03)
    spreads = [f.spread for f in found]
    assert spreads == sorted(spreads, reverse=True)
    windows = [f.window for f in found]
    assert windows == sorted(windows, reverse=True)
    assert windows[-1] >= 2 * RESIDUAL  # the next pan may still differ by what the model misses


@given(times=st.lists(st.floats(0.2, 5), min_size=1, max_size=6), turn=st.integers(0, 5))
def test_the_order_of_entries_does_not_matter(times, turn):
    bakes = [_bake(KEYS[0], times=t) for t in times]
    turn %= len(bakes)
    assert _factor(bakes[turn:] + bakes[:turn]) == pytest.approx(_factor(bakes), rel=1e-9)


def test_an_oven_is_told_by_its_own_entries_in_any_case():
    bakes = [_bake(k, times=1.3) for k in KEYS] + [_bake(k, times=0.8, oven="Right") for k in KEYS]
    assert correct_oven(bakes, " LEFT  oven").factor > 1.2
    assert correct_oven(bakes, "right").factor < 0.85
    assert correct_oven(bakes, "right").bakes == 4


def test_an_oven_not_in_the_log_leaves_the_model():
    for bakes in ([], [_bake(KEYS[0], times=1.5)]):
        found = correct_oven(bakes, "new oven")
        assert (found.factor, found.bakes, found.odd) == (1.0, 0, 0)
        assert "no bake of new oven is in the log yet" in found.why


@pytest.mark.parametrize(
    ("times", "words"),
    [
        ([1.3], "1 bake of left oven in the log says"),
        ([1.3, 1.3], "2 bakes of left oven in the log say"),
        ([1.3, 1.3], "longer than the model"),
        ([0.8, 0.8], "shorter than the model"),
        ([1.0, 1.0, 1.0, 1.0, 9.0, 9.0], "2 odd entries hardly counted"),
    ],
)
def test_it_says_so_in_plain_words(times, words):
    found = correct_oven([_bake(KEYS[0], times=t) for t in times], "left oven")
    assert words in found.why
    assert all(type(size) is float for size in (found.factor, found.spread, found.window))


def test_the_real_heat_counts_and_not_the_dials():
    pan = PANS["loaf-9x5"]
    bake = Bake(datetime.date(2026, 11, 1), "left oven", pan, 1e-3, 177.0, 165.0, 70.0)
    assert bake.model_minutes() == pytest.approx(bake_minutes(pan, 1e-3, 165.0))
    assert bake.ratio() == pytest.approx(math.log(70 / bake.model_minutes()))


# The file ----------------------------------------------------------------------------------------


def test_the_demos_log_reads_and_tells_its_ovens_apart(kit):
    bakes = read_bake_log(kit)
    assert len(bakes) >= 6
    assert [b.date for b in bakes] == sorted(b.date for b in bakes)
    left, right = (correct_oven(bakes, oven) for oven in ("left oven", "right oven"))
    assert left.factor > right.factor
    assert left.odd == right.odd == 0
    pan = kit.pans["square-8"]
    told = bake_time(pan, "535 ml", correction=left)
    assert told.minutes / bake_time(pan, "535 ml").minutes == pytest.approx(left.factor)
    assert isinstance(left, OvenCorrection)


def _write(folder, *lines):
    path = folder / "log.csv"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def test_a_log_is_read_as_spreadsheets_write_it(kit, tmp_path):
    path = _write(
        tmp_path,
        "Date;Oven;Pan;Volume;Set;Real;Minutes;Note",
        "2026-11-10;Left Oven;muffin tin, 12 cups;60 ml;gas mark 4;;25,5;second",
        "2026-11-03;left oven;loaf-9x5;1 l;180 C;175 °C;70;",
    )
    first, second = read_bake_log(kit, path)
    assert (first.pan.key, first.real_c, first.minutes) == ("loaf-9x5", 175, 70)
    assert first.volume_m3 == pytest.approx(1e-3)
    assert second.real_c == second.set_c == pytest.approx((350 - 32) / 1.8)
    assert (second.minutes, second.note) == (25.5, "second")
    assert correct_oven([first, second], "left oven").bakes == 2


# Row, column, words of the mend.
BAD = [
    ("2026-13-01,left oven,loaf-9x5,1 l,350 F,,70,", "date", "year-month-day"),
    ("3 Nov 2026,left oven,loaf-9x5,1 l,350 F,,70,", "date", "year-month-day"),
    ("2026-11-03,,loaf-9x5,1 l,350 F,,70,", "oven", "empty"),
    ("2026-11-03,left oven,loaf-9x6,1 l,350 F,,70,", "pan", "Did you mean"),
    ("2026-11-03,left oven,loaf-9x5,lots,350 F,,70,", "volume", "not a unit"),
    ("2026-11-03,left oven,loaf-9x5,0 l,350 F,,70,", "volume", "above 0"),
    ("2026-11-03,left oven,loaf-9x5,500 g,350 F,,70,", "volume", "not a volume"),
    ("2026-11-03,left oven,loaf-9x5,4 l,350 F,,70,", "volume", "more than one of this pan holds"),
    ("2026-11-03,left oven,loaf-9x5,1 l,350,,70,", "set", "not a temperature"),
    ("2026-11-03,left oven,loaf-9x5,1 l,180 F,,70,", "set", "never brings the crumb"),
    ("2026-11-03,left oven,loaf-9x5,1 l,350 F,170 F,70,", "real", "never brings the crumb"),
    ("2026-11-03,left oven,loaf-9x5,1 l,350 F,warm,70,", "real", "not a temperature"),
    ("2026-11-03,left oven,loaf-9x5,1 l,350 F,,,", "minutes", "empty"),
    ("2026-11-03,left oven,loaf-9x5,1 l,350 F,,0,", "minutes", "from 1 to 600"),
    ("2026-11-03,left oven,loaf-9x5,1 l,350 F,,-70,", "minutes", "from 1 to 600"),
    ("2026-11-03,left oven,loaf-9x5,1 l,350 F,,1 h,", "minutes", "not a number"),
    ("2026-11-03,left oven,loaf-9x5,1 l,350 F,,70,,more", "-", "More cells than columns"),
]


@pytest.mark.parametrize(("line", "column", "words"), BAD, ids=[f"{c}: {w}" for _, c, w in BAD])
def test_a_fault_is_told_with_its_place(kit, tmp_path, line, column, words):
    with pytest.raises(DataError) as caught:
        read_bake_log(kit, _write(tmp_path, HEADINGS, GOOD, line))
    (fault,) = caught.value.faults
    assert (fault.file, fault.row, fault.column) == ("log.csv", "row 3", column)
    assert words in fault.mend


@pytest.mark.parametrize(
    ("column", "cell"),
    [
        ("volume", "3 cups"),
        ("volume", "2 qt"),
        ("set", "150 F"),
        ("set", "65 C"),
        ("real", "150 F"),
        ("real", "70 °C"),
    ],
)
def test_a_fault_shows_the_cell_s_own_words(kit, tmp_path, column, cell):
    head = HEADINGS.split(",")
    cells = ["2026-11-03", "left oven", "loaf-8x4", "1 cup", "350 F", "", "40", ""]
    if column == "volume":
        cells[head.index("pan")] = "muffin-12"
    cells[head.index(column)] = cell
    with pytest.raises(DataError) as caught:
        read_bake_log(kit, _write(tmp_path, HEADINGS, GOOD, ",".join(cells)))
    assert [(x.row, x.column, x.value) for x in caught.value.faults] == [("row 3", column, cell)]


def test_every_fault_is_told_at_once(kit, tmp_path):
    lines = [line for line, _, _ in BAD]
    both = "2026-11-03,left oven,loaf-9x5,4 l,180 F,,70,"
    with pytest.raises(DataError) as caught:
        read_bake_log(kit, _write(tmp_path, HEADINGS, *lines, GOOD, both))
    faults = caught.value.faults
    last = f"row {len(lines) + 3}"
    told = {(fault.row, fault.column) for fault in faults}
    expected = {(f"row {n}", column) for n, (_, column, _) in enumerate(BAD, start=2)}
    assert told == expected | {(last, "volume"), (last, "set")}
    assert len(faults) == len(BAD) + 2


@pytest.mark.parametrize(
    ("lines", "words"),
    [
        ([], "empty"),
        ([HEADINGS], "no rows"),
        ([HEADINGS.replace("minutes", "time"), GOOD], "heading minutes is missing"),
        ([HEADINGS + ",oven", GOOD], "stands twice"),
    ],
)
def test_a_log_that_is_no_log_is_told(kit, tmp_path, lines, words):
    with pytest.raises(DataError, match=words):
        read_bake_log(kit, _write(tmp_path, *lines))


def test_a_kitchen_without_a_log_is_told_where_it_goes(kit, tmp_path):
    with pytest.raises(DataError, match=r"Put nowhere\.csv back"):
        read_bake_log(kit, tmp_path / "nowhere.csv")


def test_whether_a_folder_holds_a_log(data_folder):
    assert has_bake_log(kk.open_kit(data_folder))
    (data_folder / "bake-log.csv").unlink()
    assert not has_bake_log(kk.open_kit(data_folder))
