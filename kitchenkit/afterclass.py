"""After the class: what the stations noted, against what was predicted, and what to note down."""

from __future__ import annotations

import datetime
import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import NamedTuple

from kitchenkit import tables
from kitchenkit.bakelog import (
    BAKE_COLUMNS,
    Bake,
    OvenCorrection,
    bake_weights,
    correct_oven,
    has_bake_log,
    read_bake_log,
)
from kitchenkit.baking import BakeTime, bake_minutes, bake_time
from kitchenkit.errors import DataError, KitchenError, MeasureError
from kitchenkit.language import day, num, tr
from kitchenkit.money import Money, measured, read_money
from kitchenkit.pans import Pan
from kitchenkit.prices import PRICE_COLUMNS, Price
from kitchenkit.shelf import plain
from kitchenkit.units import Q

# A price so many times its predecessor, or so small a part of it, is asked about and not offered.
# Our choice: a price seldom trebles from one class to the next, and a slip of a digit is tenfold.
ODD_PRICE = 3.0
# The key of sources.csv for prices that were read off a class's receipts.
RECEIPTS = "class-receipts"
CLASS_RESULTS = "class-results.csv"

_BAKE = ("pan", "volume", "oven", "set", "real", "minutes")
_NEEDED = ("pan", "volume", "oven", "set")
_PAID = ("ingredient", "amount", "price", "currency", "place")
_WRITTEN = ("volume", "set", "real", "amount")  # kept as noted, to be written on as noted
_KNOWN = {column.name: column for column in (*PRICE_COLUMNS, *BAKE_COLUMNS)}
_WORDS = {  # after any of the others, what is still to be noted
    **{"pan": "the pan", "volume": "the batter in one", "oven": "which oven"},
    **{"set": "what the oven's dial said", "ingredient": "what was bought"},
    **{"amount": "what the package holds", "price": "what was paid", "place": "where"},
}


def _left_open(name: str) -> tables.Column:
    return replace(_KNOWN[name], required=False)


RESULT_COLUMNS = [
    tables.date("date"),
    tables.text("station"),
    tables.text("flavour", required=False),
    *map(_left_open, _BAKE),
    replace(tables.choice("done", ("yes", "no")), required=False, empty="yes"),
    *map(_left_open, _PAID),
    tables.text("note", required=False),
]


class _Noted(NamedTuple):
    """A cell's value and its words."""

    value: object
    words: str


def _noted(column: tables.Column) -> tables.Column:
    if column.name not in _WRITTEN:
        return column
    return replace(column, parse=lambda cell: _Noted(column.parse(cell), cell))


@dataclass(frozen=True)
class ClassResult:
    """One line of what the stations noted: a bake, what was paid for a package, or both.

    Attributes
    ----------
    row : int
        Of the table, as a spreadsheet counts.
    date : datetime.date
    station, flavour, note : str
    pan : Pan or None
        None in a line without a bake.
    volume_m3 : float or None
        Raw batter in one pan or well.
    oven : str
    set_c, real_c : float or None
        What the dial said, and the thermometer inside where there was one (else the dial again).
    minutes : float or None
        To done, or until it had to come out; None where nobody looked at the clock.
    done : bool
        Whether the bake was finished.
    paid : tuple of Price
        One for each ingredient out of the package; empty in a line without a price.
    words : dict of str to str
        Amounts and temperatures as they were noted.
    """

    row: int
    date: datetime.date
    station: str
    flavour: str
    pan: Pan | None
    volume_m3: float | None
    oven: str
    set_c: float | None
    real_c: float | None
    minutes: float | None
    done: bool
    paid: tuple[Price, ...]
    words: dict
    note: str = ""

    @property
    def bake(self) -> Bake | None:
        """The bake as the log takes it; None where it was not finished or not timed."""
        if self.pan is None or self.minutes is None or not self.done:
            return None
        heat = (self.set_c, self.real_c)
        return Bake(self.date, self.oven, self.pan, self.volume_m3, *heat, self.minutes, self.note)


def has_class_results(kit) -> bool:
    """Whether the kit's folder holds results of a class; before the first class there are none."""
    return (kit.folder / CLASS_RESULTS).is_file()


def read_class_results(kit, path=None) -> list[ClassResult]:
    """Read what the stations noted.

    Parameters
    ----------
    kit : Kit
        Knows pans, flavours, recipes and ingredients.
    path : str or Path, optional
        A table with the columns date, station, flavour, pan, volume (batter in one pan or well),
        oven, set and real (its dial, and the thermometer inside; real may be empty), minutes, done
        (yes or no), ingredient, amount, price, currency, place and note. A line may leave out the
        bake or the purchase. The kit's own class-results.csv when left out.

    Returns
    -------
    list of ClassResult
        In the order of their dates.

    Raises
    ------
    DataError
        With every fault found.
    """
    path = Path(path) if path is not None else kit.folder / CLASS_RESULTS
    table = tables.read_table(path, [_noted(column) for column in RESULT_COLUMNS])
    places: dict[str, str] = {}
    found = [_result(table, row, values, kit, places) for row, values in table.rows]
    if table.faults:
        raise DataError(table.faults)
    return sorted(found, key=lambda result: result.date)


def _result(table, row: int, values: dict, kit, places: dict) -> ClassResult:
    words = {}
    for name in _WRITTEN:
        if values[name] is not None:
            values[name], words[name] = values[name]
    baked = any(values[name] not in (None, "") for name in _BAKE)
    bought = any(values[name] not in (None, "", ()) for name in _PAID)
    if not baked and not bought:
        table.fault(row, "pan", "nothing", "Fill in a bake, or what was paid, or take the row out.")
    pan = _check_bake(table, row, values, words, kit) if baked else None
    paid = _read_paid(table, row, values, kit, places) if bought else ()
    real = values["real"] if values["real"] is not None else values["set"]
    return ClassResult(
        row=row,
        date=values["date"],
        station=values["station"],
        flavour=_flavour(table, row, values["flavour"], kit),
        pan=pan,
        volume_m3=values["volume"],
        oven=values["oven"],
        set_c=values["set"],
        real_c=real,
        minutes=values["minutes"],
        done=values["done"] == "yes",
        paid=tuple(paid),
        words=words,
        note=values["note"],
    )


def _flavour(table, row: int, name: str, kit) -> str:
    if not name or name in kit.recipes:
        return kit.recipes[name].name if name else ""
    found = table.find(row, "flavour", name, kit.flavours, "Use a flavour or recipe of the kit.")
    return found.name if found else name


def _all_there(table, row: int, values: dict, needed: Sequence[str]) -> bool:
    missing = [name for name in needed if values[name] in (None, "", ())]
    for name in missing:
        mend = f"Note {_WORDS[name]} too, or leave the rest of it out."
        table.fault(row, name, "nothing", mend)
    return not missing


def _check_bake(table, row: int, values: dict, words: dict, kit) -> Pan | None:
    if not _all_there(table, row, values, _NEEDED):
        return None
    pan = table.find(row, "pan", values["pan"], kit.pans, "Use a key or name from pans.csv.")
    if pan is None:
        return None
    if values["volume"] > pan.capacity_m3:
        mend = "That is more than one of this pan holds. Write what went into one."
        table.fault(row, "volume", words["volume"], mend)
        return None
    column = "set" if values["real"] is None else "real"
    try:
        bake_minutes(pan, values["volume"], values[column])
    except KitchenError as error:  # an oven too cool to do a crumb
        table.fault(row, column, words[column], str(error))
    return pan


def _read_paid(table, row: int, values: dict, kit, places: dict):
    """The prices of a line: one for each ingredient that comes out of the package."""
    if not _all_there(table, row, values, ("ingredient", "amount", "price", "place")):
        return
    usual = next((p.money.currency for rows in kit.prices.values() for p in rows), None)
    try:
        money = read_money(values["price"], values["currency"] or usual)
    except KitchenError as error:
        table.fault(row, "price", values["price"], str(error))
        return
    if usual and money.currency != usual:
        mend = f"The prices are in {usual}, and only one currency adds up."
        table.fault(row, "currency", money.currency, mend)
        return
    # One shop, however it is spelled.
    place = places.setdefault(plain(values["place"]), values["place"])
    for name in values["ingredient"]:
        item = table.find(row, "ingredient", name, kit.ingredients, tables.IF_NEW)
        if item is None:
            continue
        try:
            grams = item.weight(values["amount"]).m_as("g")
        except MeasureError as error:
            table.fault(row, "amount", f"{values['amount']:~g}", str(error))
            continue
        kind = (RECEIPTS, values["note"], grams)
        yield Price(item.key, values["amount"], money, place, values["date"], *kind)


# Predicted against real --------------------------------------------------------------------------


@dataclass(frozen=True)
class BakeReview:
    """One station's bake beside what was predicted for it.

    Attributes
    ----------
    result : ClassResult
    predicted : BakeTime
        By the bake log without this class.
    weight : float
        How much it counts in its oven's correction, 0 to 1; 0 where it was not finished or timed.
    logged : bool
        Whether the bake log has it already.
    """

    result: ClassResult
    predicted: BakeTime
    weight: float = 0.0
    logged: bool = False

    @property
    def window(self) -> tuple[int, int, int]:
        """Early end, likeliest and late end in whole minutes, as they are told."""
        ends = (self.predicted.low, self.predicted.minutes, self.predicted.high)
        return tuple(round(end.m_as("min")) for end in ends)

    @property
    def verdict(self) -> str:
        """``inside``, ``early`` or ``late``, ``odd``, ``not done`` or ``not timed``."""
        minutes = self.result.minutes
        if minutes is None:
            return "not timed"
        if not self.result.done:
            return "not done"
        if self.weight < 0.5:
            return "odd"
        low, _, high = self.window
        return "early" if minutes < low else "late" if minutes > high else "inside"


@dataclass(frozen=True)
class PriceReview:
    """What a station paid beside what the price table said before.

    Attributes
    ----------
    row : int
        Of the results' table.
    station : str
    price : Price
        As paid.
    name : str
        Of the ingredient.
    seen : Price or None
        The latest price noted before, at that shop if it has one; None where there is none.
    state : str
        ``new``, ``noted`` (the table has it), ``again`` (another station bought the same),
        ``odd``, or ``unlike`` (the same package at another price on that day).
    """

    row: int
    station: str
    price: Price
    name: str
    seen: Price | None
    state: str

    @property
    def expected(self) -> Money | None:
        """What that much of it cost before."""
        return _carried_over(self.seen, self.price) if self.seen is not None else None

    @property
    def same_shop(self) -> bool:
        """Whether `seen` is of the same shop."""
        return self.seen is not None and plain(self.seen.place) == plain(self.price.place)


@dataclass(frozen=True)
class OvenReview:
    """What is known of an oven without this class, and with it."""

    oven: str
    before: OvenCorrection
    after: OvenCorrection


@dataclass(frozen=True)
class ClassReview:
    """A class looked back upon. Nothing in it is written anywhere until somebody asks for it.

    Attributes
    ----------
    results : tuple of ClassResult
    bakes : tuple of BakeReview
    prices : tuple of PriceReview
    ovens : tuple of OvenReview
    bake_rows, price_rows : tuple of dict
        Rows to add to bake-log.csv and prices.csv, column to text. What is odd, unfinished or
        noted already is not among them.
    to_ask : tuple of str
        What is held back or missing, each with what to do.
    """

    results: tuple[ClassResult, ...]
    bakes: tuple[BakeReview, ...]
    prices: tuple[PriceReview, ...]
    ovens: tuple[OvenReview, ...]
    bake_rows: tuple[dict, ...]
    price_rows: tuple[dict, ...]
    to_ask: tuple[str, ...]

    def count(self, verdict: str) -> int:
        """How many bakes have this verdict."""
        return sum(bake.verdict == verdict for bake in self.bakes)

    @property
    def paid(self) -> tuple[Money, Money] | None:
        """What was paid, and what the same was expected to cost, where both are known.

        What several ingredients share counts once; what is odd is left out. None where nothing is
        left.
        """
        once = {}
        for one in self.prices:
            if one.expected is not None and one.state not in ("odd", "unlike"):
                once.setdefault(one.row, one)
        both = list(once.values())
        return (sum(o.price.money for o in both), sum(o.expected for o in both)) if both else None


def review_class(kit, results: Sequence[ClassResult], plan=None) -> ClassReview:
    """Look back upon a class: minutes, prices and ovens, and what is worth noting down.

    Parameters
    ----------
    kit : Kit
        With its bake log, where it has one.
    results : sequence of ClassResult
        Of one class or several.
    plan : ClassPlan, optional
        Its stations without a result, or with another pan, are told.

    Returns
    -------
    ClassReview

    Raises
    ------
    DataError
        If the bake log has faults.
    KitchenError
        If there is no result.

    Notes
    -----
    The predictions are `bake_time` with `correct_oven` of the log without these bakes, so that
    they stay what they were once the bakes are in the log; the corrections offered are those with
    them. A price is compared with the latest of an earlier day at the same shop, else at any, by
    weight where the package differs.
    """
    results = tuple(results)
    if not results:
        raise KitchenError(tr("There are no results of this class yet. Fill in what was noted."))
    log = read_bake_log(kit) if has_bake_log(kit) else []
    bakes, ovens = _review_bakes(results, log)
    prices = _review_prices(kit, results)
    return ClassReview(
        results=results,
        bakes=tuple(bakes),
        prices=tuple(prices),
        ovens=tuple(ovens),
        bake_rows=tuple(_bake_rows(bakes)),
        price_rows=tuple(_price_rows(results, prices)),
        to_ask=(*_ask_of_bakes(bakes), *_ask_of_prices(prices), *_ask_of_plan(plan, results)),
    )


def _same_bake(bake: Bake) -> tuple:
    numbers = (bake.volume_m3, bake.set_c, bake.real_c, bake.minutes)
    return bake.date, plain(bake.oven), bake.pan.key, *(f"{number:.9g}" for number in numbers)


def _review_bakes(results, log: list[Bake]) -> tuple[list[BakeReview], list[OvenReview]]:
    """Each bake against the log without this class, and each oven without and with it."""
    mine = [result.bake for result in results if result.bake is not None]
    own, before = Counter(map(_same_bake, mine)), []
    for bake in log:  # one for one: two stations may have noted the very same
        if own[_same_bake(bake)] > 0:
            own[_same_bake(bake)] -= 1
        else:
            before.append(bake)
    logged = Counter(map(_same_bake, mine)) - own
    weights = iter(bake_weights([*before, *mine])[len(before) :])
    named: dict[str, str] = {}
    for result in results:
        if result.pan is not None:
            named.setdefault(plain(result.oven), result.oven)
    ovens = {
        key: OvenReview(name, correct_oven(before, name), correct_oven([*before, *mine], name))
        for key, name in named.items()
    }
    found = []
    for result in results:
        if result.pan is None:
            continue
        volume, oven = Q(result.volume_m3, "m**3"), Q(result.real_c, "degC")
        correction = ovens[plain(result.oven)].before
        predicted = bake_time(result.pan, volume, oven, correction=correction)
        bake, there, weight = result.bake, False, 0.0
        if bake is not None:
            weight = float(next(weights))
            there = logged[_same_bake(bake)] > 0
            logged[_same_bake(bake)] -= there
        found.append(BakeReview(result, predicted, weight, there))
    return found, list(ovens.values())


def _carried_over(seen: Price, price: Price) -> Money:
    """What a package would cost at another's price, by weight."""
    return seen.money * measured(price.size) / measured(seen.size)


def _same_package(one: Price, other: Price) -> bool:
    return (
        (one.item, one.date, plain(one.place)) == (other.item, other.date, plain(other.place))
        and one.amount.check(other.amount.dimensionality)
        and one.amount == other.amount
    )


def _seen_before(kit, price: Price) -> Price | None:
    """The latest price of an earlier day, of that shop or else of any; the package most alike."""
    earlier = [p for p in kit.prices.get(price.item, ()) if p.date < price.date]
    earlier = [p for p in earlier if plain(p.place) == plain(price.place)] or earlier

    def likeness(one: Price) -> tuple:
        return -one.date.toordinal(), abs(math.log(one.size / price.size))

    return min(earlier, key=likeness, default=None)


def _review_prices(kit, results) -> list[PriceReview]:
    paid = []
    for result in results:
        for price in result.paid:
            noted = [p for p in kit.prices.get(price.item, ()) if _same_package(p, price)]
            seen = _seen_before(kit, price)
            odd = not noted and seen is not None and _is_odd(price, seen)
            paid.append((result, price, noted, seen, odd))
    # A slip of the pen is held back by itself, and puts nobody else's price in doubt.
    sound = [price for _, price, _, _, odd in paid if not odd]
    found: list[PriceReview] = []
    for result, price, noted, seen, odd in paid:
        others = [p for p in (*noted, *sound) if _same_package(p, price)]
        if odd:
            state = "odd"
        elif any(p.money != price.money for p in others):
            state = "unlike"
        elif noted:
            state = "noted"
        else:
            before = (one.price for one in found if one.state == "new")
            state = "again" if any(_same_package(p, price) for p in before) else "new"
        name = kit.ingredients[price.item].name
        found.append(PriceReview(result.row, result.station, price, name, seen, state))
    return found


def _is_odd(price: Price, seen: Price) -> bool:
    before = _carried_over(seen, price)
    if not (price.money and before):
        return False  # free once is no measure of another price
    return not 1 / ODD_PRICE <= price.money / before <= ODD_PRICE


# Offered, and asked ------------------------------------------------------------------------------


def _note(result: ClassResult) -> str:
    who = ", ".join(part for part in (result.station, result.flavour) if part)
    return f"{who}; {result.note}" if result.note else who


def _bake_rows(bakes: list[BakeReview]):
    for one in bakes:
        result = one.result
        if one.logged or one.verdict not in ("inside", "early", "late"):
            continue
        yield {
            "date": f"{result.date}",
            "oven": result.oven,
            "pan": result.pan.key,
            **{name: result.words.get(name, "") for name in ("volume", "set", "real")},
            "minutes": f"{result.minutes:g}",
            "note": _note(result),
        }


def _price_rows(results, prices: list[PriceReview]):
    """A row for each package, with all that comes out of it and is new."""
    reviewed = iter(prices)
    for result in results:
        new = [one for one in (next(reviewed) for _ in result.paid) if one.state == "new"]
        if new:
            money = new[0].price.money
            yield {
                "ingredient": "; ".join(one.price.item for one in new),
                "amount": result.words["amount"],
                "price": f"{money.amount:f}" if money else "free",
                "currency": money.currency,
                "place": new[0].price.place,
                "date": f"{result.date}",
                "source": RECEIPTS,
                "note": _note(result),
            }


def _ask_of_bakes(bakes: list[BakeReview]):
    for one in bakes:
        low, _, high = one.window
        said = {"who": tr(one.result.station), "low": low, "high": high}
        minutes = one.result.minutes
        if one.verdict == "odd":
            yield tr(
                "{who}: {minutes} min is far from all else known of {oven} (the window was {low} "
                "to {high}), so it has no say. Was it the minutes, the batter, the pan or the "
                "oven? Mend the entry if you know.",
                minutes=num(minutes, "g"),
                oven=tr(one.result.oven),
                **said,
            )
        elif one.verdict == "not done" and minutes:
            yield tr(
                "{who}: not done after {minutes} min (the window was {low} to {high}); it is not "
                "offered.",
                minutes=num(minutes, "g"),
                **said,
            )
        elif one.verdict == "not done":
            yield tr("{who}: not done (the window was {low} to {high}); it is not offered.", **said)
        elif one.verdict == "not timed":
            yield tr("{who}: nobody noted the minutes (the window was {low} to {high}).", **said)


def _ask_of_prices(prices: list[PriceReview]):
    for one in prices:
        paid = {
            "who": tr(one.station),
            "what": tr(one.name),
            "price": one.price.money,
            "shop": tr(one.price.place),
        }
        if one.state == "odd":
            yield tr(
                "{who}: {what} for {price} ({shop}); it was {expected} on {day}. Look at the "
                "receipt again.",
                expected=one.expected,
                day=day(one.seen.date),
                **paid,
            )
        elif one.state == "unlike":
            yield tr(
                "{who}: {what} for {price} ({shop}); another note of that package, shop and day "
                "says another price. Look at the receipts, and mend the wrong one.",
                **paid,
            )


def _ask_of_plan(plan, results):
    if plan is None:
        return
    baked: dict[str, list[ClassResult]] = {}
    for result in results:
        if result.pan is not None:
            baked.setdefault(plain(result.station), []).append(result)
    for station in plan.stations:
        noted = baked.get(plain(station.name))
        if noted is None:
            yield tr("{who}: planned, and no bake noted.", who=tr(station.name))
        elif all(result.pan != station.pan for result in noted):
            yield tr(
                "{who}: planned in the {pan}, baked in another pan.",
                who=tr(station.name),
                pan=tr(station.pan.name),
            )
