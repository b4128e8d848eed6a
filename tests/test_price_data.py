"""The four tables of prices: what is in them, what is told, and folders that have none."""

import csv
import datetime
import random
import re

import pytest
from test_kit import HABITS, faults, rows_of, set_cell, told, write

import kitchenkit as kk
from kitchenkit.errors import DataError
from kitchenkit.money import Money
from kitchenkit.places import shipped_folder

TABLES = ["prices.csv", "packaging.csv", "snacks.csv", "tariffs.csv"]
DATA = shipped_folder("data")


def add_row(folder, name, **cells):
    rows = rows_of(folder, name)
    rows.append([cells.get(head, "") for head in rows[0]])
    write(folder, name, rows)
    return len(rows)


def price(**cells):
    usual = {
        "ingredient": "salt",
        "amount": "1 lb",
        "price": "0.99",
        "currency": "USD",
        "place": "the stall",
        "date": "2026-11-10",
        "source": "lantern-street",
    }
    return usual | cells


def contents(kit):
    return [
        [
            (key, [(str(p.amount), p.money, p.place.casefold(), p.date, p.source) for p in listed])
            for key, listed in shelf.items()
        ]
        for shelf in (kit.prices, kit.packaging)
    ] + [
        [
            (
                key,
                x.name.casefold(),
                x.money,
                x.place.casefold(),
                x.date,
                getattr(x, "grams", x.key),
            )
            for key, x in shelf.items()
        ]
        for shelf in (kit.snacks, kit.tariffs)
    ]


# What is shipped ---------------------------------------------------------------------------------


def test_every_ingredient_of_the_base_has_a_price_at_each_shop_with_its_history(kit, base):
    for line in base.lines:
        listed = kit.prices[line.ingredient.key]
        shops = {p.place for p in listed}
        assert shops == {"the corner shop", "the market", "the discount store"}
        assert all(len({p.date for p in listed if p.place == shop}) >= 3 for shop in shops)


def test_there_are_prices_to_bake_variations_with(kit):
    assert len(kit.prices) >= 30
    assert {p.source for listed in kit.prices.values() for p in listed} == {"lantern-street"}
    assert kit.cite("lantern-street").startswith("Invented")
    assert len(kit.snacks) >= 4
    assert {t.fuel for t in kit.tariffs.values()} == {"electricity", "gas"}
    assert {"paper bag", "paper case", "foil"} <= {x.name for x in kit.packaging.values()}


def test_no_shipped_price_is_out_of_reach_or_out_of_time(kit):
    today = datetime.date(2026, 11, 25)
    for listed in kit.prices.values():
        for one in listed:
            assert one.date <= today
            if one.money:
                per_kg = float(one.money) / one.size * 1000
                # Salt and flour by the sack, spices by the jar: invented, but of this world.
                assert 0.5 < per_kg < 250, one
    for snack in kit.snacks.values():
        assert 0.5 < float(snack.per_100g) * 10 < 50
        assert 3 < snack.piece_weight.m_as("g") < 200


def test_names_of_a_price_list_are_those_of_its_ingredient(kit):
    assert kit.prices["flour"] is kit.prices["all-purpose-flour"]
    assert kit.packaging["Paper Case"].key == "paper-case"
    # One row for all that comes out of the same package.
    packed, loose = kit.prices["brown-sugar-packed"], kit.prices["brown-sugar-unpacked"]
    assert [p.money for p in packed] == [p.money for p in loose]
    assert len(packed) == len(list(packed))


def test_nothing_of_the_tables_is_lost(kit):
    rows = [row for row in rows_of(DATA, "prices.csv")[1:] if row]
    named = sum(len(row[0].split(";")) for row in rows)
    assert sum(len(listed) for listed in kit.prices.values()) == named
    assert list(kit.snacks) == [row[0] for row in rows_of(DATA, "snacks.csv")[1:]]
    assert list(kit.tariffs) == [row[0] for row in rows_of(DATA, "tariffs.csv")[1:]]


# Folders and habits ------------------------------------------------------------------------------


def test_an_older_folder_without_prices_opens_with_none(data_folder):
    for name in TABLES:
        (data_folder / name).unlink()
    kit = kk.open_kit(data_folder)
    assert [len(s) for s in (kit.prices, kit.packaging, kit.snacks, kit.tariffs)] == [0] * 4
    with pytest.raises(kk.KitchenError, match="has a price"):
        kk.cost(kit, kit.recipes["carrot-oat-base"])


@pytest.mark.parametrize("name", TABLES)
def test_one_table_may_be_missing_alone(data_folder, name):
    (data_folder / name).unlink()
    assert kk.open_kit(data_folder).recipes


@pytest.mark.parametrize("habit", HABITS)
def test_a_spreadsheets_habits_change_nothing(kit, data_folder, habit):
    for name in TABLES:
        HABITS[habit](data_folder, name)
    assert contents(kk.open_kit(data_folder)) == contents(kit)


def test_a_shop_spelled_in_two_ways_is_one_shop(data_folder):
    add_row(data_folder, "prices.csv", **price(place="The  Corner-Shop"))
    kit = kk.open_kit(data_folder)
    assert "the corner shop" in {p.place for p in kit.prices["salt"]}
    assert "The Corner-Shop" not in {p.place for p in kit.prices["salt"]}


# What is told ------------------------------------------------------------------------------------

READINGS = [
    ("3.49", "USD", "3.49"),
    ("$3.49", "USD", "3.49"),
    ("$3.49", "", "3.49"),
    ("3.49 USD", "", "3.49"),
    ("3,49", "USD", "3.49"),
    ("1,250.00", "USD", "1250"),
    ("70¢", "USD", "0.70"),
    ("free", "USD", "0"),
]


@pytest.mark.parametrize(("written", "currency", "amount"), READINGS)
def test_a_price_in_the_table_is_read(data_folder, written, currency, amount):
    cells = price(price=written, currency=currency, place="the stall")
    add_row(data_folder, "prices.csv", **cells)
    found = kk.open_kit(data_folder).prices["salt"].rows[-1]
    assert found.money == Money(amount, "USD")


FAULTY = [
    ("price", "0", "price", "a price of 0"),
    ("price", "-3.49", "price", "below zero"),
    ("price", "cheap", "price", "is not a price"),
    ("price", "", "price", "empty"),
    ("price", "£3.49", "price", "not in USD"),
    ("price", "3.49 EUR", "price", "not in USD"),
    ("currency", "XXQ", "currency", "no currency"),
    ("currency", "GBP", "currency", "The other prices are in USD"),
    ("currency", "", "price", "names no currency"),
    ("amount", "0 g", "amount", "above 0"),
    ("amount", "-1 lb", "amount", "below zero"),
    ("amount", "a bag", "amount", "not a unit"),
    ("amount", "12 each", "amount", "piece"),
    ("amount", "3 in", "amount", "not a mass"),
    ("ingredient", "sawdust", "ingredient", "no ingredient called 'sawdust'"),
    ("ingredient", "salt; sawdust", "ingredient", "Add it to ingredients.csv"),
    ("ingredient", "", "ingredient", "empty"),
    ("place", "", "place", "empty"),
    ("date", "11/10/2026", "date", "year-month-day"),
    ("source", "hearsay", "source", "Add this key to sources.csv"),
]


@pytest.mark.parametrize(("column", "value", "place", "mend"), FAULTY)
def test_a_wrong_price_is_told_with_its_place_and_mend(data_folder, column, value, place, mend):
    row = add_row(data_folder, "prices.csv", **price(**{column: value}))
    (fault,) = faults(data_folder)
    assert (fault.file, fault.row, fault.column) == ("prices.csv", f"row {row}", place)
    assert mend in fault.mend


@pytest.mark.parametrize(
    ("name", "column", "value", "mend"),
    [
        ("packaging.csv", "amount", "1 kg", "by the piece or the length"),
        ("packaging.csv", "amount", "0 each", "above 0"),
        ("packaging.csv", "price", "0", "a price of 0"),
        ("packaging.csv", "item", "", "empty"),
        ("snacks.csv", "weight", "0 g", "above 0"),
        ("snacks.csv", "weight", "1 cup", "not a mass"),
        ("snacks.csv", "pieces", "0", "from 1"),
        ("snacks.csv", "pieces", "1.5", "whole number"),
        ("snacks.csv", "currency", "EUR", "The other prices are in USD"),
        ("snacks.csv", "price", "free lunch", "not a price"),
        ("tariffs.csv", "fuel", "wood", "Choose one of: electricity"),
        ("tariffs.csv", "per", "cord", "Choose one of: kWh"),
        ("tariffs.csv", "price", "-1", "below zero"),
        ("tariffs.csv", "date", "soon", "year-month-day"),
    ],
)
def test_the_other_tables_are_checked_as_well(data_folder, name, column, value, mend):
    set_cell(data_folder, name, 2, column, value)
    (fault,) = faults(data_folder)
    assert (fault.file, fault.row, fault.column) == (name, "row 2", column)
    assert mend in fault.mend


def test_packaging_by_length_in_one_row_and_by_piece_in_another(data_folder):
    add_row(data_folder, "packaging.csv", **price(item="foil", amount="20 each"))
    assert "sold the other way" in faults(data_folder)[0].mend


def test_faults_of_all_tables_are_told_at_once(data_folder):
    set_cell(data_folder, "ingredients.csv", 4, "measure_g", "heavy")
    set_cell(data_folder, "prices.csv", 3, "price", "0")
    set_cell(data_folder, "prices.csv", 3, "date", "soon")
    set_cell(data_folder, "prices.csv", 5, "price", "0")
    set_cell(data_folder, "snacks.csv", 3, "weight", "light")
    set_cell(data_folder, "tariffs.csv", 2, "per", "cord")
    assert told(data_folder) == [
        ("ingredients.csv", "row 4", "measure_g", "heavy"),
        ("prices.csv", "row 3", "date", "soon"),
        ("prices.csv", "row 5", "price", "0"),
        ("snacks.csv", "row 3", "weight", "light"),
        ("tariffs.csv", "row 2", "per", "cord"),
    ]


def test_the_same_package_place_and_day_twice(data_folder):
    for _ in range(2):
        add_row(data_folder, "prices.csv", **price())
    (fault,) = faults(data_folder)
    assert "Keep one of the two" in fault.mend


def test_a_key_of_a_snack_given_twice(data_folder):
    set_cell(data_folder, "snacks.csv", 3, "key", "snack-bar")
    assert [fault.column for fault in faults(data_folder)] == ["key"]


def test_a_faulty_ingredient_is_not_told_again_by_its_prices(data_folder):
    rows = [row[0] for row in rows_of(data_folder, "ingredients.csv")]
    set_cell(data_folder, "ingredients.csv", rows.index("salt") + 1, "water", "wet")
    assert {fault.file for fault in faults(data_folder)} == {"ingredients.csv"}


def assert_told(error, name):
    assert {fault.file for fault in error.faults} == {name}
    assert all(fault.mend and fault.row for fault in error.faults)


def test_spoilt_cells_open_or_are_told(data_folder):
    rng = random.Random(20261125)
    junk = ["", "-", "0", "-1", "nan", "1e309", "=1+1", "9" * 400, "1/0", "½", "12 g", "x" * 501]
    junk += ["$", "£3", "3,49", "1,250", "free", "EUR", "2026-13-40", "salt", "\u202e", "kWh;therm"]
    opened = 0
    for _ in range(150):
        name = rng.choice(TABLES)
        kept = (data_folder / name).read_bytes()
        rows = rows_of(data_folder, name)
        row = rng.choice(rows)
        row[rng.randrange(len(row))] = rng.choice(junk)
        write(data_folder, name, rows)
        try:
            kit = kk.open_kit(data_folder)
        except DataError as error:
            assert_told(error, name)
        else:
            opened += 1
            for listed in kit.prices.values():
                for one in listed:
                    assert one.size > 0
                    assert one.money.amount >= 0
        (data_folder / name).write_bytes(kept)
    assert 10 < opened < 100


def test_the_tables_hold_no_brand_and_say_that_they_are_invented():
    for name in TABLES:
        with (DATA / name).open(encoding="utf-8", newline="") as file:
            for row in csv.DictReader(file):
                assert row["source"] == "lantern-street"
                assert re.match(r"Invented for the demo|Too little to count", row["note"])
