"""Prices as a kitchen notes them: packages, bought snacks, packaging and energy, each dated."""

from __future__ import annotations

import datetime
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path
from typing import Any

import pint

from kitchenkit import tables
from kitchenkit.errors import Fault, KitchenError, MeasureError
from kitchenkit.language import mark, tr
from kitchenkit.money import Money, measured, read_currency, read_money
from kitchenkit.shelf import Shelf, plain
from kitchenkit.tables import IF_NEW, Table
from kitchenkit.units import Q, read_measure, si

FUELS = ("electricity", "gas")
_PER = ("kWh", mark("therm"))


@dataclass(frozen=True)
class Price:
    """One package as a shop sells it.

    Attributes
    ----------
    item : str
        Key of the ingredient or packaging.
    amount : Quantity
        What the package holds, as bought: weight, volume, count or length.
    money : Money
        For the whole package.
    place : str
    date : datetime.date
    source, note : str
    size : float or None
        The amount as sums need it: grams of an ingredient (of pieces, what can be eaten of them),
        pieces or metres of packaging.
    row : int or None
        Where it stands in its table; the same for all that come out of one package.
    """

    item: str
    amount: pint.Quantity
    money: Money
    place: str
    date: datetime.date
    source: str = ""
    note: str = ""
    size: float | None = None
    row: int | None = field(default=None, compare=False)

    @cached_property
    def by_piece(self) -> bool:
        """Whether the package is counted, not weighed, poured or measured."""
        return self.amount.check("[count]")


@dataclass(frozen=True)
class PriceList:
    """Every known price of one thing."""

    key: str
    name: str
    rows: tuple[Price, ...]
    also: tuple[str, ...] = ()
    # What sums have worked out of the rows, which never change.
    memo: dict = field(default_factory=dict, init=False, repr=False, compare=False)

    def __iter__(self) -> Iterator[Price]:
        return iter(self.rows)

    def __len__(self) -> int:
        return len(self.rows)


@dataclass(frozen=True)
class Snack:
    """Something bought ready to eat, that baking is compared with.

    Attributes
    ----------
    key, name : str
    pieces : int
        In the package.
    grams : float
        Of all of them.
    money : Money
        For the package.
    place : str
    date : datetime.date
    """

    key: str
    name: str
    pieces: int
    grams: float
    money: Money
    place: str = ""
    date: datetime.date | None = None
    source: str = ""
    note: str = ""

    @property
    def piece(self) -> Money:
        """Price of one piece."""
        return self.money / self.pieces

    @property
    def piece_weight(self) -> pint.Quantity:
        """Weight of one piece (g)."""
        return Q(self.grams / self.pieces, "g")

    @property
    def per_100g(self) -> Money:
        return self.money * 100 / measured(self.grams)


@dataclass(frozen=True)
class Tariff:
    """What energy costs.

    Attributes
    ----------
    key : str
    fuel : {"electricity", "gas"}
    per : {"kWh", "therm"}
    money : Money
        For one of `per`.
    """

    key: str
    fuel: str
    per: str
    money: Money
    place: str = ""
    date: datetime.date | None = None
    source: str = ""
    note: str = ""

    @property
    def name(self) -> str:
        return f"{self.fuel}, {self.place}" if self.place else self.fuel

    def of(self, energy: pint.Quantity) -> Money:
        """What an amount of energy costs.

        Parameters
        ----------
        energy : Quantity
            Such as ``Q(2, "kWh")``.
        """
        if not energy.check("[energy]"):
            raise MeasureError(f"{energy:~g} is not energy. Write it like Q(2, 'kWh').")
        return self.money * measured(energy.m_as(self.per))


# Tables ----------------------------------------------------------------------------------------


def _package(name: str) -> tables.Column:
    def parse(cell: str) -> pint.Quantity:
        amount = read_measure(cell)
        if not 0 < amount.magnitude < 1e9:
            raise MeasureError(
                tr("Write what one package holds, above 0, like 5 lb, 1 l or 12 each.")
            )
        return amount

    return tables.Column(name, parse)


def _weight(name: str) -> tables.Column:
    def parse(cell: str) -> float:
        grams = si(cell, "mass", name) * 1000
        if not 0 < grams <= 1e6:
            raise MeasureError(tr("Write the weight of the package, above 0, like 240 g."))
        return grams

    return tables.Column(name, parse)


def _currency(name: str) -> tables.Column:
    def parse(cell: str) -> str:
        try:
            return read_currency(cell)
        except KitchenError as error:
            raise MeasureError(str(error)) from None

    return tables.Column(name, parse, required=False)


def _price(name: str) -> tables.Column:
    # Read to its end only with the row's currency; here it is known as a number for decimal commas.
    return tables.Column(name, str, is_number=True)


_DATED = [
    _price("price"),
    _currency("currency"),
    tables.text("place"),
    tables.date("date"),
    tables.key("source"),
    tables.text("note", False),
]
PRICE_COLUMNS = [replace(tables.names("ingredient"), required=True), _package("amount"), *_DATED]
PACKAGING_COLUMNS = [tables.text("item"), _package("amount"), *_DATED]
SNACK_COLUMNS = [
    tables.key("key"),
    tables.text("name"),
    tables.whole("pieces", 1, 1000),
    _weight("weight"),
    *_DATED,
]


def _unit_of_energy(name: str) -> tables.Column:
    def parse(cell: str) -> str:
        for unit in _PER:
            if cell.casefold() == unit.casefold():
                return unit
        raise MeasureError(tr("Choose one of: {words}.", words=", ".join(_PER)))

    return tables.Column(name, parse)


TARIFF_COLUMNS = [
    tables.key("key"),
    tables.choice("fuel", FUELS),
    _unit_of_energy("per"),
    *_DATED,
]


def read_prices(folder: Path, ingredients: Shelf, stocked, cited, faults: list[Fault]):
    """Read the four tables of prices; a folder that has none of them yet does without.

    Parameters
    ----------
    folder : Path
        Holds prices.csv, packaging.csv, snacks.csv and tariffs.csv, or some of them.
    ingredients : Shelf
    stocked, cited : container of str
        Names that stand in ingredients.csv and sources.csv, also in rows with a fault.
    faults : list of Fault
        Gains what is wrong.

    Returns
    -------
    prices, packaging, snacks, tariffs : Shelf
        The first two of `PriceList`.
    """
    read = {
        name: _read(folder / f"{name}.csv", columns, cited)
        for name, columns in (
            ("prices", PRICE_COLUMNS),
            ("packaging", PACKAGING_COLUMNS),
            ("snacks", SNACK_COLUMNS),
            ("tariffs", TARIFF_COLUMNS),
        )
    }
    _one_currency([table for table, _ in read.values()], [rows for _, rows in read.values()])
    prices = _price_lists(*read["prices"], ingredients, stocked)
    packaging = _packaging_lists(*read["packaging"])
    snacks = _keyed(*read["snacks"], "snack", _snack)
    tariffs = _keyed(*read["tariffs"], "tariff", _tariff)
    for table, _ in read.values():
        faults += table.faults
    return prices, packaging, snacks, tariffs


_Rows = list[tuple[int, dict[str, Any]]]


def _read(path: Path, columns: list[tables.Column], cited) -> tuple[Table, _Rows]:
    """A table and its rows with each price read, or an empty one where there is no file."""
    if not path.exists():
        return Table(path.name), []
    table = tables.read_table(path, columns)
    rows, places = [], {}
    for row, values in table.rows:
        if values["source"] not in cited:
            mend = "Add this key to sources.csv, or use one that is there."
            table.fault(row, "source", values["source"], mend)
        try:
            values["money"] = read_money(values["price"], values["currency"])
        except KitchenError as error:
            table.fault(row, "price", values["price"], str(error))
            continue
        # One shop, however it is spelled.
        values["place"] = places.setdefault(plain(values["place"]), values["place"])
        rows.append((row, values))
    return table, rows


def _one_currency(read: list[Table], rows: list[_Rows]) -> None:
    """Tell the prices whose currency is not the one that most of the tables use."""
    counted = Counter(values["money"].currency for some in rows for _, values in some)
    if len(counted) < 2:
        return
    usual = counted.most_common(1)[0][0]
    for table, some in zip(read, rows, strict=True):
        for row, values in some:
            if values["money"].currency != usual:
                mend = f"The other prices are in {usual}, and only one currency adds up."
                table.fault(row, "currency", values["money"].currency, mend)


def _made(row: int, key: str, values: dict[str, Any], size: float) -> Price:
    fields = ("amount", "money", "place", "date", "source", "note")
    return Price(key, *(values[name] for name in fields), size, row)


def _list(table: Table, row: int, some: list[Price], price: Price) -> None:
    """Add a price, unless the same package has one of the same place and day."""
    for other in some:
        same = (other.place, other.date) == (price.place, price.date)
        if (
            same
            and other.amount.check(price.amount.dimensionality)
            and other.amount == price.amount
        ):
            mend = "Another row has the same package, place and date. Keep one of the two."
            table.fault(row, "date", f"{price.date}", mend)
            return
    some.append(price)


def _price_lists(table: Table, rows: _Rows, ingredients: Shelf, stocked) -> Shelf:
    listed: dict[str, list[Price]] = {}
    for row, values in rows:
        for name in values["ingredient"]:
            item = table.find(row, "ingredient", name, ingredients, IF_NEW, told=stocked)
            if item is None:
                continue
            try:
                grams = item.weight(values["amount"]).magnitude
            except MeasureError as error:
                table.fault(row, "amount", f"{values['amount']:~g}", str(error))
                continue
            made = _made(row, item.key, values, grams)
            _list(table, row, listed.setdefault(item.key, []), made)
    return Shelf(
        "price",
        [
            PriceList(key, ingredients[key].name, tuple(some), ingredients[key].also)
            for key, some in listed.items()
        ],
    )


def _packaging_lists(table: Table, rows: _Rows) -> Shelf:
    listed: dict[str, list[Price]] = {}
    for row, values in rows:
        amount = values["amount"]
        counted = amount.check("[count]")
        if not (counted or amount.check("[length]")):
            mend = "Packaging is sold by the piece or the length. Write it like 50 each or 75 ft."
            table.fault(row, "amount", f"{amount:~g}", mend)
            continue
        some = listed.setdefault(plain(values["item"]), [])
        if some and not some[0].amount.check(amount.dimensionality):
            mend = f"Elsewhere {values['item']} is sold the other way. Write all alike."
            table.fault(row, "amount", f"{amount:~g}", mend)
            continue
        many = amount.m_as("each" if counted else "m")
        _list(table, row, some, _made(row, plain(values["item"]).replace(" ", "-"), values, many))
    return Shelf(
        "packaging",
        [PriceList(some[0].item, name, tuple(some)) for name, some in listed.items()],
    )


def _keyed(table: Table, rows: _Rows, what: str, build: Callable) -> Shelf:
    taken: dict[str, int] = {}
    made = []
    for row, values in rows:
        for column in ("key", "name"):
            name = values.get(column)
            if name and taken.setdefault(plain(name), row) != row:
                mend = f"Row {taken[plain(name)]} already has this name. Give each its own."
                table.fault(row, column, name, mend)
        made.append(build(values))
    return Shelf(what, made)


def _snack(values: dict[str, Any]) -> Snack:
    fields = ("key", "name", "pieces", "weight", "money", "place", "date", "source", "note")
    return Snack(*(values[name] for name in fields))


def _tariff(values: dict[str, Any]) -> Tariff:
    fields = ("key", "fuel", "per", "money", "place", "date", "source", "note")
    return Tariff(*(values[name] for name in fields))
