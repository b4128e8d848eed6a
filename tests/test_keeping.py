"""Keeping times: dates on a label, sources that differ, and a table whose faults are told."""

import datetime
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from test_kit import HABITS, faults, rows_of, set_cell, told, write

import kitchenkit as kk
from kitchenkit import language
from kitchenkit.errors import DataError, KitchenError
from kitchenkit.keeping import CONDITIONS, PLACES

BAKED = datetime.date(2026, 11, 25)
TABLE = "keeping.csv"


def contents(kit):
    return [(product.key, product.also, product.times) for product in kit.keeping.values()]


def add_row(folder, **cells):
    usual = {
        "product": "muffins",
        "place": "fridge",
        "low": "1",
        "high": "2",
        "unit": "days",
        "about": "quality",
        "source": "lantern-street",
    }
    rows = rows_of(folder, TABLE)
    rows.append([(usual | cells).get(head, "") for head in rows[0]])
    write(folder, TABLE, rows)
    return len(rows)


# What is shipped ---------------------------------------------------------------------------------


def test_there_is_a_time_for_all_that_is_baked_in_every_place(kit):
    for product in kit.keeping.values():
        places = {time.place for time in product}
        assert {"counter", "fridge", "freezer"} <= places, product.name
        if product.key != "raw-batter":
            assert "counter after freezing" in places, product.name
    assert {place for product in kit.keeping.values() for place in {t.place for t in product}} == (
        set(PLACES)
    )
    assert set(CONDITIONS) == set(PLACES)


def test_every_flavour_names_a_product_of_the_table(kit):
    for flavour in kit.flavours.values():
        assert flavour.keeping in kit.keeping, flavour.name


def test_what_holds_cream_cheese_or_soft_filling_is_about_safety_on_the_counter(kit):
    assert {p.key for p in kit.keeping.values() if p.needs_cold} == {
        "cheese-muffins",
        "cream-cheese-topped",
        "raw-batter",
    }
    for name in ("cream cheese glazed", "cream-cheese-swirl", "cream cheese filled"):
        assert kk.keep_by(kit, name, "counter", BAKED).about == "safety"
        assert kk.keep_by(kit, name, "counter", BAKED).by == BAKED


def test_freezer_times_are_about_quality(kit):
    for product in kit.keeping.values():
        assert {time.about for time in product.at("freezer")} == {"quality"}


def test_nothing_of_the_table_is_lost(kit):
    assert sum(len(product.times) for product in kit.keeping.values()) == len(
        rows_of(kit.folder, TABLE)[1:]
    )


# Dates -------------------------------------------------------------------------------------------


def test_quick_bread_in_the_freezer(kit):
    """2 months by the shortest limit: 60 days, a month counted as 30. Others say up to 4."""
    found = kk.keep_by(kit, "quick bread", "freezer", "2026-11-25")
    assert found.by == datetime.date(2027, 1, 24)
    assert found.days == 60
    assert found.earliest == BAKED + datetime.timedelta(days=30)
    assert found.latest == BAKED + datetime.timedelta(days=120)
    assert found.limit == "2 months"
    assert "up to 4 months" in found.disagree
    assert "shortest of their limits, 2 months" in found.disagree
    assert str(found) == "quick bread, freezer: by 2027-01-24, for its quality"


def test_every_row_is_cited_in_words(kit):
    found = kk.keep_by(kit, "muffins", "freezer", BAKED)
    assert len(found.table) == 4
    for cell in found.table["source"]:
        assert cell in {kit.cite(key) for key in kit.sources}
    assert found.table["best_by"].iloc[0] == BAKED + datetime.timedelta(days=360)
    assert set(found.thawed["place"]) == {"counter after freezing", "fridge after freezing"}
    assert kk.keep_by(kit, "muffins", "counter", BAKED).thawed.empty


def test_hours_are_the_same_day_and_said_as_hours(kit):
    found = kk.keep_by(kit, "cream cheese topped", "counter", BAKED)
    assert found.days == 0
    assert str(found) == ("cream cheese topped, counter: within 2 hours, on 2026-11-25, for safety")
    assert any("2 hours out of the fridge" in caution for caution in found.cautions)


@pytest.mark.parametrize("place", ["counter", "fridge", "freezer"])
def test_raw_batter_is_not_kept(kit, place):
    found = kk.keep_by(kit, "batter", place, BAKED)
    assert found.days == 0
    assert str(found) == f"raw batter, {place}: do not keep it there"
    assert any("Never taste raw batter" in caution for caution in found.cautions)


def test_cautions_come_with_every_answer(kit):
    for product in kit.keeping.values():
        for place in {time.place for time in product}:
            said = " ".join(kk.keep_by(kit, product.key, place, BAKED).cautions)
            assert "throw the whole piece away" in said
            assert "When in doubt, throw it out" in said
            assert "local food rules" in said
            assert ("At −18 °C (0 °F) food stays safe" in said) == (place == "freezer")
            assert ("day of thawing" in said) == place.endswith("after freezing")
            assert "safe for" not in said
            assert "free" not in said.replace("freez", "")


@given(st.dates(datetime.date(2000, 1, 1), datetime.date(2100, 1, 1)), st.data())
def test_dates_stand_in_order_and_move_with_the_day(kit, made, data):
    product = kit.keeping[data.draw(st.sampled_from(list(kit.keeping)))]
    place = data.draw(st.sampled_from(sorted({time.place for time in product})))
    found = kk.keep_by(kit, product.name, place, made)
    assert made <= found.earliest <= found.by <= found.latest
    assert found.by == made + datetime.timedelta(days=found.days)
    # No source whose own limit is before the date that the kit goes by.
    assert min(found.table["best_by"]) == found.by
    assert max(found.table["best_by"]) == found.latest
    assert bool(found.disagree) == (found.table["said"].nunique() > 1)


def test_words_that_mean_the_same_place_and_product(kit):
    for place in ("Fridge", "refrigerator", " FRIDGE "):
        assert kk.keep_by(kit, "Muffin", place, BAKED).place == "fridge"
    assert kk.keep_by(kit, "loaf slices", "room", BAKED).product == "quick bread"
    assert kk.keep_by(kit, "muffins").made_on == datetime.date.today()
    assert kk.keep_by(kit, "muffins", "freezer", "2031-01-01").by.year == 2031


@pytest.mark.parametrize(
    ("product", "place", "made_on", "why"),
    [
        ("muffns", "freezer", BAKED, "There is no product called 'muffns'. Did you mean muffins"),
        ("brick", "freezer", BAKED, "There is no product called 'brick'"),
        (None, "freezer", BAKED, "There is no product"),
        ("muffins", "frezer", BAKED, "'frezer' is no place .* Did you mean freezer"),
        ("muffins", "moon", BAKED, "counter, fridge, freezer"),
        ("muffins", None, BAKED, "is no place"),
        ("raw batter", "fridge after freezing", BAKED, "Add a row with its source"),
        ("muffins", "freezer", "25/11/2026", "no date"),
        ("muffins", "freezer", "2026-02-30", "no date"),
        ("muffins", "freezer", 20261125, "no date"),
        ("muffins", "freezer", "9999-12-31", "too far ahead"),
    ],
)
def test_a_wrong_question_is_refused_plainly(kit, product, place, made_on, why):
    with pytest.raises(KitchenError, match=why):
        kk.keep_by(kit, product, place, made_on)


# The table ---------------------------------------------------------------------------------------


def test_an_older_folder_without_the_table_opens_with_none(data_folder):
    (data_folder / TABLE).unlink()
    kit = kk.open_kit(data_folder)
    assert len(kit.keeping) == 0
    with pytest.raises(KitchenError, match="Add a table, keeping"):
        kk.keep_by(kit, "muffins")


@pytest.mark.parametrize("habit", HABITS)
def test_a_spreadsheets_habits_change_nothing(kit, data_folder, habit):
    HABITS[habit](data_folder, TABLE)
    assert [(key, times) for key, _, times in contents(kk.open_kit(data_folder))] == [
        (key, times) for key, _, times in contents(kit)
    ]


def test_ones_own_row_is_one_more_source(data_folder):
    add_row(data_folder, place="freezer", low="3", high="5", unit="weeks")
    found = kk.keep_by(kk.open_kit(data_folder), "muffins", "freezer", BAKED)
    assert found.days == 35
    assert found.limit == "5 weeks"


FAULTY = [
    ({"low": "3"}, "low", "above high"),
    ({"high": "-1"}, "high", "from 0"),
    ({"high": ""}, "high", "empty"),
    ({"high": "a while"}, "high", "not a number"),
    ({"high": "300", "unit": "months"}, "high", "over ten years"),
    ({"unit": "years"}, "unit", "Choose one of: hours"),
    ({"unit": ""}, "unit", "empty"),
    ({"place": "cellar"}, "place", "Choose one of: counter"),
    ({"about": "luck"}, "about", "Choose one of: quality"),
    ({"source": "hearsay"}, "source", "Add this key to sources.csv"),
    ({"source": ""}, "source", "empty"),
    ({"product": ""}, "product", "empty"),
    ({"also": "bread"}, "also", "This name belongs to yeast bread"),
    ({"product": "coffee cake"}, "product", "This name belongs to streusel topped"),
    ({"source": "ncsu-bread-2020"}, "source", "Keep one of the two"),
]


@pytest.mark.parametrize(("cells", "column", "mend"), FAULTY)
def test_a_wrong_row_is_told_with_its_place_and_mend(data_folder, cells, column, mend):
    row = add_row(data_folder, **cells)
    (fault,) = faults(data_folder)
    assert (fault.file, fault.row, fault.column) == (TABLE, f"row {row}", column)
    assert mend in fault.mend


def test_faults_of_this_table_are_told_with_the_others(data_folder):
    set_cell(data_folder, "ingredients.csv", 4, "measure_g", "heavy")
    set_cell(data_folder, TABLE, 3, "unit", "ages")
    set_cell(data_folder, TABLE, 5, "place", "shelf")
    assert told(data_folder) == [
        ("ingredients.csv", "row 4", "measure_g", "heavy"),
        (TABLE, "row 3", "unit", "ages"),
        (TABLE, "row 5", "place", "shelf"),
    ]


def assert_told(error):
    assert {fault.file for fault in error.faults} == {TABLE}
    assert all(fault.mend and fault.row for fault in error.faults)


def test_spoilt_cells_open_or_are_told(data_folder):
    rng = random.Random(20261125)
    junk = ["", "-", "0", "-1", "nan", "1e309", "=1+1", "9" * 400, "½", "12 g", "x" * 501, "a;b"]
    junk += ["days", "freezer", "safety", "\u202e", "muffins", "1,5", "<b>", "../x"]
    opened = 0
    kept = (data_folder / TABLE).read_bytes()
    for _ in range(100):
        rows = rows_of(data_folder, TABLE)
        row = rng.choice(rows)
        row[rng.randrange(len(row))] = rng.choice(junk)
        write(data_folder, TABLE, rows)
        try:
            kit = kk.open_kit(data_folder)
        except DataError as error:
            assert_told(error)
        else:
            opened += 1
            for product in kit.keeping.values():
                assert all(0 <= time.low <= time.high for time in product)
        (data_folder / TABLE).write_bytes(kept)
    assert 10 < opened < 80


# Languages ---------------------------------------------------------------------------------------


def test_a_time_read_in_one_language_is_said_in_another(kit):
    found = kk.keep_by(kit, "quick bread", "freezer", BAKED)
    shown = kk.KeepingTimes(kit, "muffins")
    english = (str(found), found.limit, found.disagree, shown.rows)
    with language.speaking("es_ES"):
        assert found.limit == "2 meses"
        assert "hasta 4 meses" in found.disagree
        assert str(found) == "pan rápido, congelador: hasta el 24 ene 2027, por su calidad"
        assert shown.rows[0][2:4] == ["de 1 a 2 días", "calidad"]
    assert (str(found), found.limit, found.disagree, shown.rows) == english


def test_what_is_not_kept_is_refused_whatever_the_language(kit):
    with language.speaking("es_ES"):
        found = kk.keep_by(kit, "batter", "freezer", BAKED)
        assert str(found) == "masa cruda, congelador: no lo guardes ahí"
