"""How long a baked thing keeps, where, and by whose word: published times, dated for a label."""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterator
from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path
from typing import Any

import pandas as pd

from kitchenkit import tables
from kitchenkit.costs import read_day
from kitchenkit.errors import Fault, KitchenError
from kitchenkit.language import day, mark, num, tr, trn
from kitchenkit.shelf import Shelf, plain
from kitchenkit.tables import Table

PLACES = (
    mark("counter"),
    mark("fridge"),
    mark("freezer"),
    mark("counter after freezing"),
    mark("fridge after freezing"),
)
_AFTER_FREEZING = PLACES[3:]
# What the published times take for granted.
CONDITIONS = {
    "counter": mark("wrapped, at about 21 °C (70 °F)"),
    "fridge": mark("wrapped, at 4 °C (40 °F) or below"),
    "freezer": mark("wrapped airtight, at −18 °C (0 °F) or below"),
    "counter after freezing": mark("thawed in its wrapping, at about 21 °C (70 °F)"),
    "fridge after freezing": mark("thawed in its wrapping, at 4 °C (40 °F) or below"),
}
_SAME_PLACE = {"room": "counter", "room temperature": "counter", "refrigerator": "fridge"}
ABOUT = (mark("quality"), mark("safety"))
# A month of 30 days is the cautious one.
_DAYS = {"hours": 1 / 24, "days": 1.0, "weeks": 7.0, "months": 30.0}
_LONGEST = 3650  # days

_MOULD = mark(
    "Mould: throw the whole piece away, do not trim, taste or sniff it; bread and cake are porous, "
    "and mould grows below what is seen (USDA FSIS, Molds on Food; read at second hand)."
)
_DOUBT = mark(
    "When in doubt, throw it out. Anything sold or served to others: local food rules decide."
)
_FROZEN = mark(
    "At −18 °C (0 °F) food stays safe, and freezer times are about quality (FoodSafety.gov, cold "
    "food storage chart; read in quotation). Cool it fully, wrap it airtight, date it."
)
COLD = mark(
    "It needs cold: at most 2 hours out of the fridge in all, the making counted, and 1 hour above "
    "32 °C (90 °F) (USDA wording of the danger zone, 40 to 140 °F)."
)
_RAW = mark(
    "Never taste raw batter: raw flour and raw eggs can make ill (CDC, Raw Flour and Dough)."
)
_THAWED = mark("Thawed, it is no new start: write the day of thawing on it, and eat it first.")


@dataclass(frozen=True)
class KeepingTime:
    """One published time.

    Attributes
    ----------
    place : str
        One of `PLACES`.
    low, high : float
        Days, or parts of one; `low` is 0 where the source says "up to".
    published : (float or None, float, str)
        The two ends as published, and their unit.
    about : {"quality", "safety"}
    source, note : str
    """

    place: str
    low: float
    high: float
    published: tuple[float | None, float, str]
    about: str
    source: str
    note: str = ""

    @property
    def said(self) -> str:
        """In words, as published: ``"2 to 3 months"``."""
        low, high, unit = self.published
        if not high or low == high:
            return self.limit
        if low is None:
            return tr("up to {time}", time=self.limit)
        return tr("{low} to {high}", low=num(low, "g"), high=_amount(high, unit))

    @property
    def limit(self) -> str:
        """The upper end in words: ``"3 months"``."""
        _, high, unit = self.published
        return _amount(high, unit) if high else tr("not at all")


def _amount(number: float, unit: str) -> str:
    return {
        "hours": trn("{n} hour", "{n} hours", number),
        "days": trn("{n} day", "{n} days", number),
        "weeks": trn("{n} week", "{n} weeks", number),
        "months": trn("{n} month", "{n} months", number),
    }[unit]


@dataclass(frozen=True)
class Product:
    """Something baked, and every published time for it."""

    key: str
    name: str
    times: tuple[KeepingTime, ...]
    also: tuple[str, ...] = ()

    def __iter__(self) -> Iterator[KeepingTime]:
        return iter(self.times)

    def at(self, place: str) -> tuple[KeepingTime, ...]:
        """The times for one place."""
        return tuple(time for time in self.times if time.place == place)

    @property
    def needs_cold(self) -> bool:
        """Whether a time on the counter is about safety."""
        return any(time.about == "safety" for time in self.at("counter"))


# The table -------------------------------------------------------------------------------------

KEEPING_COLUMNS = [
    tables.text("product"),
    tables.names("also"),
    tables.choice("place", PLACES),
    tables.number("low", 0, 1000, required=False),
    tables.number("high", 0, 1000),
    tables.choice("unit", tuple(_DAYS)),
    tables.choice("about", ABOUT),
    tables.key("source"),
    tables.text("note", False),
]


def read_keeping(folder: Path, cited, faults: list[Fault]) -> Shelf:
    """Read keeping.csv; a folder that has none yet does without.

    Parameters
    ----------
    folder : Path
    cited : container of str
        Keys that stand in sources.csv, also in rows with a fault.
    faults : list of Fault
        Gains what is wrong.

    Returns
    -------
    Shelf
        Of `Product`.
    """
    path = folder / "keeping.csv"
    if not path.exists():
        return Shelf("product")
    table = tables.read_table(path, KEEPING_COLUMNS)
    times: dict[str, dict[tuple, KeepingTime]] = {}
    also: dict[str, dict[str, None]] = {}
    named: dict[str, str] = {}
    for row, values in table.rows:
        name = plain(values["product"])
        if values["source"] not in cited:
            mend = "Add this key to sources.csv, or use one that is there."
            table.fault(row, "source", values["source"], mend)
        for column, other in (("product", name), *(("also", a) for a in values["also"])):
            if named.setdefault(plain(other), name) != name:
                mend = f"This name belongs to {named[plain(other)]}. Give each its own."
                table.fault(row, column, other, mend)
        also.setdefault(name, {}).update(dict.fromkeys(values["also"]))
        time = _time(table, row, values)
        if time is None:
            continue
        if (time.place, time.source) in times.setdefault(name, {}):
            mend = "Another row has the same product, place and source. Keep one of the two."
            table.fault(row, "source", time.source, mend)
        times[name][time.place, time.source] = time
    faults += table.faults
    return Shelf(
        "product",
        [
            Product(name.replace(" ", "-"), name, tuple(some.values()), tuple(also[name]))
            for name, some in times.items()
        ],
    )


def _time(table: Table, row: int, values: dict[str, Any]) -> KeepingTime | None:
    low, high, unit = values["low"], values["high"], values["unit"]
    if low is not None and low > high:
        table.fault(row, "low", f"{low:g}", f"It is above high, {high:g}. Swap the two.")
        return None
    if high * _DAYS[unit] > _LONGEST:
        table.fault(row, "high", f"{high:g} {unit}", "That is over ten years. Check the unit.")
        return None
    return KeepingTime(
        values["place"],
        (low or 0) * _DAYS[unit],
        high * _DAYS[unit],
        (low, high, unit),
        values["about"],
        values["source"],
        values["note"],
    )


# Dates -----------------------------------------------------------------------------------------


@dataclass(frozen=True)
class KeepBy:
    """Until when something keeps, by every source, and the date that the kit goes by.

    Attributes
    ----------
    product, place : str
    made_on : datetime.date
        The day it was baked, or thawed where the place says so.
    by : datetime.date
        The date the kit goes by: the shortest of the sources' upper limits.
    earliest, latest : datetime.date
        The shortest and the longest time that any source names.
    days : int
        Whole days from `made_on` to `by`: 0 is the same day, or not at all.
    times : tuple of KeepingTime
        Every source's, as they stand in keeping.csv.
    table : DataFrame
        Each time of this place: ``said``, ``best_by``, ``about``, ``source`` (cited), ``note``.
    thawed : DataFrame
        For the freezer: the same columns and ``place``, for a piece once thawed; no dates.
    cautions : tuple of str
    """

    product: str
    place: str
    made_on: datetime.date
    by: datetime.date
    earliest: datetime.date
    latest: datetime.date
    days: int
    times: tuple[KeepingTime, ...]
    table: pd.DataFrame
    thawed: pd.DataFrame
    cautions: tuple[str, ...]

    @property
    def shortest(self) -> KeepingTime:
        """The time that the kit goes by."""
        return _shortest(self.times)

    @property
    def about(self) -> str:
        """What `by` is about: ``"quality"`` or ``"safety"``."""
        return self.shortest.about

    @property
    def limit(self) -> str:
        """The time that the kit goes by, as published: ``"2 months"``, or ``"not at all"``."""
        return self.shortest.limit

    @property
    def disagree(self) -> str:
        """How far the sources differ, or ``""``."""
        by_length = sorted(self.times, key=lambda time: time.high)
        said = dict.fromkeys(time.said for time in by_length)
        if len(said) < 2:
            return ""
        return tr(
            "Sources differ: {times}. The kit goes by the shortest of their limits, {limit}.",
            times=", ".join(said),
            limit=self.limit,
        )

    def __str__(self) -> str:
        if not self.shortest.high:
            said = tr("do not keep it there")
        elif self.days:
            said = (
                tr("by {day}, for its quality", day=day(self.by))
                if self.about == "quality"
                else tr("by {day}, for safety", day=day(self.by))
            )
        else:
            within = {"limit": self.limit, "day": day(self.by)}
            said = (
                tr("within {limit}, on {day}, for its quality", **within)
                if self.about == "quality"
                else tr("within {limit}, on {day}, for safety", **within)
            )
        return f"{tr(self.product)}, {tr(self.place)}: {said}"


def keep_by(kit, product: str, place: str = "freezer", made_on=None) -> KeepBy:
    """Until when something keeps in a place.

    Parameters
    ----------
    kit : Kit
    product : str
        A product of keeping.csv, by any of its names: ``"muffins"``, ``"loaf slices"``.
    place : str
        One of ``"counter"``, ``"fridge"``, ``"freezer"``, ``"counter after freezing"`` and
        ``"fridge after freezing"``.
    made_on : date or str, optional
        When it was baked, or thawed for the last two; today when left out. May lie ahead.

    Returns
    -------
    KeepBy

    Raises
    ------
    KitchenError
        If the product or the place is not known, the table has no time for it, or the date is none.

    Notes
    -----
    Where sources disagree, the kit goes by the shortest of their upper limits, so that every source
    agrees. A month counts 30 days. The times of the freezer are about quality.
    """
    if not kit.keeping:
        raise KitchenError(tr("There are no keeping times yet. Add a table, keeping.csv."))
    item, place, made_on = kit.keeping[product], _place(place), read_day(made_on)
    times = item.at(place)
    if not times:
        known = ", ".join(tr(known) for known in dict.fromkeys(time.place for time in item))
        raise KitchenError(
            tr(
                "There is no time for {product}, {place}. The table has: {known}. Add a row with "
                "its source to keeping.csv.",
                product=tr(item.name),
                place=tr(place),
                known=known,
            )
        )
    limit = _shortest(times)
    after = [time for time in item if time.place in _AFTER_FREEZING and place == "freezer"]
    return KeepBy(
        product=item.name,
        place=place,
        made_on=made_on,
        by=_after(made_on, limit.high),
        earliest=_after(made_on, min(time.low or time.high for time in times)),
        latest=_after(made_on, max(time.high for time in times)),
        days=math.floor(limit.high),
        times=times,
        table=_table(kit, times, made_on),
        thawed=_table(kit, after),
        cautions=tuple(_cautions(item, place)),
    )


def _shortest(times: tuple[KeepingTime, ...]) -> KeepingTime:
    return min(times, key=lambda time: (time.high, time.about != "safety"))


def _place(place: str) -> str:
    word = plain(str(place))
    word = _SAME_PLACE.get(word, word)
    if word not in PLACES:
        near = get_close_matches(word, PLACES, n=1, cutoff=0.5)
        hint = f" Did you mean {near[0]}?" if near else ""
        raise KitchenError(f"{place!r} is no place of the table: {', '.join(PLACES)}.{hint}")
    return word


def _after(made_on: datetime.date, days: float) -> datetime.date:
    try:
        return made_on + datetime.timedelta(days=math.floor(days))
    except OverflowError:
        raise KitchenError(
            tr("{day} lies too far ahead. Check the date.", day=day(made_on))
        ) from None


def _table(kit, times, made_on: datetime.date | None = None) -> pd.DataFrame:
    rows = []
    for time in times:
        row = {"place": time.place} if made_on is None else {}
        row["said"] = time.said
        if made_on is not None:
            row["best_by"] = _after(made_on, time.high)
        row |= {"about": time.about, "source": kit.cite(time.source), "note": tr(time.note)}
        rows.append(row)
    return pd.DataFrame(rows)


def _cautions(item: Product, place: str):
    if item.needs_cold:
        yield tr(COLD)
    if item.key == "raw-batter":
        yield tr(_RAW)
    if place == "freezer":
        yield tr(_FROZEN)
    if place in _AFTER_FREEZING:
        yield tr(_THAWED)
    yield tr(_MOULD)
    yield tr(_DOUBT)
