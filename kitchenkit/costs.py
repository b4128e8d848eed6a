"""What a batch and a serving cost: ingredients, packaging, energy and time, each apart."""

from __future__ import annotations

import datetime
import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from functools import cached_property
from numbers import Real

import numpy as np
import pandas as pd
import pint

from kitchenkit.errors import KitchenError, MeasureError, brief
from kitchenkit.ingredients import Ingredient
from kitchenkit.language import day, join_and, mark, num, tr, trc, trn
from kitchenkit.money import Money, as_decimal, measured, read_money, say_money
from kitchenkit.pans import Pan
from kitchenkit.prices import Price, Tariff
from kitchenkit.recipe import Recipe
from kitchenkit.saying import say_both
from kitchenkit.shelf import plain
from kitchenkit.units import Q, read_measure, si

PARTS = (mark("ingredients"), mark("packaging"), mark("energy"), mark("time"))
# Weight that goes off as steam in the oven, of the raw batter's: common practice, no source; from
# 0.05 (deep loaves) to 0.15 (small pieces). Weigh a batch before and after to have your own.
BAKE_LOSS = 0.10
# A price older than this is flagged; common practice, no source.
STALE_DAYS = 180
# What an oven at 350 °F takes in an hour: ACEEE, Consumer Guide to Home Energy Savings, read at
# second hand. Warming up is charged at the same rate, for 15 min: common practice, no source.
OVEN_HOURLY = {"electricity": (2.0, "kWh"), "gas": (0.112, "therm")}
PREHEAT_MIN = 15.0
_OVEN = {"electricity": mark("oven, electricity"), "gas": mark("oven, gas")}
_OWN_PRICE = mark("your own price")


# Unit prices -----------------------------------------------------------------------------------


def unit_price(money: Money, package, per) -> Money:
    """Price of one unit of a package, such as of 1 oz, 100 g or one piece.

    Parameters
    ----------
    money : Money
        For the package.
    package, per : Quantity or str
        ``"18 oz"`` and ``"1 oz"``: both by weight, both by volume or both by count.

    Returns
    -------
    Money
        Not rounded.

    Raises
    ------
    MeasureError
        If the two do not measure the same, or the package is empty.

    Notes
    -----
    Price per 100 g or kg, or per lb or oz, alike for all packages of a thing: NIST Handbook 130
    (2014), Uniform Unit Pricing Regulation.
    """
    package, per = (read_measure(x) if isinstance(x, str) else x for x in (package, per))
    if not package.check(per.dimensionality):
        raise MeasureError(f"{package:~g} and {per:~g} measure unlike things. Use two of a kind.")
    if not package.magnitude > 0:
        raise MeasureError("The package holds nothing. Write what it holds, above 0.")
    return money * measured(per.m_as(package.units)) / measured(package.m)


def edible_price(money: Money, edible_yield) -> Money:
    """Price of what is eaten, from the price of what is bought: price over yield.

    Parameters
    ----------
    money : Money
    edible_yield : float
        Edible share, above 0 and at most 1.

    Notes
    -----
    Edible-portion cost = as-purchased cost / yield (Vancouver Community College, culinary recipe
    costing).
    """
    return money / _share(edible_yield)


def buy_weight(edible, edible_yield) -> pint.Quantity:
    """How much to buy for an edible weight: weight over yield.

    Parameters
    ----------
    edible : Quantity or str
    edible_yield : float
    """
    edible = read_measure(edible) if isinstance(edible, str) else edible
    return edible / float(_share(edible_yield))


def _share(edible_yield) -> Decimal:
    share = as_decimal(edible_yield)
    if not 0 < share <= 1:
        raise KitchenError(f"A yield of {edible_yield} is none. Write a share like 0.82 for 82 %.")
    return share


class UnpricedError(KitchenError):
    """Nothing that was asked for has a price.

    Attributes
    ----------
    missing : tuple of str
    """

    def __init__(self, said: str, missing: tuple[str, ...]):
        super().__init__(said)
        self.missing = missing


# Prices to choose from -------------------------------------------------------------------------


@dataclass(frozen=True)
class _Offer:
    """A package to be had: how much of it is used up (grams, pieces, metres), and its age."""

    price: Price
    bought: Decimal
    useful: Decimal
    age: int
    stale: bool

    @cached_property
    def each(self) -> Money:
        """Price of one gram, piece or metre of what is used."""
        return self.price.money / self.useful


@dataclass(frozen=True)
class _Choice:
    """The price that is counted: of one offer, or the mean of several."""

    each: Money
    offers: tuple[_Offer, ...]

    @property
    def best(self) -> _Offer:
        return min(self.offers, key=lambda offer: offer.each)

    @property
    def age(self) -> int:
        return max(offer.age for offer in self.offers)

    @property
    def stale(self) -> bool:
        return any(offer.stale for offer in self.offers)

    @property
    def basis(self) -> str:
        """What it was worked out from, in words."""
        if len(self.offers) > 1:
            return tr("mean of {n} places", n=len(self.offers))
        price = self.best.price
        return tr("{package} for {money}", package=say_package(price.amount), money=price.money)

    def row(self, cost: Money) -> dict:
        """What a table says of a cost at this price."""
        return {
            "cost": cost,
            "place": "mean" if len(self.offers) > 1 else self.best.price.place,
            "date": min(offer.price.date for offer in self.offers),
            "age": self.age,
            "stale": self.stale,
        }


def say_package(amount: pint.Quantity) -> str:
    """A package's size as its label has it, such as ``"5 lb"``."""
    sign, n = f"{amount.u:~}", amount.m
    match sign:  # the units that are words; the others are symbols everywhere
        case "each":
            return trn("{n} each", "{n} each", n)
        case "cup":
            return trn("{n} cup", "{n} cup", n)
        case "stick":
            return trn("{n} stick", "{n} stick", n)
        case "gal":
            return trn("{n} gal", "{n} gal", n)
        case "qt":
            return trn("{n} qt", "{n} qt", n)
        case "pt":
            return trn("{n} pt", "{n} pt", n)
        case "ft":
            return trn("{n} ft", "{n} ft", n)
        case "floz":
            return trn("{n} fl oz", "{n} fl oz", n)
    return f"{num(n, 'g')} {sign}"


def _sizes(price: Price, share: Decimal, item: Ingredient) -> tuple[Decimal, Decimal]:
    """Grams bought and usable grams of one package."""
    if price.by_piece:  # a piece's weight is what is used of it, squeezed or not
        grams = measured(item.weight(price.amount).m_as("g"))
        return grams / share, grams
    grams = measured(price.size)
    return grams, grams * share


def _offers(rows, size, today: datetime.date, stale_days: int) -> list[_Offer]:
    """The latest price of each package at each place, none of a later day."""
    latest: dict = {}
    for price in sorted(rows, key=lambda price: price.date):
        if price.date <= today:
            bought, useful = size(price)
            age = (today - price.date).days
            stale = age > stale_days and bool(price.money)
            latest[plain(price.place), round(bought, 6)] = _Offer(price, bought, useful, age, stale)
    return list(latest.values())


def to_choose_from(offers: list[_Offer], place: str) -> list[_Offer]:
    """What is free, else the fresh offers of a place, else the stale ones."""
    # What is free, such as tap water, is so wherever the rest is bought.
    free = [offer for offer in offers if not offer.price.money]
    if place not in ("cheapest", "mean") and not free:
        offers = [offer for offer in offers if plain(offer.price.place) == plain(place)]
    return free or [offer for offer in offers if not offer.stale] or offers


def _choose(offers: list[_Offer], place: str) -> _Choice | None:
    """The offer of a place, the cheapest or the mean; fresh prices go before stale ones."""
    offers = to_choose_from(offers, place)
    if not offers:
        return None
    by_place: dict[str, _Offer] = {}
    for offer in sorted(offers, key=lambda offer: offer.each):
        by_place.setdefault(plain(offer.price.place), offer)
    best = tuple(by_place.values())
    if place == "mean" and len(best) > 1:
        return _Choice(sum(offer.each for offer in best) / len(best), best)
    return _Choice(best[0].each, best[:1])


_MOST_KEPT = 100  # days and yields, of each ingredient's offers


@dataclass(frozen=True)
class _Market:
    """Where and when prices are looked up."""

    kit: object
    place: str
    today: datetime.date
    stale_days: int
    own: dict[str, Price]
    yields: dict[str, Decimal]

    def share(self, item: Ingredient) -> Decimal:
        """Edible share of what is bought."""
        share = measured(item.edible_yield)
        if item.key not in self.yields:
            return share
        # A yield of one's own is of the thing as bought; what was squeezed out still goes off.
        return self.yields[item.key] * share / measured(self.kit.ingredients[item.key].edible_yield)

    def offers(self, item: Ingredient) -> list[_Offer]:
        """Worked out once; what a recipe has trimmed further is another thing to size."""
        own, listed = self.own.get(item.key), self.kit.prices.get(item.key)
        share = self.share(item)

        def found(rows) -> list[_Offer]:
            return _offers(
                rows, lambda price: _sizes(price, share, item), self.today, self.stale_days
            )

        if own or listed is None:
            return found([own] if own else ())
        at = (self.today, self.stale_days, share, item.edible_yield, item.mass_kg, item.each_kg)
        if at not in listed.memo:
            if len(listed.memo) >= _MOST_KEPT:
                listed.memo.clear()
            listed.memo[at] = found(listed)
        return listed.memo[at]

    def choose(self, item: Ingredient) -> _Choice | None:
        return _choose(self.offers(item), "cheapest" if item.key in self.own else self.place)

    def choose_packaging(self, name: str) -> _Choice | None:
        def size(price):
            return (measured(price.size),) * 2

        listed = self.kit.packaging[name]
        return _choose(_offers(listed, size, self.today, self.stale_days), self.place)


def places(kit) -> list[str]:
    """Every place that sells an ingredient, in the order of the table."""
    rows = (price for listed in kit.prices.values() for price in listed if price.money)
    return list(dict.fromkeys(price.place for price in rows))


def market_on(kit, place, today=None, stale_days=STALE_DAYS, prices=None, yields=None) -> _Market:
    """The offers of a kit's prices on a day; place and day are checked."""
    known = places(kit)
    if place not in ("cheapest", "mean") and plain(str(place)) not in map(plain, known):
        raise KitchenError(
            f"No price is from {place!r}. Choose cheapest, mean or one of: {', '.join(known)}."
        )
    today = read_day(today)
    own = {}
    for name, said in (prices or {}).items():
        item = kit.ingredients[name]
        own[item.key] = _own(kit, item, said, today)
    shares = {kit.ingredients[name].key: _share(share) for name, share in (yields or {}).items()}
    return _Market(kit, place, today, stale_days, own, shares)


def _own(kit, item: Ingredient, said, today) -> Price:
    """A price given by hand: ("$2.69", "5 lb")."""
    try:
        money, amount = said
    except (TypeError, ValueError):
        raise KitchenError(
            f'The price of {item.name} is not a price and a package. Write it like ("2.69", "5 lb")'
        ) from None
    amount = read_measure(amount) if isinstance(amount, str) else amount
    grams = item.weight(amount).m_as("g")
    if not grams > 0:
        raise MeasureError(
            tr("The package of {item} holds nothing. Write it like 5 lb.", item=tr(item.name))
        )
    return Price(item.key, amount, _money(kit, money), _OWN_PRICE, today, size=grams)


def _money(kit, said) -> Money:
    """A price given by hand, in the currency of the kit's prices where it names none."""
    usual = next((price.money.currency for rows in kit.prices.values() for price in rows), None)
    return read_money(said, usual)


def read_day(today=None) -> datetime.date:
    """A day from a date or its ISO text; today when left out.

    Raises
    ------
    KitchenError
        If it is no date.
    """
    if today is None:
        return datetime.date.today()
    if isinstance(today, datetime.datetime):
        return today.date()
    if isinstance(today, datetime.date):
        return today
    try:
        return datetime.date.fromisoformat(today)
    except (TypeError, ValueError):
        raise KitchenError(
            tr("{text} is no date. Write it like 2026-11-25.", text=brief(today))
        ) from None


def say_days(days) -> str:
    """The first and the last of some days: ``"2026-06-09 to 2026-11-10"``; empty without any.

    Parameters
    ----------
    days : iterable of date
        What is no day, as where there is no price, is passed over.

    Returns
    -------
    str
    """
    known = sorted(one for one in days if pd.notna(one))
    first, last = (day(known[0]), day(known[-1])) if known else ("", "")
    return first if first == last else trc("days", "{first} to {last}", first=first, last=last)


def unit_prices(kit, ingredient: str, today=None, *, stale_days: int = STALE_DAYS) -> pd.DataFrame:
    """Every package of an ingredient to be had, by its price for the same amount.

    Parameters
    ----------
    kit : Kit
    ingredient : str
    today : date or str, optional
        Later prices are left out, and ages are counted to it.
    stale_days : int

    Returns
    -------
    DataFrame
        Cheapest first. Columns: ``place``, ``package``, ``price``, ``date``, ``age`` (days),
        ``stale``; as bought ``per_100g``, ``per_lb``, ``per_oz``, ``per_100ml`` (None where it
        is not sold by volume) and ``each`` (None where a piece has no weight); ``edible_100g``, by
        the yield. All prices are `Money`.
    """
    item = kit.ingredients[ingredient]
    market = market_on(kit, "cheapest", today, stale_days)
    rows = []
    for offer in sorted(market.offers(item), key=lambda offer: offer.each):
        gram = offer.price.money / offer.bought
        piece = measured(item.each_kg * 1000) if item.each_kg else None
        rows.append(
            {
                "place": offer.price.place,
                "package": say_package(offer.price.amount),
                "price": offer.price.money,
                "date": offer.price.date,
                "age": offer.age,
                "stale": offer.stale,
                "per_100g": gram * 100,
                "per_100ml": unit_price(offer.price.money, offer.price.amount, "100 ml")
                if offer.price.amount.check("[volume]")
                else None,
                "per_lb": gram * measured(Q(1, "lb").m_as("g")),
                "per_oz": gram * measured(Q(1, "oz").m_as("g")),
                "each": offer.each * piece if piece else None,
                "edible_100g": offer.each * 100,
            }
        )
    if not rows:
        raise KitchenError(
            tr("{item} has no price yet. Add one to prices.csv.", item=tr(item.name))
        )
    return pd.DataFrame(rows)


# Servings --------------------------------------------------------------------------------------


def baked_weight(recipe: Recipe, bake_loss: float = BAKE_LOSS) -> pint.Quantity:
    """Weight of the whole batch once baked (g): raw weight less what goes off as steam.

    Parameters
    ----------
    recipe : Recipe
    bake_loss : float
        Share of the raw weight, 0 to 0.5; 0.05 to 0.15 is common practice, no source.
    """
    if not (isinstance(bake_loss, Real) and 0 <= bake_loss <= 0.5):
        raise KitchenError(f"A bake loss of {bake_loss} is none. Write a share from 0 to 0.5.")
    return recipe.weight * (1 - bake_loss)


def slices(loaf: Pan, thickness, loaves: float = 1) -> float:
    """How many whole slices some loaves give.

    Parameters
    ----------
    loaf : Pan
        Cut along its length at the top.
    thickness : Quantity or str
        Of a slice: ``"1/2 in"``.
    loaves : float
    """
    thick = si(thickness, "length", "thickness of a slice")
    length = loaf.spans_m(loaf.height)[0]
    if not 0 < thick <= length:
        raise KitchenError(f"Slices of {thickness} do not come from the {loaf.name}.")
    # A hair's breadth must not cost a slice.
    return math.floor(length / thick + 1e-9) * loaves


def pieces(across: int, along: int, pans: float = 1) -> float:
    """How many pieces some pans give, cut so many across and so many along."""
    if across < 1 or along < 1 or pans <= 0:
        raise KitchenError("Cut the pan into at least one piece across and one along.")
    return across * along * pans


def _servings(recipe: Recipe, servings, baked_g: float) -> float:
    if servings is None:
        return recipe.servings
    if isinstance(servings, str | pint.Quantity):
        grams = si(servings, "mass", "weight of a serving") * 1000
        if not 0 < grams <= baked_g:
            raise KitchenError(
                f"A serving of {servings} does not come from {baked_g:.0f} g of baked batch."
            )
        return baked_g / grams
    if not isinstance(servings, Real) or not (math.isfinite(servings) and servings > 0):
        raise KitchenError(f"{servings!r} servings? Write how many, above 0, or a weight.")
    return float(servings)


# Packaging, energy, time -----------------------------------------------------------------------


@dataclass(frozen=True)
class OvenUse:
    """What the oven is on for.

    Attributes
    ----------
    tariff : Tariff
    minutes, preheat : float or Quantity
        Baking and warming up; plain numbers are minutes.
    batches : float
        That share the oven at the same time: each bears its part.
    loads : float
        One after another in the same hot oven: they share the warming up.
    hourly : Quantity, optional
        Energy used in an hour; 2.0 kWh or 0.112 therm at 350 °F when left out.

    Notes
    -----
    ACEEE, Consumer Guide to Home Energy Savings, at second hand. Other heats, and an oven's own
    ways, are not in it.
    """

    tariff: Tariff
    minutes: float | pint.Quantity
    preheat: float | pint.Quantity = PREHEAT_MIN
    batches: float = 1
    loads: float = 1
    hourly: pint.Quantity | None = None

    @property
    def energy(self) -> pint.Quantity:
        """Energy that one batch bears.

        Raises
        ------
        KitchenError
            If minutes are negative, or batches or loads below 1.
        """
        if self.batches < 1 or self.loads < 1:
            raise KitchenError("At least one batch is in the oven. Write 1 or more.")
        hourly = self.hourly if self.hourly is not None else Q(*OVEN_HOURLY[self.tariff.fuel])
        minutes = _minutes(self.preheat) / self.loads + _minutes(self.minutes)
        return hourly * (minutes / 60 / self.batches)

    @property
    def money(self) -> Money:
        return self.tariff.of(self.energy)


def _minutes(value) -> float:
    if isinstance(value, pint.Quantity):
        if not value.check("[time]"):
            raise MeasureError(f"{value:~g} is not a time. Write minutes, like 25.")
        value = value.m_as("min")
    if not isinstance(value, Real) or not (math.isfinite(value) and value >= 0):
        raise MeasureError(f"{value!r} is no number of minutes. Write 0 or more, like 25.")
    return float(value)


def tariff(kit, fuel: str, today=None) -> Tariff:
    """The latest tariff of a fuel.

    Parameters
    ----------
    kit : Kit
    fuel : {"electricity", "gas"}
    today : date or str, optional

    Raises
    ------
    KitchenError
        If tariffs.csv has none of that fuel, of that day or before.
    """
    today = read_day(today)
    known = [x for x in kit.tariffs.values() if x.fuel == fuel and x.date <= today]
    if not known:
        raise KitchenError(
            tr(
                "tariffs.csv has no price of '{fuel}' by {day}. Add a row.",
                fuel=tr(fuel),
                day=day(today),
            )
        )
    return max(known, key=lambda x: x.date)


# The cost --------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Cost:
    """What a batch costs, and all that it is made of.

    The tables are made when they are first looked at: a panel that moves needs the sums only.

    Attributes
    ----------
    recipe : Recipe
    servings : float
    baked : Quantity
        Weight of the baked batch (g).
    line_rows, extra_rows : tuple of dict
        The rows of `lines` and `extras`, each with its ``name``.
    lines : DataFrame
        Index: ingredient. Columns: ``grams`` used, ``buy_g`` (as bought, by the yield), ``basis``,
        ``cost`` (`Money`; None where the price is missing), ``place``, ``date``, ``age`` (days),
        ``stale``, ``share`` of the ingredients' cost.
    extras : DataFrame
        The same for packaging, energy and time. Index: item. Columns: ``part``, ``amount``,
        ``basis``, ``cost``, ``place``, ``date``, ``age``, ``stale``, ``fixed`` (whether it is the
        same however many pieces the batch makes).
    packages : DataFrame
        What a shop sells of it. Index: ingredient. Columns: ``place``, ``package``, ``packages``
        (whole), ``pay``, ``need_g``, ``left_g``.
    missing : tuple of str
        What has no price. It is in no sum: while there is any, the cost is at least what it says.
    stale : tuple of str
        What has an old price.
    counted : tuple of str
        Which of the `PARTS` the sums hold.
    today : datetime.date
    asked : dict
        What it was worked out from, to work it out again.
    """

    kit: object = field(repr=False)
    recipe: Recipe = field(repr=False)
    servings: float
    baked: pint.Quantity
    currency: str
    line_rows: tuple[dict, ...] = field(repr=False)
    extra_rows: tuple[dict, ...] = field(repr=False)
    market: _Market = field(repr=False)
    chosen: tuple = field(repr=False)
    missing: tuple[str, ...]
    stale: tuple[str, ...]
    today: datetime.date
    asked: dict = field(repr=False)
    counted: tuple[str, ...] = PARTS

    @cached_property
    def lines(self) -> pd.DataFrame:
        return _frame(self.line_rows, _LINE_COLUMNS, "ingredient")

    @cached_property
    def extras(self) -> pd.DataFrame:
        return _frame(self.extra_rows, _EXTRA_COLUMNS, "item")

    @cached_property
    def packages(self) -> pd.DataFrame:
        rows = [row | {"package": say_package(row["amount"])} for row in self._package_rows]
        return _frame(rows, _PACKAGE_COLUMNS, "ingredient")

    @cached_property
    def _package_rows(self) -> list[dict]:
        return _packages(self.market, self.chosen)

    def _sum(self, rows) -> Money:
        known = (row["cost"] for row in rows if row["cost"] is not None)
        return sum(known, Money(Decimal(0), self.currency))

    @cached_property
    def parts(self) -> dict[str, Money]:
        """Cost of the batch by part, all of them, counted or not."""
        found = {PARTS[0]: self._sum(self.line_rows)}
        for part in PARTS[1:]:
            found[part] = self._sum(row for row in self.extra_rows if row["part"] == part)
        return found

    @property
    def batch(self) -> Money:
        """Cost of the batch: the counted parts."""
        return sum(money for part, money in self.parts.items() if part in self.counted)

    @property
    def serving(self) -> Money:
        """Cost of one serving."""
        return self.batch / measured(self.servings)

    @property
    def per_100g(self) -> Money:
        """Cost of 100 g as baked."""
        return self.batch * 100 / measured(self.baked.m_as("g"))

    @property
    def serving_weight(self) -> pint.Quantity:
        """Weight of one baked serving (g)."""
        return self.baked / self.servings

    @property
    def serving_parts(self) -> dict[str, Money]:
        """Cost of one serving by part, all of them."""
        return {part: money / measured(self.servings) for part, money in self.parts.items()}

    @property
    def fixed(self) -> Money:
        """What the batch costs before its first piece: oven, time, what wraps it whole."""
        counted = (row for row in self.extra_rows if row["part"] in self.counted)
        return self._sum(row for row in counted if row["fixed"])

    @property
    def dates(self) -> str:
        """When the ingredients' prices were noted, the first and the last day."""
        return say_days(row.get("date") for row in self.line_rows)

    @property
    def complete(self) -> bool:
        """Whether all of it has a price."""
        return not self.missing

    @property
    def to_buy(self) -> Money:
        """What the whole packages cost at the till, with nothing in the cupboard."""
        paid = (row["pay"] for row in self._package_rows)
        return sum(paid, Money(Decimal(0), self.currency))

    def only(self, *parts: str) -> Cost:
        """The same with only these parts counted."""
        for part in parts:
            if part not in PARTS:
                raise KitchenError(f"There is no part {part!r}. Choose from: {', '.join(PARTS)}.")
        if not parts:
            raise KitchenError("Nothing would be counted. Leave at least one part in.")
        return replace(self, counted=tuple(part for part in PARTS if part in parts))

    def without(self, *parts: str) -> Cost:
        """The same with these parts left out."""
        self.only(*parts)
        return self.only(*(part for part in self.counted if part not in parts))

    def _said(self) -> str:
        """The parts that are counted and that there are."""
        there = {PARTS[0], *(row["part"] for row in self.extra_rows)}
        return join_and([tr(x) for x in self.counted if x in there] or [tr("nothing")])

    def __str__(self) -> str:
        whole = mark(
            "A serving costs {serving} ({hundred} per 100 g), the batch {batch}, with {parts} "
            "counted."
        )
        least = mark(
            "A serving costs at least {serving} (at least {hundred} per 100 g), the batch at least "
            "{batch}, with {parts} counted."
        )
        text = whole if self.complete else least
        said = [
            tr(
                text,
                serving=self.serving,
                hundred=self.per_100g,
                batch=self.batch,
                parts=self._said(),
            )
        ]
        if self.missing:
            names = ", ".join(map(tr, self.missing))
            said.append(
                tr("No price is known for {names}, so it costs more than that.", names=names)
            )
        if self.stale:
            names = ", ".join(map(tr, self.stale))
            said.append(tr("Old prices: {names}. Look them up again.", names=names))
        return " ".join(said)


def cost(
    kit,
    recipe: Recipe,
    servings=None,
    *,
    place: str = "cheapest",
    today=None,
    packaging=(),
    energy: OvenUse | None = None,
    time_value=None,
    bake_loss: float = BAKE_LOSS,
    stale_days: int = STALE_DAYS,
    prices: Mapping | None = None,
    yields: Mapping | None = None,
) -> Cost:
    """What a batch of a recipe costs.

    Parameters
    ----------
    kit : Kit
    recipe : Recipe
    servings : float, Quantity or str, optional
        How many (see also `slices` and `pieces`), or what one weighs baked; the recipe's own when
        left out.
    place : str
        ``"cheapest"``, ``"mean"`` (over each place's best offer) or a place's name. Fresh prices go
        before stale ones.
    today : date or str, optional
        Prices of later days are left out, and ages are counted to it.
    packaging : sequence
        What each serving is put in: names from packaging.csv, each alone or with an amount:
        ``("foil", "12 in")``, ``("paper case", 2)``; with ``"batch"`` third, for the whole batch.
    energy : OvenUse, optional
    time_value : (Money or str, float or Quantity), optional
        What an hour is worth, and the minutes of work.
    bake_loss : float
        Share of the raw weight that goes off as steam.
    stale_days : int
        A price older than this many days is flagged.
    prices : mapping, optional
        Prices of one's own in place of the table's: ``{"flour": ("$2.69", "5 lb")}``.
    yields : mapping, optional
        Edible shares in place of the table's, before any squeezing: ``{"carrot": 0.75}``.

    Returns
    -------
    Cost

    Raises
    ------
    KitchenError
        If nothing of it has a price, a place or packaging is unknown, or currencies are mixed.

    Notes
    -----
    Amount used × price of the package / edible part of the package. Exact decimals; nothing is
    rounded before it is shown.
    """
    asked = {key: value for key, value in locals().items() if key not in ("kit", "recipe")}
    market = market_on(kit, place, today, stale_days, prices, yields)
    baked = baked_weight(recipe, bake_loss)
    servings = _servings(recipe, servings, baked.m_as("g"))
    chosen = tuple((line, market.choose(line.ingredient)) for line in recipe.lines)
    lines = _lines(market, chosen)
    extras = _extras(market, servings, packaging, energy, time_value)
    rows = [*lines, *extras]
    known = [row["cost"] for row in rows if row["cost"] is not None]
    missing = tuple(dict.fromkeys(row["name"] for row in rows if row["cost"] is None))
    if not known:
        nowhere = mark("Nothing in {recipe} has a price by {day}. Add prices to prices.csv.")
        not_there = mark(
            "Nothing in {recipe} has a price at {place} by {day}. Add prices to prices.csv."
        )
        text = nowhere if place in ("cheapest", "mean") else not_there
        said = tr(text, recipe=tr(recipe.name), place=tr(place), day=day(market.today))
        raise UnpricedError(said, missing)
    sum(known)  # unlike currencies are refused here, in plain words
    return Cost(
        kit=kit,
        recipe=recipe,
        servings=servings,
        baked=baked,
        currency=known[0].currency,
        line_rows=tuple(lines),
        extra_rows=tuple(extras),
        market=market,
        chosen=chosen,
        missing=missing,
        stale=tuple(dict.fromkeys(row["name"] for row in rows if row["stale"])),
        today=market.today,
        asked=asked,
    )


_LINE_COLUMNS = ["grams", "buy_g", "basis", "cost", "place", "date", "age", "stale", "share"]
_EXTRA_COLUMNS = ["part", "amount", "basis", "cost", "place", "date", "age", "stale", "fixed"]
_PACKAGE_COLUMNS = ["place", "package", "packages", "pay", "need_g", "left_g"]


def basis(row: dict) -> str:
    """What a row's cost was worked out from, in words: slow to say, and seldom read."""
    choice = row.get("choice")
    return row.get("basis") or (choice.basis if choice else tr("no price"))


def _frame(rows, columns: list[str], index: str) -> pd.DataFrame:
    if "basis" in columns:
        rows = [row | {"basis": basis(row)} for row in rows]
    table = pd.DataFrame(rows, columns=["name", *columns]).set_index("name").rename_axis(index)
    for column in ("cost", "pay"):
        if column in columns:
            table[column] = pd.Series([row[column] for row in rows], table.index, dtype=object)
    for column in ("stale", "fixed"):
        if column in columns:
            table[column] = table[column].astype(bool)
    return table


def _lines(market: _Market, chosen) -> list[dict]:
    rows = []
    for line, choice in chosen:
        grams = line.weight.m_as("g")
        row = {
            "name": line.ingredient.name,
            "grams": grams,
            "buy_g": grams / float(market.share(line.ingredient)),
            "choice": choice,
            "cost": None,
            "stale": False,
        }
        if choice:
            row |= choice.row(choice.each * measured(grams))
        rows.append(row)
    total = sum(float(row["cost"]) for row in rows if row["cost"] is not None)
    for row in rows:
        if row["cost"] is not None:
            row["share"] = float(row["cost"]) / total if total else 0.0
    return rows


def _packages(market: _Market, chosen) -> list[dict]:
    """Whole packages: what goes out of the same package is added up first."""
    needs: dict = {}
    for line, choice in chosen:
        if choice:
            offer, grams = choice.best, measured(line.weight.m_as("g"))
            one = offer.price
            amount = one.amount.m, one.amount.u
            key = (one.place, one.date, one.money, amount, one.note, offer.bought)
            found = needs.setdefault(key, [offer, [], Decimal(0)])
            found[1].append(line.ingredient.name)
            found[2] += grams / market.share(line.ingredient)
    rows = []
    for offer, names, need in needs.values():
        # Half a gram in ten million is the measure's rounding, not one more package.
        many = max(1, math.ceil(need / offer.bought - Decimal("5e-8")))
        rows.append(
            {
                "name": ", ".join(dict.fromkeys(names)),
                "place": offer.price.place,
                "amount": offer.price.amount,
                "packages": many,
                "pay": offer.price.money * many,
                "need_g": float(need),
                "left_g": max(0.0, float(offer.bought * many - need)),
            }
        )
    return rows


def _extras(market: _Market, servings: float, packaging, energy, time_value) -> list[dict]:
    rows = [_wrapping(market, servings, item) for item in packaging]
    if energy is not None:
        used = energy.energy
        price = energy.tariff
        age = (market.today - price.date).days if price.date else None
        rows.append(
            {
                "name": _OVEN[price.fuel],
                "part": "energy",
                "amount": f"{num(used.m_as(price.per), '.3g')} {tr(price.per)}",
                "basis": tr(
                    "{money} per {unit}",
                    money=say_money(price.money, digits=3),
                    unit=tr(price.per),
                ),
                "cost": energy.money,
                "place": price.place,
                "date": price.date,
                "age": age,
                "stale": age is not None and age > market.stale_days,
                "fixed": True,
            }
        )
    if time_value is not None:
        try:
            hourly, minutes = time_value
        except (TypeError, ValueError):
            raise KitchenError(
                'time_value is what an hour is worth and the minutes: ("15", 40).'
            ) from None
        hourly, minutes = _money(market.kit, hourly), _minutes(minutes)
        rows.append(
            {
                "name": mark("your time"),
                "part": "time",
                "amount": f"{num(minutes, 'g')} min",
                "basis": tr("{money} an hour", money=hourly),
                "cost": hourly * measured(minutes) / 60,
                "stale": False,
                "fixed": True,
            }
        )
    return rows


_WRAPS = {"serving": mark("{amount} a serving"), "batch": mark("{amount} a batch")}


def _wrapping(market: _Market, servings: float, item) -> dict:
    name, amount, per = (*((item,) if isinstance(item, str) else item), 1, "serving")[:3]
    if isinstance(item, tuple) and len(item) == 2:
        name, amount, per = *item, "serving"
    if per not in _WRAPS:
        raise KitchenError(f"Packaging is per serving or per batch, not per {per!r}.")
    choice = market.choose_packaging(name)
    listed = market.kit.packaging[name]
    by_length = listed.rows[0].amount.check("[length]")
    if by_length:
        if isinstance(amount, Real):
            raise KitchenError(
                tr(
                    '{item} is cut by length. Write it like ("{name}", "12 in")',
                    item=tr(listed.name),
                    name=name,
                )
            )
        many = si(amount, "length", tr("length of {name}", name=tr(listed.name)))
    else:
        many = float(amount) if isinstance(amount, Real) else si(amount, "count", listed.name)
    if not (math.isfinite(many) and many >= 0):
        raise KitchenError(f"{many:g} of {listed.name} is no number. Write 0 or more.")
    said = say_both(Q(many * 100, "cm")) if by_length else say_package(Q(many, "each"))
    row = {
        "name": listed.name,
        "part": "packaging",
        "amount": tr(_WRAPS[per], amount=said),
        "choice": choice,
        "cost": None,
        "stale": False,
        "fixed": per == "batch",
    }
    if choice:
        times = measured(servings) if per == "serving" else Decimal(1)
        row |= choice.row(choice.each * measured(many) * times)
    return row


# Many at once ----------------------------------------------------------------------------------


def recipe_table(recipes) -> pd.DataFrame:
    """Recipes as one table for `cost_many`.

    Returns
    -------
    DataFrame
        Columns: ``recipe`` (key), ``ingredient`` (key), ``grams``.
    """
    rows = [
        (recipe.key, line.ingredient.key, line.weight.m_as("g"))
        for recipe in recipes
        for line in recipe.lines
    ]
    return pd.DataFrame(rows, columns=["recipe", "ingredient", "grams"])


def cost_many(
    kit, table: pd.DataFrame, *, place: str = "cheapest", today=None, stale_days: int = STALE_DAYS
) -> pd.DataFrame:
    """What the ingredients of many batches cost, in one go.

    Parameters
    ----------
    kit : Kit
    table : DataFrame
        Columns ``recipe``, ``ingredient`` (key or name) and ``grams`` used.
    place, today, stale_days
        As for `cost`.

    Returns
    -------
    DataFrame
        Index: recipe. Columns: ``batch`` (`Money`, without what is missing; None where nothing has
        a price) and ``missing`` (tuple of ingredients).

    Notes
    -----
    Summed as floats, for speed: right to a hair of a cent, where `cost` is exact.
    """
    market = market_on(kit, place, today, stale_days)
    which, names = pd.factorize(table["ingredient"])
    batch, keys = pd.factorize(table["recipe"])
    choices = [market.choose(kit.ingredients[name]) for name in names]
    each = np.array([float(choice.each) if choice else np.nan for choice in choices])
    currency = {choice.each.currency for choice in choices if choice}
    paid = table["grams"].to_numpy(float) * each[which]
    gap = np.isnan(each)[which]
    total = np.bincount(batch, np.where(gap, 0.0, paid), len(keys))
    known = np.bincount(batch, ~gap, len(keys))
    missing: list[tuple[str, ...]] = [()] * len(keys)
    for at, name in zip(batch[gap], which[gap], strict=True):
        missing[at] = (*missing[at], kit.ingredients[names[name]].name)
    unit = currency.pop() if currency else None
    money = [
        Money(amount, unit) if some else None
        for amount, some in zip(total.tolist(), known, strict=True)
    ]
    found = {"batch": pd.Series(money, dtype=object), "missing": pd.Series(missing, dtype=object)}
    return pd.DataFrame(found).set_index(pd.Index(keys, name="recipe"))
