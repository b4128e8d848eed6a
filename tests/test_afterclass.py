"""After the class: what is known of a class must come out; nothing is written unasked."""

import csv
import datetime
import io
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

import kitchenkit as kk
from kitchenkit.afterclass import (
    RESULT_COLUMNS,
    has_class_results,
    read_class_results,
    review_class,
)
from kitchenkit.bakelog import Bake, bake_weights, correct_oven, read_bake_log
from kitchenkit.baking import bake_minutes
from kitchenkit.charts.afterclass import MARKS, STATIONS, AfterClassChart
from kitchenkit.editing import EditError
from kitchenkit.errors import DataError, KitchenError
from kitchenkit.panels.pieces import is_shown
from kitchenkit.saving import ChangedError, versions
from kitchenkit.taking_over import TakingOver

HEADINGS = [column.name for column in RESULT_COLUMNS]
KIT = kk.open_kit()
BAKE = {
    **{"date": "2026-11-24", "station": "station 1", "pan": "muffin-12", "volume": "60 ml"},
    **{"oven": "new oven", "set": "350 F", "minutes": "30"},
}
PAID = {
    **{"date": "2026-11-24", "station": "station 1", "ingredient": "cocoa", "amount": "8 oz"},
    **{"price": "3.99", "currency": "USD", "place": "the discount store"},
}
DAY = datetime.date(2026, 11, 24)


def table(rows, separator=","):
    out = io.StringIO()
    writer = csv.DictWriter(out, HEADINGS, delimiter=separator, lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue()


@pytest.fixture
def read(tmp_path):
    def read(*rows, kit=KIT, separator=","):
        path = tmp_path / "class-results.csv"
        path.write_text(table(rows, separator), encoding="utf-8")
        return read_class_results(kit, path)

    return read


def predicted(key="muffin-12", volume=60e-6, oven_c=(350 - 32) / 1.8):
    """The bare model: what the first class of an oven without a log is predicted."""
    return bake_minutes(KIT.pans[key], volume, oven_c)


# Minutes -----------------------------------------------------------------------------------------


def test_the_prediction_is_the_model_s_where_the_log_knows_nothing(read):
    (one,) = review_class(KIT, read(BAKE)).bakes
    assert one.predicted.minutes.m_as("min") == pytest.approx(predicted())
    assert one.predicted.high.m_as("min") == pytest.approx(predicted() * math.exp(0.26))


@given(times=st.floats(0.8, 1.35), many=st.integers(4, 20))
def test_a_class_that_took_so_many_times_as_long_gives_that_correction(
    tmp_path_factory, times, many
):
    path = tmp_path_factory.mktemp("class") / "class-results.csv"
    minutes = f"{times * predicted():.6f}"
    rows = [BAKE | {"station": f"station {n}", "minutes": minutes} for n in range(many)]
    path.write_text(table(rows), encoding="utf-8")
    (oven,) = review_class(KIT, read_class_results(KIT, path)).ovens
    assert abs(math.log(oven.after.factor / times)) <= oven.after.spread
    assert (oven.before.factor, oven.before.bakes) == (1.0, 0)
    assert (oven.after.bakes, oven.after.odd) == (many, 0)


def test_a_fifth_longer(read):
    """Eight stations, all at 1.2 times the prediction: near 1.2, within the stated spread."""
    rows = [BAKE | {"station": f"{n}", "minutes": f"{1.2 * predicted():.6f}"} for n in range(8)]
    (oven,) = review_class(KIT, read(*rows)).ovens
    assert oven.after.factor == pytest.approx(1.2, rel=0.02)
    assert abs(math.log(oven.after.factor / 1.2)) <= oven.after.spread < 0.05
    assert oven.after.factor < 1.2  # held a little towards the general model


@pytest.mark.parametrize("absurd", ["1", "3", "95", "280", "600"])
def test_an_absurd_entry_has_no_say_and_is_asked_about(read, absurd):
    rows = [
        BAKE | {"station": f"station {n}", "minutes": f"{1.2 * predicted():.3f}"} for n in range(6)
    ]
    alone = review_class(KIT, read(*rows))
    review = review_class(KIT, read(*rows, BAKE | {"station": "station 9", "minutes": absurd}))
    assert review.ovens[0].after.factor == pytest.approx(alone.ovens[0].after.factor, rel=0.01)
    assert review.bakes[-1].verdict == "odd"
    assert review.bakes[-1].weight == 0
    assert review.bake_rows == alone.bake_rows
    (ask,) = review.to_ask
    assert ask.startswith(f"station 9: {absurd} min is far from")


@pytest.mark.parametrize(
    ("times", "verdict"),
    [(0.7, "early"), (0.85, "inside"), (1.0, "inside"), (1.25, "inside"), (1.4, "late")],
)
def test_in_the_window_or_not(read, times, verdict):
    (one,) = review_class(KIT, read(BAKE | {"minutes": f"{times * predicted():.4f}"})).bakes
    assert one.verdict == verdict


def test_unfinished_and_untimed_bakes_are_told_and_have_no_say(read):
    rows = [
        BAKE,
        BAKE | {"station": "station 2", "minutes": ""},
        BAKE | {"station": "station 3", "minutes": "60", "done": "no"},
        BAKE | {"station": "station 4", "minutes": "", "done": "No"},
    ]
    review = review_class(KIT, read(*rows))
    assert [b.verdict for b in review.bakes] == ["inside", "not timed", "not done", "not timed"]
    assert review.ovens == review_class(KIT, read(BAKE)).ovens
    assert len(review.bake_rows) == 1
    assert [ask.split(":")[0] for ask in review.to_ask] == ["station 2", "station 3", "station 4"]


def test_an_oven_without_a_finished_bake_stays_as_the_log_has_it(kit, read):
    row = BAKE | {"oven": "Left  Oven", "minutes": ""}
    (oven,) = review_class(kit, read(row)).ovens
    assert oven.after == oven.before
    assert oven.before.factor == correct_oven(read_bake_log(kit), "left oven").factor


def test_weights_are_those_of_the_correction():
    pan = KIT.pans["muffin-12"]
    model = bake_minutes(pan, 60e-6, 177.0)

    def bake(times, oven):
        return Bake(DAY, oven, pan, 60e-6, 177.0, 177.0, times * model)

    bakes = [bake(1.1, "a"), bake(7, "a"), bake(1.1, "b"), bake(1.0, "A"), bake(0.95, "a")]
    weights = bake_weights(bakes)
    assert weights[1] == 0
    assert min(weights[[0, 2, 3, 4]]) > 0.9
    assert sum(weights[[0, 1, 3, 4]] < 0.5) == correct_oven(bakes, "a").odd
    assert len(bake_weights([])) == 0


# Prices ------------------------------------------------------------------------------------------


def test_the_price_expected_is_the_latest_of_that_shop_before_the_day(kit, read):
    (one,) = review_class(kit, read(PAID)).prices
    assert f"{one.expected}" == "$3.79"
    assert (f"{one.seen.date}", one.same_shop, one.state) == ("2026-11-10", True, "new")
    early = PAID | {
        "date": "2026-06-09",
        "ingredient": "rolled oats",
        "amount": "42 oz",
    }  # the table's price of that very day is no prediction
    (one,) = review_class(kit, read(early)).prices
    assert f"{one.seen.date}" == "2026-02-10"


def test_another_package_is_compared_by_weight(kit, read):
    """Common arithmetic: 24 oz of cocoa at $3.79 for 8 oz is three times that."""
    (one,) = review_class(kit, read(PAID | {"amount": "24 oz", "price": "10"})).prices
    assert float(one.expected) == pytest.approx(3 * 3.79)


def test_a_new_shop_is_compared_with_the_others_and_says_so(kit, read):
    (one,) = review_class(kit, read(PAID | {"place": "a market stall"})).prices
    assert not one.same_shop
    assert one.expected is not None
    assert one.state == "new"


def test_odd_prices_are_asked_about_and_not_offered(kit, read):
    for price in ("39.90", "0.39"):
        review = review_class(kit, read(PAID | {"price": price}))
        assert review.prices[0].state == "odd"
        assert review.price_rows == ()
        assert review.paid is None
        assert "Look at the receipt again" in review.to_ask[0]


def test_the_same_bought_twice_is_noted_once_and_two_prices_are_asked_about(kit, read):
    second = PAID | {"station": "station 2"}
    review = review_class(kit, read(PAID, second))
    assert [one.state for one in review.prices] == ["new", "again"]
    assert len(review.price_rows) == 1
    assert f"{review.paid[0]}" == "$7.98"
    for prices in (("3.99", "4.49"), ("4.49", "3.99")):
        noted = (row | {"price": p} for row, p in zip((PAID, second), prices, strict=True))
        review = review_class(kit, read(*noted))
        assert [one.state for one in review.prices] == ["unlike", "unlike"]
        assert review.price_rows == ()
        assert review.paid is None
        assert [ask.split(":")[0] for ask in review.to_ask] == ["station 1", "station 2"]
        assert all("another price" in ask for ask in review.to_ask)


@pytest.mark.parametrize(
    "prices", [("39.90", "3.99"), ("3.99", "39.90"), ("39.90", "3.99", "3.99")]
)
def test_a_slip_holds_back_no_right_price(kit, read, prices):
    rows = [PAID | {"station": f"station {n}", "price": price} for n, price in enumerate(prices)]
    review = review_class(kit, read(*rows))
    states = {one.station: one.state for one in review.prices}
    slip, right = f"station {prices.index('39.90')}", f"station {prices.index('3.99')}"
    assert (states.pop(slip), states.pop(right)) == ("odd", "new")
    assert set(states.values()) <= {"again"}
    (row,) = review.price_rows
    assert (row["price"], row["note"]) == ("3.99", right)
    (ask,) = review.to_ask
    assert ask.startswith(f"{slip}:")
    assert "Look at the receipt again" in ask


def test_one_slip_noted_by_two_stations_is_twice_asked_about(kit, read):
    slip = PAID | {"price": "39.90"}
    review = review_class(kit, read(slip, slip | {"station": "station 2"}))
    assert [one.state for one in review.prices] == ["odd", "odd"]
    assert review.paid is None


def test_what_several_ingredients_share_is_one_row_and_counts_once(kit, read):
    flour = PAID | {"ingredient": "all-purpose-flour; all-purpose-flour-sifted", "amount": "5 lb"}
    review = review_class(kit, read(flour | {"price": "2.89"}))
    (row,) = review.price_rows
    assert row["ingredient"] == "all-purpose-flour; all-purpose-flour-sifted"
    assert [f"{money}" for money in review.paid] == ["$2.89", "$2.69"]


def test_what_was_free_is_offered_as_free(kit, read):
    review = review_class(kit, read(PAID | {"price": "free", "currency": ""}))
    assert review.price_rows[0]["price"] == "free"
    assert review.prices[0].state == "new"


# The table ---------------------------------------------------------------------------------------

FAULTS = {
    "no such pan": (BAKE | {"pan": "bucket"}, "pan"),
    "more than the pan holds": (BAKE | {"volume": "1 l"}, "volume"),
    "no volume": (BAKE | {"volume": ""}, "volume"),
    "no oven": (BAKE | {"oven": ""}, "oven"),
    "no dial": (BAKE | {"set": ""}, "set"),
    "a cold oven": (BAKE | {"set": "150 F"}, "set"),
    "a cold thermometer": (BAKE | {"real": "60 C"}, "real"),
    "minutes in words": (BAKE | {"minutes": "half an hour"}, "minutes"),
    "minutes below 0": (BAKE | {"minutes": "-3"}, "minutes"),
    "a week": (BAKE | {"minutes": "10080"}, "minutes"),
    "perhaps done": (BAKE | {"done": "perhaps"}, "done"),
    "no date": (BAKE | {"date": "yesterday"}, "date"),
    "no station": (BAKE | {"station": ""}, "station"),
    "no such flavour": (BAKE | {"flavour": "brick"}, "flavour"),
    "nothing": ({"date": "2026-11-24", "station": "1"}, "pan"),
    "no such ingredient": (PAID | {"ingredient": "flubber"}, "ingredient"),
    "no amount": (PAID | {"amount": ""}, "amount"),
    "no shop": (PAID | {"place": ""}, "place"),
    "no price": (PAID | {"price": ""}, "price"),
    "a price in words": (PAID | {"price": "cheap"}, "price"),
    "a price below 0": (PAID | {"price": "-3"}, "price"),
    "another currency": (PAID | {"currency": "EUR"}, "currency"),
    "cocoa by the piece": (PAID | {"amount": "3 each"}, "amount"),
}


@pytest.mark.parametrize(("row", "column"), FAULTS.values(), ids=FAULTS)
def test_each_fault_is_told_with_row_and_column(read, row, column):
    with pytest.raises(DataError) as told:
        read(BAKE, row)
    assert [(f.file, f.row, f.column) for f in told.value.faults] == [
        ("class-results.csv", "row 3", column)
    ]


def test_every_fault_is_told_at_once(read):
    with pytest.raises(DataError) as told:
        read(*(row for row, _ in FAULTS.values()))
    assert len(told.value.faults) == len(FAULTS)


@pytest.mark.parametrize(
    "raw",
    [
        *(b"", b"\x00" * 50, b"\x89PNG\r\n\x1a\n", b"date;station\n", b'date,"station\n'),
        *("date,station".encode("utf-16"), b"\xff\xfe\xfa", b"," * 5000),
        (",".join(HEADINGS) + "\n").encode(),
    ],
    ids=range(9),
)
def test_damaged_files_are_one_error(kit, tmp_path, raw):
    path = tmp_path / "class-results.csv"
    path.write_bytes(raw)
    with pytest.raises(DataError):
        read_class_results(kit, path)


@given(st.lists(st.dictionaries(st.sampled_from(HEADINGS), st.text(max_size=12)), max_size=4))
def test_any_words_are_read_or_told(tmp_path_factory, cells):
    path = tmp_path_factory.mktemp("class") / "class-results.csv"
    rows = [BAKE | PAID | some for some in cells]
    path.write_text(table(rows), encoding="utf-8", errors="replace", newline="")
    try:
        results = read_class_results(KIT, path)
    except DataError:
        return
    review = review_class(KIT, results)
    assert all(math.isfinite(oven.after.factor) for oven in review.ovens)


def test_semicolons_and_decimal_commas(read):
    (one,) = read(BAKE | PAID | {"minutes": "30,5", "price": "3,99"}, separator=";")
    assert one.minutes == 30.5
    assert f"{one.paid[0].money}" == "$3.99"


def test_no_results_are_told(kit, data_folder):
    with pytest.raises(KitchenError, match="no results"):
        review_class(kit, [])
    (data_folder / "class-results.csv").unlink()
    bare = kk.open_kit(data_folder)
    assert not has_class_results(bare)
    with pytest.raises(KitchenError, match="no results of a class yet"):
        kk.AfterClassPanel(bare)


def test_the_plan_tells_who_noted_nothing_and_who_took_another_pan(kit, read):
    plan = kk.plan_class(kit, students=6, stations=3, pans="muffin-12", on="2026-11-24")
    names = [station.name for station in plan.stations]
    rows = [BAKE | {"station": names[0].upper()}, BAKE | {"station": names[1], "pan": "muffin-6"}]
    asked = review_class(kit, read(*rows), plan).to_ask
    assert asked == (
        f"{names[1]}: planned in the muffin tin, 12 cups, baked in another pan.",
        f"{names[2]}: planned, and no bake noted.",
    )


# Taking over -------------------------------------------------------------------------------------


@pytest.fixture
def own(data_folder):
    kit = kk.open_kit(data_folder)
    return kit, read_class_results(kit)


def files(folder):
    """What every file of a folder holds, locks aside."""
    found = (path for path in folder.rglob("*") if path.is_file() and path.name != ".saving")
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in found}


def test_nothing_is_written_until_it_is_asked_for(own):
    kit, results = own
    before = files(kit.folder)
    review = review_class(kit, results)
    for name in ("bake-log", "prices"):
        TakingOver(review, name, kit.folder)
    panel = kk.AfterClassPanel(kit)
    for button in panel.ask.values():
        button.click()
    panel.leave.click()
    assert "Nothing was saved" in panel._said.value
    assert files(kit.folder) == before


def test_bakes_go_into_the_log_once_and_predictions_stay(own):
    kit, results = own
    review = review_class(kit, results)
    TakingOver(review, "bake-log", kit.folder).save()
    log = read_bake_log(kit)
    assert len(log) == len(read_bake_log(KIT)) + len(review.bake_rows)
    after = review_class(kk.open_kit(kit.folder), results)
    assert after.bake_rows == ()
    assert [bake.predicted for bake in after.bakes] == [bake.predicted for bake in review.bakes]
    for before, now in zip(review.ovens, after.ovens, strict=True):
        # The one odd bake is not in the log, and had no say.
        assert now.after.factor == before.after.factor
        found = correct_oven(log, now.oven)
        assert found.factor == pytest.approx(now.after.factor, rel=1e-6)
    with pytest.raises(EditError, match="nothing new"):
        TakingOver(after, "bake-log", kit.folder)


def test_two_stations_alike_are_two_bakes(own, read):
    kit, _ = own
    twins = read(BAKE, BAKE | {"station": "station 2"})
    review = review_class(kit, twins)
    TakingOver(review, "bake-log", kit.folder).save()
    assert review_class(kit, twins).bake_rows == ()
    more = read(BAKE, BAKE | {"station": "station 2"}, BAKE | {"station": "station 3"})
    assert len(review_class(kit, more).bake_rows) == 1


def test_prices_go_into_the_table_once_and_stay_expected(own):
    kit, results = own
    review = review_class(kit, results)
    TakingOver(review, "prices", kit.folder).save()
    kit = kk.open_kit(kit.folder)
    after = review_class(kit, results)
    assert after.price_rows == ()
    assert [f"{one.expected}" for one in after.prices] == [
        f"{one.expected}" for one in review.prices
    ]
    newest = max(kit.prices["shredded cheddar"], key=lambda price: price.date)
    assert (f"{newest.money}", f"{newest.date}", newest.source) == (
        *("$2.39", "2026-11-24"),
        "class-receipts",
    )


@pytest.mark.parametrize("name", ["bake-log", "prices"])
def test_taken_back_the_file_is_what_it_was(own, name):
    kit, results = own
    path = kit.folder / f"{name}.csv"
    before = path.read_bytes()
    taking = TakingOver(review_class(kit, results), name, kit.folder)
    taking.save()
    assert path.read_bytes().startswith(before)
    assert [kept.path.read_bytes() for kept in versions(path)] == [before]
    taking.take_back()
    assert path.read_bytes() == before


def test_what_was_changed_since_is_not_taken_back(own):
    kit, results = own
    taking = TakingOver(review_class(kit, results), "bake-log", kit.folder)
    taking.save()
    path = kit.folder / "bake-log.csv"
    path.write_bytes(path.read_bytes() + b"2026-11-25,left oven,muffin-12,60 ml,350 F,,33,mine\n")
    with pytest.raises(EditError, match="changed since"):
        taking.take_back()
    assert b"mine" in path.read_bytes()


def test_a_change_between_showing_and_saving_is_told(own):
    kit, results = own
    taking = TakingOver(review_class(kit, results), "bake-log", kit.folder)
    path = kit.folder / "bake-log.csv"
    path.write_bytes(path.read_bytes() + b"2026-11-25,left oven,muffin-12,60 ml,350 F,,33,mine\n")
    changed = path.read_bytes()
    with pytest.raises(ChangedError):
        taking.save()
    assert path.read_bytes() == changed


def test_a_folder_without_a_bake_log_gets_one_and_loses_it_again(own):
    kit, results = own
    path = kit.folder / "bake-log.csv"
    path.unlink()
    taking = TakingOver(review_class(kit, results), "bake-log", kit.folder)
    taking.save()
    assert len(read_bake_log(kit)) == len(taking.rows)
    taking.take_back()
    assert not path.exists()


def test_the_kit_s_own_data_stay(kit):
    taking = TakingOver(review_class(kit, read_class_results(kit)), "prices", kit.folder)
    with pytest.raises(EditError, match="kit's own data"):
        taking.save()
    with pytest.raises(EditError, match="takes nothing over"):
        TakingOver(review_class(kit, read_class_results(kit)), "pans", kit.folder)


def test_a_formula_in_a_station_s_name_goes_nowhere(own, read):
    kit, _ = own
    review = review_class(kit, read(BAKE | {"station": '=HYPERLINK("x")'}))
    with pytest.raises(DataError, match="formula"):
        TakingOver(review, "bake-log", kit.folder)


# The panel and its picture -----------------------------------------------------------------------


def test_the_panel_saves_on_the_second_press_and_takes_back(own):
    kit, _ = own
    panel = kk.AfterClassPanel(kit)
    path = kit.folder / "bake-log.csv"
    before, sentence = path.read_bytes(), panel.sentence
    panel.ask["bake-log"].click()
    assert "Nothing is saved yet. 6 rows would be added" in panel._said.value
    assert path.read_bytes() == before
    panel.save.click()
    assert "Saved in" in panel._said.value
    assert path.read_bytes() != before
    assert panel.sentence == sentence  # the look back is the same once the log has it
    panel.ask["bake-log"].click()
    assert "nothing new" in panel._said.value
    panel.back.click()
    assert path.read_bytes() == before
    assert not is_shown(panel.back)


def test_what_another_page_took_over_meanwhile_is_not_offered_again(own):
    kit, _ = own
    one, other = kk.AfterClassPanel(kit), kk.AfterClassPanel(kit)
    one.ask["prices"].click()
    other.ask["prices"].click()
    one.save.click()
    saved = (kit.folder / "prices.csv").read_bytes()
    other.save.click()  # shown before the other was saved
    assert "changed elsewhere" in other._said.value
    other.ask["prices"].click()
    assert "nothing new" in other._said.value
    assert (kit.folder / "prices.csv").read_bytes() == saved


def test_where_nothing_is_shown_nothing_is_offered(own):
    kit, _ = own
    path = kit.folder / "class-results.csv"
    rows = [BAKE, BAKE | {"date": "2026-12-01", "oven": "right oven"}]
    path.write_text(table(rows), encoding="utf-8")
    panel = kk.AfterClassPanel(kit)
    panel.controls["oven"].value = "new oven"
    assert "Nobody baked in this oven" in panel._sentence.value
    panel.ask["bake-log"].click()
    assert "Choose a class and an oven" in panel._said.value
    assert not is_shown(panel.save)


def test_results_noted_meanwhile_are_read_on_request(own):
    kit, _ = own
    panel = kk.AfterClassPanel(kit)
    path = kit.folder / "class-results.csv"
    path.write_text(table([BAKE | {"date": "2026-12-01", "station": "<b>9</b>"}]), encoding="utf-8")
    panel.again.click()
    assert panel.controls["day"].options == (("2026-12-01", "2026-12-01"),)
    assert "<b>9" not in panel._numbers.value
    assert "&lt;b&gt;9" in panel._numbers.value
    path.write_text("nonsense", encoding="utf-8")
    panel.again.click()
    assert 'role="alert"' in panel._said.value
    assert panel.controls["day"].value == "2026-12-01"


def test_the_shipped_kit_s_rows_can_be_seen_but_not_saved(kit):
    panel = kk.AfterClassPanel(kit)
    panel.ask["prices"].click()
    assert "these are the kit&#x27;s own data" in panel._said.value
    assert panel.save.disabled


def test_the_picture_has_the_windows_and_the_minutes():
    chart = AfterClassChart()
    bakes = [
        *(("one", (20, 27, 36), 30.0, "inside"), ("two", (20, 27, 36), None, "not timed")),
        *(("three", (25, 34, 45), 280.0, "odd"), ("a very long name", (51, 69, 93), 95, "late")),
    ]
    chart.update(bakes)
    spans = [(bar.get_x(), bar.get_x() + bar.get_width()) for bar in chart.bars[:4]]
    assert spans == [(20, 36), (20, 36), (25, 45), (51, 93)]
    assert [line.get_xdata()[0] for line in chart.likely[:4]] == [27, 27, 34, 69]
    assert list(chart.real[0].get_xdata()) == [30]
    assert len(chart.real[1].get_xdata()) == 0
    end = chart.axes.get_xlim()[1]
    assert end < 120  # one odd bake does not press the others together
    assert list(chart.real[2].get_xdata()) == [end]
    assert [label.get_text() for label in chart.labels[:4]] == ["30", "", "280", "95"]
    assert [text.get_text() for text in chart.axes.get_yticklabels()] == [
        *("one", "two", "three"),
        "a very long…",
    ]
    chart.update(bakes * 10)
    assert len(chart.axes.get_yticks()) == STATIONS
    chart.update([])
    assert chart.axes.get_xlim()[1] > 0


def test_verdicts_differ_by_more_than_colour():
    assert len({mark for mark, *_ in MARKS.values()}) == len(MARKS)
