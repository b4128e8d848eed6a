"""A plan for the freezer: what to bake when, so that there is enough, it fits, and none is old."""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from numbers import Real

import numpy as np
import pandas as pd

from kitchenkit.costs import read_day
from kitchenkit.errors import KitchenError
from kitchenkit.keeping import KeepBy
from kitchenkit.language import day as say_date
from kitchenkit.language import join_and, mark, num, tr, trn
from kitchenkit.rotation import best_batches, walk
from kitchenkit.units import si

WEEKDAYS = (
    mark("Mon"),
    mark("Tue"),
    mark("Wed"),
    mark("Thu"),
    mark("Fri"),
    mark("Sat"),
    mark("Sun"),
)
# One more bake day, as a change to make: a language may need more than the weekday's name.
_AND_ON = (
    mark("baking on Mon as well"),
    mark("baking on Tue as well"),
    mark("baking on Wed as well"),
    mark("baking on Thu as well"),
    mark("baking on Fri as well"),
    mark("baking on Sat as well"),
    mark("baking on Sun as well"),
)
PACKING = 0.6  # of the freezer's room that wrapped portions fill; common practice, no source
_LONGEST = 800  # days


@dataclass(frozen=True)
class _Asked:
    """A plan's question in whole numbers: days from 0, portions."""

    start: datetime.date
    wanted: tuple[int, ...]  # for the plan's days, and as many more as portions keep
    may_bake: tuple[bool, ...]
    batch: int
    most: int
    room: int
    keep: int
    lots: tuple[tuple[int, int], ...]  # (made on day, portions)
    litres: float  # of freezer for one portion
    shop_days: int
    spare: int

    @property
    def days(self) -> int:
        return len(self.may_bake)

    def date(self, day: int) -> datetime.date:
        return self.start + datetime.timedelta(days=int(day))


@dataclass(frozen=True)
class FreezerPlan:
    """What to bake when, and what that leaves in the freezer.

    Attributes
    ----------
    days : DataFrame
        By date: ``baked``, ``eaten``, ``short`` (wanted and not to be had), ``thrown`` (past its
        date), ``stock`` at the end of the day, ``oldest`` (days since the oldest portion was made)
        and ``litres`` of the freezer in use.
    bakes : DataFrame
        A row for each bake: ``shop_by``, ``date``, ``batches``, ``portions``, ``eaten_by`` (the
        last day of the plan on which some of it is eaten, or None), ``left`` at the end of the
        plan, ``best_by``.
    room : int
        Portions that fit.
    keep : int
        Days that a portion keeps.
    late : int
        Portions short before the first bake is ready: no bake day can help.
    asked, batches, begun
        The question in whole numbers, the batches on each day, and how many first days were given:
        what `messages` and `without` go on from.
    """

    days: pd.DataFrame
    bakes: pd.DataFrame
    room: int
    keep: int
    late: int
    asked: _Asked
    batches: tuple[int, ...]
    begun: int = 0

    @property
    def short(self) -> int:
        """Portions wanted and not to be had."""
        return int(self.days["short"].sum())

    @property
    def thrown(self) -> int:
        """Portions thrown away, past their date."""
        return int(self.days["thrown"].sum())

    @property
    def works(self) -> bool:
        """Whether everyone eats from the first bake on, and nothing is thrown away."""
        return self.short == self.late and not self.thrown

    @property
    def messages(self) -> tuple[str, ...]:
        """What does not work out, and what to change."""
        return tuple(_messages(self))

    @cached_property
    def changes(self) -> tuple[Change, ...]:
        """Each single change that leaves nobody without; found when first asked for."""
        return tuple(_changes(self.asked, self.batches[: self.begun]))

    def __str__(self) -> str:
        days = self.days
        said = trn(
            "{n} bake day, {portions} portions; at most {most} of {room} that fit, the oldest "
            "{oldest} days old",
            "{n} bake days, {portions} portions; at most {most} of {room} that fit, the oldest "
            "{oldest} days old",
            len(self.bakes),
            portions=num(int(days["baked"].sum())),
            most=num(int(days["stock"].max())),
            room=num(self.room),
            oldest=num(int(days["oldest"].max()), "d"),
        )
        parts = [said]
        if self.short:
            short, n = self.short, num(self.short)
            parts.append(trn("{n} portions short", "{n} portions short", short, n=n))
        if self.thrown:
            thrown, n = self.thrown, num(self.thrown)
            parts.append(trn("{n} thrown away", "{n} thrown away", thrown, n=n))
        return "; ".join(parts)

    def without(self, *missed) -> Missed:
        """What a missed bake does, and the plan from there on.

        Parameters
        ----------
        *missed : date or str
            Bake days of this plan on which nothing was baked after all.

        Returns
        -------
        Missed

        Raises
        ------
        KitchenError
            If one of them is no bake day of the plan.
        """
        if not missed:
            raise KitchenError(tr("Which bake was missed? Give its date, like 2026-11-29."))
        planned = list(self.bakes["date"])
        dates = sorted({read_day(day) for day in missed})
        for date in dates:
            if date not in planned:
                known = ", ".join(say_date(day) for day in planned[:4])
                more = ", ..." if len(planned) > 4 else ""
                raise KitchenError(
                    tr(
                        "Nothing is to be baked on {day}. Bakes: {bakes}.",
                        day=say_date(date),
                        bakes=known + more,
                    )
                )
        lost = [(date - self.asked.start).days for date in dates]
        batches = [0 if day in lost else n for day, n in enumerate(self.batches)]
        may_bake = [may and day not in lost for day, may in enumerate(self.asked.may_bake)]
        asked = replace(self.asked, may_bake=tuple(may_bake))
        unchanged = _built(self.asked, batches, len(batches))
        return Missed(tuple(dates), unchanged, _solved(asked, batches[: lost[0]]))


@dataclass(frozen=True)
class Missed:
    """A missed bake: what happens if nothing else changes, and the best that can still be done.

    Attributes
    ----------
    dates : tuple of datetime.date
    unchanged : FreezerPlan
        All other bakes as they were planned.
    plan : FreezerPlan
        Planned anew from the first missed bake on, what was baked before it kept.
    """

    dates: tuple[datetime.date, ...]
    unchanged: FreezerPlan
    plan: FreezerPlan

    @property
    def short_days(self) -> pd.Series:
        """Portions short on each day that has any, if nothing else changes; by date."""
        short = self.unchanged.days["short"]
        return short[(short > 0) & (short.index > self.dates[0])]

    @property
    def catch_up_by(self) -> datetime.date | None:
        """The last day for a bake that leaves nobody without, or None if no one goes without."""
        short = self.short_days
        return short.index[0] - datetime.timedelta(days=1) if len(short) else None

    @property
    def advice(self) -> str:
        """In plain words: what is short, and when to bake instead."""
        return " ".join(self._sentences())

    def _sentences(self):
        when = join_and(say_date(date) for date in self.dates)
        short = self.short_days
        if len(short):
            missing = int(short.sum())
            yield trn(
                "Without the bake of {day}, {n} portions are short, the first on {first}.",
                "Without the bake of {day}, {n} portions are short, the first on {first}.",
                missing,
                day=when,
                n=num(missing),
                first=say_date(short.index[0]),
            )
        else:
            yield tr("Without the bake of {day} there is still enough.", day=when)
        later = self.plan.bakes[self.plan.bakes["date"] > self.dates[0]]
        for bake in later.head(1).itertuples():
            yield tr(
                "The next bake is on {day}: {count} portions; shop by {shop}.",
                day=say_date(bake.date),
                count=num(bake.portions),
                shop=say_date(bake.shop_by),
            )
        still = int(self.plan.days["short"][self.plan.days.index > self.dates[0]].sum())
        if still and self.catch_up_by > self.dates[-1]:
            yield trn(
                "{n} portions stay short: bake on another day up to {day}, or buy them.",
                "{n} portions stay short: bake on another day up to {day}, or buy them.",
                still,
                n=num(still),
                day=say_date(self.catch_up_by),
            )
        elif still:
            yield trn(
                "{n} portions stay short: it is too late to bake for them, so buy them or go "
                "without.",
                "{n} portions stay short: it is too late to bake for them, so buy them or go "
                "without.",
                still,
                n=num(still),
            )
        elif len(short):
            yield tr("Then nobody goes without.")


def freezer_plan(
    eaters: int,
    a_week=None,
    *,
    batch: int,
    room,
    portion,
    a_day=None,
    start=None,
    days: int = 28,
    eating="Mon Tue Wed Thu Fri",
    baking="Sun",
    off=(),
    no_baking=(),
    most_batches: int = 2,
    keep: int | KeepBy = 60,
    packing: float = PACKING,
    stock: Iterable = (),
    spare: int = 0,
    shop_days: int = 1,
    missed: Iterable = (),
) -> FreezerPlan:
    """Plan the bakes of a household or a class that eats from its freezer.

    Parameters
    ----------
    eaters : int
    a_week : int or float
        Portions that each eats in a week, spread evenly over its eating days.
    batch : int
        Portions in one batch. Only whole batches are baked.
    room : Quantity or str
        Of the freezer, for these portions: ``"40 l"``.
    portion : Quantity or str
        Volume of one wrapped portion: ``"250 ml"``.
    a_day : int or float, optional
        Portions that each eats on an eating day; in place of `a_week`.
    start : date or str, optional
        First day; today when left out.
    days : int
        How long: 28 for four weeks, 365 for a year.
    eating : str or iterable of str
        Weekdays on which people eat: ``"Mon Tue Wed Thu Fri"``.
    baking : str or iterable
        Weekdays, and single dates, on which one can bake: ``"Sun"``, ``["Wed", "2026-12-19"]``.
    off : iterable of date or str
        Days on which nobody eats, such as holidays.
    no_baking : iterable of date or str
        Days on which nobody can bake.
    most_batches : int
        Batches on one bake day at most.
    keep : int or KeepBy
        Days that a portion keeps in the freezer, or what `keep_by` says of it.
    packing : float
        Share of the room that portions fill: 0.6 is common practice, no source.
    stock : iterable of (int, date or str)
        Portions in the freezer at the start, with the day on which they were made.
    spare : int
        Portions to have in hand at the end of every day from the first bake on, for guests and for
        a missed bake.
    shop_days : int
        Days from shopping to baking.
    missed : iterable of date or str
        Bakes of this very plan that were missed: it is planned anew from the first of them on, as
        by `FreezerPlan.without`.

    Returns
    -------
    FreezerPlan

    Raises
    ------
    KitchenError
        If a number, weekday or date makes no sense, not one portion fits, or the stock at the start
        does not.
    MeasureError
        If the room or the portion is no volume.

    Notes
    -----
    The order of a day: what is past its date is thrown away; people eat, oldest first; then a bake
    is cooled, wrapped and put in. It is eaten from the next day on, and on its last day at the
    latest. Nothing is baked that could not be eaten in time, by the same eaters after the plan's
    end too.

    The plan is the best one in this order: the fewest portions short; the fewest spare ones
    missing; the fewest bake days; the least stock summed over the days, which bakes as late as may
    be, so that portions are fresh. It is exact: see `kitchenkit.rotation`.
    """
    eaters = _whole(eaters, mark("eaters"), 1, 1000)
    batch = _whole(batch, mark("portions in a batch"), 1, 1000)
    days = _whole(days, mark("days"), 1, _LONGEST)
    most = _whole(most_batches, mark("batches"), 1, 100)
    start, keep = read_day(start), _kept(keep)
    held = si(portion, "volume", "portion") * 1000
    fits = _portions(room, held, packing)
    lots = tuple(_lot(lot, start) for lot in stock)
    if sum(portions for _, portions in lots) > fits:
        raise KitchenError(
            tr(
                "The stock at the start is more than the {count} portions that fit. Give more "
                "room, or eat some first.",
                count=num(fits),
            )
        )
    closed = _numbered(no_baking, start)
    weekdays, dates = _weekdays(baking, "baking", dates=True)
    may_bake = [
        (_weekday(start, day) in weekdays or day in _numbered(dates, start)) and day not in closed
        for day in range(days)
    ]
    asked = _Asked(
        start=start,
        wanted=_wanted(eaters, a_week, a_day, eating, off, start, days + keep),
        may_bake=tuple(may_bake),
        batch=batch,
        most=most,
        room=fits,
        keep=keep,
        lots=lots,
        litres=held / packing,
        shop_days=_whole(shop_days, mark("days from shopping to baking"), 0, 60),
        spare=_whole(spare, mark("spare portions"), 0, fits),
    )
    plan = _solved(asked)
    missed = [missed] if isinstance(missed, (str, datetime.date)) else list(missed)
    return plan.without(*missed).plan if missed else plan


# Reading ---------------------------------------------------------------------------------------


def _whole(value, what: str, low: int, high: int) -> int:
    if isinstance(value, bool) or not isinstance(value, Real) or not low <= value <= high:
        raise KitchenError(
            tr(
                "{value} {what}: write a whole number from {low} to {high}.",
                value=repr(value),
                what=tr(what),
                low=low,
                high=num(high),
            )
        )
    if value != int(value):
        raise KitchenError(
            tr(
                "{value} {what}: only whole ones. Write a whole number.",
                value=repr(value),
                what=tr(what),
            )
        )
    return int(value)


def _kept(keep) -> int:
    if isinstance(keep, KeepBy):
        if keep.place != "freezer":
            raise KitchenError(
                f"That is a time for the {keep.place}. Ask keep_by for the freezer instead."
            )
        if not keep.days:
            raise KitchenError(
                tr(
                    "{product} is not kept in the freezer. Choose another.",
                    product=tr(keep.product),
                )
            )
        keep = keep.days
    return _whole(keep, mark("days of keeping"), 1, 3650)


def _portions(room, held: float, packing) -> int:
    """Portions that fit a room."""
    litres = si(room, "volume", "freezer's room") * 1000
    if not isinstance(packing, Real) or not 0 < packing <= 1:
        raise KitchenError(f"A packing of {packing!r} cannot be. Write a share such as 0.6.")
    if not held:
        raise KitchenError(tr("A portion has no volume. Write it like 250 ml."))
    fits = math.floor(litres * packing / held + 1e-9)
    if fits < 1:
        raise KitchenError(
            tr(
                "Not one portion of {portion} ml fits into {room} l. Give more room.",
                portion=num(held * 1000, ".0f"),
                room=num(litres, ".2g"),
            )
        )
    if fits > 50_000:
        raise KitchenError(
            tr("{room} l is no household's freezer. Check its unit.", room=num(litres))
        )
    return fits


def _lot(lot, start: datetime.date) -> tuple[int, int]:
    try:
        portions, made = lot
    except (TypeError, ValueError):
        raise KitchenError(
            "Stock at the start is portions and the day they were made: (12, '2026-11-20')."
        ) from None
    made = read_day(made)
    if made > start:
        raise KitchenError(
            tr(
                "Stock made on {made} cannot be there on {start}. Check its date.",
                made=say_date(made),
                start=say_date(start),
            )
        )
    return (made - start).days, _whole(portions, mark("portions in stock"), 1, 50_000)


def _weekdays(given, what: str, dates: bool = False) -> tuple[set[int], list]:
    """Numbers of weekdays, and the single dates among them."""
    words = given.replace(",", " ").split() if isinstance(given, str) else list(given)
    found, single = set(), []
    for word in words:
        short = str(word).strip()[:3].capitalize()
        if short in WEEKDAYS and isinstance(word, str):
            found.add(WEEKDAYS.index(short))
        elif dates and (isinstance(word, datetime.date) or str(word)[:1].isdigit()):
            single.append(read_day(word))
        else:
            raise KitchenError(f"{word!r} is no weekday. Write {what}={' '.join(WEEKDAYS[:3])!r}.")
    if not found and not single:
        raise KitchenError(f"There is no day for {what}. Name at least one weekday.")
    return found, single


def first_bake_day(today: datetime.date, baking, shop_days: int = 1) -> datetime.date:
    """The first day for baking that leaves time to shop.

    Parameters
    ----------
    today : date
    baking : str or iterable
        Weekdays and dates, as `freezer_plan` takes them.
    shop_days : int
        Days from shopping to baking.

    Returns
    -------
    date
        Today where all the days named are past.

    Raises
    ------
    KitchenError
        If one of them is no day.
    """
    weekdays, dates = _weekdays(baking, "baking", dates=True)
    soonest = today + datetime.timedelta(days=shop_days)
    week = (soonest + datetime.timedelta(days=n) for n in range(7))
    found = [day for day in week if day.weekday() in weekdays]
    return min([*found, *(day for day in dates if day >= soonest)], default=today)


def _weekday(start: datetime.date, day: int) -> int:
    return (start.weekday() + day) % 7


def _numbered(dates, start: datetime.date) -> set[int]:
    dates = [dates] if isinstance(dates, (str, datetime.date)) else dates
    return {(read_day(date) - start).days for date in dates}


def _wanted(eaters, a_week, a_day, eating, off, start, days: int) -> tuple[int, ...]:
    """Portions wanted on each day: each eating day's even share, in whole portions."""
    weekdays, _ = _weekdays(eating, "eating")
    if (a_week is None) == (a_day is None):
        raise KitchenError("Give the portions for each eater either a week or a day.")
    each = a_week if a_day is None else a_day
    if isinstance(each, bool) or not isinstance(each, Real) or not 0 < each <= 100:
        raise KitchenError(f"{each!r} portions each: write a number above 0 and up to 100.")
    share = Fraction(each).limit_denominator(100) * eaters
    share = share / len(weekdays) if a_day is None else share
    off = _numbered(off, start)
    wanted, count = [], 0
    for day in range(days):
        eats = _weekday(start, day) in weekdays
        much = math.floor(share * (count + 1)) - math.floor(share * count) if eats else 0
        count += eats
        wanted.append(0 if day in off else much)
    return tuple(wanted)


# Solving ---------------------------------------------------------------------------------------


def _best(asked: _Asked, done: list[int] | tuple = ()) -> list[int]:
    """Batches on each day: those `done` on the first days, then the best."""
    begun = len(done)
    baked = [n * asked.batch for n in done]
    before = walk(asked.wanted[:begun], baked, asked.keep, asked.lots)
    lots = [(lot.made - begun, lot.portions) for lot in before.lots if lot.portions]
    wanted = asked.wanted[begun:]
    # What is there is older than any bake to come and so is eaten first, whatever is baked.
    rest = walk(wanted, [0] * len(wanted), asked.keep, lots)
    left = asked.days - begun
    held = rest.stock[:left]
    room, spare = asked.room - held, np.maximum(asked.spare - held, 0)
    how = (asked.may_bake[begun:], asked.batch, asked.most, room, asked.keep, spare)
    return [*done, *(int(n) for n in best_batches(rest.short, *how))]


def _solved(asked: _Asked, done: list[int] | tuple = ()) -> FreezerPlan:
    return _built(asked, _best(asked, done), len(done))


def _lived(asked: _Asked, batches):
    baked = [n * asked.batch for n in batches]
    return walk(asked.wanted[: asked.days], baked, asked.keep, asked.lots)


def _late(asked: _Asked, short: np.ndarray) -> int:
    """Portions short up to the first day on which one can bake."""
    first = asked.may_bake.index(True) if any(asked.may_bake) else asked.days
    return int(short[: first + 1].sum())


def _built(asked: _Asked, batches, begun: int) -> FreezerPlan:
    lived = _lived(asked, batches)
    batches = tuple(batches)
    dates = pd.Index([asked.date(day) for day in range(asked.days)], name="date")
    days = pd.DataFrame(
        {
            "baked": np.array(batches) * asked.batch,
            "eaten": lived.eaten,
            "short": lived.short,
            "thrown": lived.thrown,
            "stock": lived.stock,
            "oldest": lived.age,
            "litres": lived.stock * asked.litres,
        },
        index=dates,
    )
    lots = {lot.made: lot for lot in lived.lots}
    bakes = pd.DataFrame(
        [
            {
                "shop_by": asked.date(day - asked.shop_days),
                "date": asked.date(day),
                "batches": n,
                "portions": n * asked.batch,
                "eaten_by": None if lots[day].eaten_by is None else asked.date(lots[day].eaten_by),
                "left": lots[day].portions,
                "best_by": asked.date(day + asked.keep),
            }
            for day, n in enumerate(batches)
            if n
        ],
        columns=["shop_by", "date", "batches", "portions", "eaten_by", "left", "best_by"],
    )
    late = _late(asked, lived.short)
    return FreezerPlan(days, bakes, asked.room, asked.keep, late, asked, batches, begun)


# What to change --------------------------------------------------------------------------------


def _messages(plan: FreezerPlan):
    asked, days = plan.asked, plan.days
    first = asked.may_bake.index(True) if any(asked.may_bake) else None
    if plan.thrown:
        when = days.index[days["thrown"] > 0][0]
        yield trn(
            "{n} portions in stock pass their date, the first on {day}: eat sooner.",
            "{n} portions in stock pass their date, the first on {day}: eat sooner.",
            plan.thrown,
            n=num(plan.thrown),
            day=say_date(when),
        )
    if plan.late and first is None:
        yield trn(
            "{n} portions are short: there is no day to bake on. Give one.",
            "{n} portions are short: there is no day to bake on. Give one.",
            plan.late,
            n=num(plan.late),
        )
    elif plan.late:
        yield trn(
            "{n} portions are short before the first bake can be eaten, on {day}: bake sooner, or "
            "begin with something bought.",
            "{n} portions are short before the first bake can be eaten, on {day}: bake sooner, or "
            "begin with something bought.",
            plan.late,
            n=num(plan.late),
            day=say_date(asked.date(first + 1)),
        )
    if plan.short > plan.late:
        later = days[first + 1 :]
        when, missing = later.index[later["short"] > 0][0], plan.short - plan.late
        yield trn(
            "{n} portions are short, the first on {day}.",
            "{n} portions are short, the first on {day}.",
            missing,
            n=num(missing),
            day=say_date(when),
        )
        yield _say_changes(asked, plan.changes)
    if asked.spare and first is not None:
        fewer = days["stock"].iloc[first:] < asked.spare
        if fewer.any():
            yield tr(
                "The {count} spare portions are not all there on {days} days, the first on {day}.",
                count=num(asked.spare),
                days=num(int(fewer.sum()), "d"),
                day=say_date(fewer.index[fewer][0]),
            )


def _missing(asked: _Asked, done) -> int:
    """Portions that stay short of those that bakes could prevent, or at least so many."""
    first = asked.may_bake.index(True) if any(asked.may_bake) else asked.days
    wanted = sum(asked.wanted[first + 1 : asked.days]) - sum(n for _, n in asked.lots)
    most = sum(asked.may_bake) * asked.most * asked.batch
    if wanted > most:  # seen at once, without a plan
        return wanted - most
    short = _lived(asked, _best(asked, done)).short
    return int(short.sum()) - _late(asked, short)


@dataclass(frozen=True)
class Change:
    """One change that leaves nobody without.

    Attributes
    ----------
    kind : {"room", "most", "weekday", "batch"}
        More room, more batches on a bake day, one more weekday to bake on, a smaller batch.
    to : int
        Portions that fit, batches, number of the weekday, or portions in a batch.
    litres : float
        Of freezer, for more room.
    """

    kind: str
    to: int
    litres: float = 0.0

    def __str__(self) -> str:
        if self.kind == "weekday":
            return tr(_AND_ON[self.to])
        to = num(self.to)
        if self.kind == "room":
            litres = num(math.ceil(self.litres - 1e-9))
            return tr("room of {litres} l ({count} portions)", litres=litres, count=to)
        if self.kind == "most":
            return tr(
                "up to {count} batches on a bake day, in larger pans or more of them", count=to
            )
        return tr("batches of {count} portions", count=to)


def _changes(asked: _Asked, done) -> list[Change]:
    """The changes, found by planning with each."""
    ways = []
    all_room = replace(asked, room=sum(asked.wanted))
    if not _missing(all_room, done):
        low, high = asked.room, all_room.room
        while high - low > 1:
            middle = (low + high) // 2
            if _missing(replace(asked, room=middle), done):
                low = middle
            else:
                high = middle
        ways.append(Change("room", high, high * asked.litres))
    for most in range(asked.most + 1, asked.most + 7):
        if not _missing(replace(asked, most=most), done):
            ways.append(Change("most", most))
            break
    for number in range(len(WEEKDAYS)):
        may = [
            may or (day >= len(done) and _weekday(asked.start, day) == number)
            for day, may in enumerate(asked.may_bake)
        ]
        more = replace(asked, may_bake=tuple(may))
        if more != asked and not _missing(more, done):
            ways.append(Change("weekday", number))
            break
    for batch in range(asked.batch - 1, 0, -1):
        if ways:
            break
        if not _missing(replace(asked, batch=batch), done):
            ways.append(Change("batch", batch))
    return ways


def _say_changes(asked: _Asked, ways: tuple[Change, ...]) -> str:
    if not ways:
        weeks = asked.days / 7
        wanted = sum(asked.wanted[: asked.days]) / weeks
        made = sum(asked.may_bake) * asked.most * asked.batch / weeks
        return tr(
            "About {wanted} portions a week are wanted, {made} can be baked, and {room} fit. No "
            "single change is enough. Take several: more room, more bake days, more batches on "
            "each, or a smaller batch where a whole one is not eaten in time.",
            wanted=num(wanted),
            made=num(made),
            room=num(asked.room),
        )
    said = "; ".join(map(str, ways))
    if len(ways) > 1:
        return tr("Any one of these is enough: {changes}.", changes=said)
    return tr("This is enough: {changes}.", changes=said)
