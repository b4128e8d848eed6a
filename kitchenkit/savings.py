"""Whether baking saves anything against what a shop sells, and what the answer hangs on."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from functools import cached_property, lru_cache

import numpy as np
import pandas as pd

from kitchenkit.costs import PARTS, Cost, UnpricedError, basis, cost, places
from kitchenkit.errors import KitchenError
from kitchenkit.language import mark, num, tr, trn
from kitchenkit.money import Money, as_decimal, measured, say_money
from kitchenkit.prices import Snack

# The two ways to set a serving against a bought piece.
WAYS = ("equal weight", "equal pieces")
# How far a price may lie from the one noted, either way; common practice, no source.
SPREAD = 0.20
SEED, DRAWS = 20261125, 10_000
_EACH = {WAYS[0]: mark("for the same weight"), WAYS[1]: mark("piece for piece")}
_VERDICTS = {
    "the shop": mark(
        "Buying is cheaper: {each}, {there} costs {amount} less a serving than baking, {term}."
    ),
    "baking": mark(
        "Baking is cheaper: {each}, it saves {amount} a serving against {there}, {term}."
    ),
    "neither": mark("Neither saves anything: {each}, {there} costs the same."),
    "unknown": mark(
        "Nobody can say yet whether baking saves anything: no price is known for {missing}."
    ),
}


@dataclass(frozen=True)
class Comparison:
    """Baked against bought.

    Attributes
    ----------
    cost : Cost
    bought : Snack
    per_week, weeks : float
        Servings eaten in a week, and weeks in the term.
    """

    cost: Cost = field(repr=False)
    bought: Snack
    per_week: float
    weeks: float

    def bought_price(self, way: str = WAYS[0]) -> Money:
        """What the shop takes instead of one serving: for its weight, or for one piece."""
        if way not in WAYS:
            raise KitchenError(f"There is no comparison at {way!r}. Choose: {' or '.join(WAYS)}.")
        if way == WAYS[1]:
            return self.bought.piece
        return self.bought.per_100g * measured(self.cost.serving_weight.m_as("g")) / 100

    def saving(self, way: str = WAYS[0]) -> Money:
        """Saved on each serving by baking; below zero where the shop is cheaper."""
        return self.bought_price(way) - self.cost.serving

    def winner(self, way: str = WAYS[0]) -> str:
        """``"baking"``, ``"the shop"``, ``"neither"`` or, for want of prices, ``"unknown"``.

        A cost with missing prices can only grow: the shop may win against it, baking may not.
        """
        saving = self.saving(way).rounded(self.cost.serving.digits + 1)
        if saving.amount < 0:
            return "the shop"
        if not self.cost.complete:
            return "unknown"
        return "baking" if saving.amount > 0 else "neither"

    def week(self, way: str = WAYS[0]) -> Money:
        """Saved in a week."""
        return self.saving(way) * self.per_week

    def term(self, way: str = WAYS[0]) -> Money:
        """Saved in the term."""
        return self.week(way) * self.weeks

    @property
    def table(self) -> pd.DataFrame:
        """Both ways side by side.

        Returns
        -------
        DataFrame
            Index: ``equal weight``, ``equal pieces``. Columns, all `Money` but the last: ``baked``,
            ``bought``, ``saving`` (a serving), ``week``, ``term``, ``winner``.
        """
        rows = []
        for way in WAYS:
            rows.append(
                {
                    "baked": self.cost.serving,
                    "bought": self.bought_price(way),
                    "saving": self.saving(way),
                    "week": self.week(way),
                    "term": self.term(way),
                    "winner": self.winner(way),
                }
            )
        return pd.DataFrame(rows, index=pd.Index(WAYS, name="way"), dtype=object)

    def break_even_price(self, way: str = WAYS[0]) -> Money:
        """Price of the bought package at which neither saves."""
        if way == WAYS[1]:
            return self.cost.serving * self.bought.pieces
        return self.cost.per_100g * measured(self.bought.grams) / 100

    def break_even_batch(self, way: str = WAYS[0]) -> int | None:
        """Fewest servings in one batch for which baking is no dearer; None where no number is.

        Notes
        -----
        What is the same however much is baked (oven, time, what wraps the whole batch) is spread
        over the servings: n ≥ fixed / (bought − what each serving costs by itself).
        """
        fixed = self.cost.fixed
        room = self.bought_price(way) - (self.cost.batch - fixed) / measured(self.cost.servings)
        if room.amount < 0 or (fixed and not room):
            return None
        if not fixed:
            return 1
        # What is exactly enough is enough, to the last digits of a float.
        return max(1, math.ceil(fixed / room - Decimal("1e-9")))

    def say(self, way: str = WAYS[0]) -> str:
        """The result in plain words, also where the shop wins."""
        amount, term = abs(self.saving(way)), abs(self.term(way))
        snack, place = tr(self.bought.name), tr(self.bought.place)
        there = tr("the {snack} from {place}", snack=snack, place=place)
        missing = [tr(name) for name in self.cost.missing]
        winner = self.winner(way)
        said = tr(
            _VERDICTS[winner],
            each=tr(_EACH[way]),
            there=there if place else tr("the {snack}", snack=snack),
            amount=_not_nothing(amount),
            term=trn(
                "{sum} in {n} weeks", "{sum} in {n} weeks", self.weeks, sum=_not_nothing(term)
            ),
            missing=", ".join(missing),
        )
        if winner == "the shop" and not self.cost.complete:
            one = mark("Baking costs more still: no price is known for {name}.")
            more = mark("Baking costs more still: no price is known for {name} and others.")
            text = more if len(missing) > 1 else one
            said += f" {tr(text, name=missing[0])}"
        return said

    def __str__(self) -> str:
        return self.say()


def _not_nothing(money: Money) -> str:
    """Money with a digit more where its coins would make nothing of it."""
    finer = money.rounded(money.digits + 1)
    if money.rounded() or not finer:
        return str(money)
    return say_money(finer, digits=money.digits + 1)


def compare(cost: Cost, bought, per_week: float = 5, weeks: float = 6) -> Comparison:
    """Set what a serving costs against a bought snack.

    Parameters
    ----------
    cost : Cost
    bought : Snack or str
        Or its key or name in snacks.csv.
    per_week, weeks : float
        Servings a week, and weeks in the term.

    Returns
    -------
    Comparison

    Raises
    ------
    KitchenError
        If there is no such snack, a number is below 0, or the currencies differ.
    """
    snack = bought if isinstance(bought, Snack) else cost.kit.snacks[bought]
    for name, value in (("per_week", per_week), ("weeks", weeks)):
        if not as_decimal(value) >= 0:
            raise KitchenError(f"{name}={value} is below zero. Write 0 or more.")
    found = Comparison(cost, snack, per_week, weeks)
    found.saving()  # refuses unlike currencies at once
    return found


# What the result hangs on ----------------------------------------------------------------------


_GAPS = mark("Some prices are missing and are not in it.")


@dataclass(frozen=True)
class Matters:
    """What one serving's cost, or saving, hangs on.

    Attributes
    ----------
    what : {"cost", "saving"}
    point : Money
        With every price as noted.
    bars : dict of str to dict
        The rows of `tornado` by item.
    tornado : DataFrame
        Index: item. Columns: ``price`` (its part of a serving), ``low`` and ``high`` (the result
        with this price alone down and up), ``swing``; the widest first. All `Money`.
    draws : ndarray
        The result with every price drawn at once, shape (draws,), in the currency's unit.
    closed_mean, closed_sd : float
        The same mean and standard deviation by formula.
    spread : dict of str to float
        The range that each price was drawn from, either way, as a share.
    """

    what: str
    point: Money
    bars: dict[str, dict[str, Money]] = field(repr=False)
    draws: np.ndarray = field(repr=False)
    closed_mean: float
    closed_sd: float
    spread: dict[str, float] = field(repr=False)
    complete: bool = True

    @cached_property
    def tornado(self) -> pd.DataFrame:
        index = pd.Index(self.bars, name="item")
        return pd.DataFrame(list(self.bars.values()), index=index, dtype=object)

    @property
    def mean(self) -> Money:
        return Money(float(self.draws.mean()), self.point.currency)

    def within(self, share: float = 0.9) -> tuple[Money, Money]:
        """The middle range that holds so many of the draws."""
        ends = np.quantile(self.draws, [(1 - share) / 2, (1 + share) / 2])
        return tuple(Money(float(end), self.point.currency) for end in ends)

    @property
    def chance(self) -> float:
        """Share of the draws above zero: of a saving, how often baking wins."""
        return float(np.mean(self.draws > 0))

    def __str__(self) -> str:
        low, high = self.within()
        least, *_, most = sorted(self.spread.values()) * 2
        ends = {"least": num(least * 100), "most": num(most * 100)}
        off = tr("{most}%", **ends) if least == most else tr("{least}% to {most}%", **ends)
        cost_ = mark(
            "With every price up to {off} off either way, a serving's cost is {low} to {high} in "
            "nine cases of ten. It hangs most on {item}."
        )
        saving = mark(
            "With every price up to {off} off either way, a serving's saving is {low} to {high} in "
            "nine cases of ten. It hangs most on {item}."
        )
        text = saving if self.what == "saving" else cost_
        said = tr(
            text,
            off=off,
            low=low,
            high=high,
            item=tr(next(iter(self.bars))),
        )
        return said if self.complete else f"{said} {tr(_GAPS)}"


def what_matters(
    cost: Cost,
    bought=None,
    *,
    way: str = WAYS[0],
    spread: float | Mapping[str, float] = SPREAD,
    draws: int = DRAWS,
    seed: int = SEED,
) -> Matters:
    """How much a serving's cost hangs on each price, or its saving against a bought snack.

    Parameters
    ----------
    cost : Cost
        Its counted parts; time among them only where it is counted.
    bought : Snack or str, optional
        With it the result is the saving.
    way : {"equal weight", "equal pieces"}
    spread : float or mapping
        How far each price may lie off, as a share, 0 to 1; by item where a mapping, with 0.2 for
        the rest. Also for the bought snack, by its name.
    draws, seed : int
        Of the Monte Carlo.

    Returns
    -------
    Matters

    Raises
    ------
    KitchenError
        If a spread is no share, or names nothing in the cost.

    Notes
    -----
    Each price is price × U(1 − s, 1 + s), independently. The result is a sum in which each price
    stands once: its mean is the point value, and its variance Σ (price × s)² / 3.
    """
    items = _items(cost)
    sign = -1 if bought is not None else 1
    parts = {name: money * sign for name, money in items.items()}
    if bought is not None:
        compared = compare(cost, bought)
        name = compared.bought.name
        parts[name if name not in parts else f"{name}, bought"] = compared.bought_price(way)
    shares = _spreads(parts, spread)
    point = sum(parts.values())
    bars = {}
    for name, money in parts.items():
        low, high = sorted((point - money * shares[name], point + money * shares[name]))
        bars[name] = {"price": abs(money), "low": low, "high": high, "swing": high - low}
    widest = sorted(bars, key=lambda name: -bars[name]["swing"].amount)
    sizes = np.array([float(money) for money in parts.values()])
    widths = np.array([shares[name] for name in parts])
    if not (isinstance(draws, int) and draws > 0):
        raise KitchenError(f"{draws!r} draws? Write a whole number above 0, like 10000.")
    low, high = 1 - widths, 1 + widths
    drawn = low + (high - low) * _evenly(seed, draws, len(sizes))
    return Matters(
        what="saving" if bought is not None else "cost",
        point=point,
        bars={name: bars[name] for name in widest},
        draws=drawn @ sizes,
        closed_mean=float(point),
        closed_sd=float(np.sqrt(np.sum((sizes * widths) ** 2) / 3)),
        spread=shares,
        complete=cost.complete,
    )


@lru_cache(maxsize=4)
def _evenly(seed: int, draws: int, items: int) -> np.ndarray:
    """Draws between 0 and 1, kept: a panel asks for the same ones at every move."""
    drawn = np.random.default_rng(seed).random((draws, items))
    drawn.flags.writeable = False
    return drawn


def _items(cost: Cost) -> dict[str, Money]:
    """What each counted price adds to a serving; an ingredient that comes twice is one."""
    found: dict[str, Money] = {}
    lines = cost.line_rows if PARTS[0] in cost.counted else ()
    extras = (row for row in cost.extra_rows if row["part"] in cost.counted)
    for row in (*lines, *extras):
        if row["cost"] is not None:
            name, added = row["name"], row["cost"] / measured(cost.servings)
            found[name] = found[name] + added if name in found else added
    return found


def _spreads(parts, spread) -> dict[str, float]:
    given = spread if isinstance(spread, Mapping) else {}
    for name in given:
        if name not in parts:
            raise KitchenError(f"There is no price of {name!r} in it. It has {', '.join(parts)}.")
    usual = SPREAD if isinstance(spread, Mapping) else spread
    shares = {name: float(as_decimal(given.get(name, usual))) for name in parts}
    for name, share in shares.items():
        if not 0 <= share <= 1:
            raise KitchenError(f"A spread of {share:g} for {name} is none. Write a share, 0 to 1.")
    return shares


# What to change, and which to bake -------------------------------------------------------------


def change_first(cost: Cost) -> pd.DataFrame:
    """What to change first to save most, one change at a time.

    Parameters
    ----------
    cost : Cost

    Returns
    -------
    DataFrame
        Index: the change, in words. Columns: ``saves`` (a serving) and ``serving`` (what it then
        costs), both `Money`; the most first, and none that saves nothing.

    Notes
    -----
    Tried: each ingredient at its cheapest fresh price, all at one place, each thing that wraps left
    out, two batches in the oven at once, four loads one after another.
    """
    changes: dict[str, Cost] = {}
    cheapest = _again(cost, place="cheapest", prices=None)
    # An ingredient may stand in several lines, some squeezed; it is bought in one place for all.
    cheaper: dict[str, dict[int, dict]] = {}
    for at, other in enumerate(cheapest.line_rows if cheapest else ()):
        now, then = cost.line_rows[at]["cost"], other["cost"]
        if now is not None and then is not None and then < now:
            cheaper.setdefault(cost.recipe.lines[at].ingredient.key, {})[at] = other
    for key, others in cheaper.items():
        rows = [others.get(at, row) for at, row in enumerate(cost.line_rows)]
        other = next(iter(others.values()))
        item, place = cost.kit.ingredients[key].name, other["place"]
        named = {"item": tr(item), "place": tr(place), "basis": basis(other)}
        change = tr("buy {item} at {place}: {basis}", **named)
        changes[change] = replace(cost, line_rows=tuple(rows))
    for place in places(cost.kit):
        whole = _again(cost, place=place, prices=None)
        if whole is not None and set(whole.missing) <= set(cost.missing):
            changes[tr("buy everything at {place}", place=tr(place))] = whole
    packaging = list(cost.asked["packaging"])
    for at, item in enumerate(packaging):
        name = item if isinstance(item, str) else item[0]
        fewer = [*packaging[:at], *packaging[at + 1 :]]
        changes[tr("do without the {item}", item=tr(name))] = _again(cost, packaging=fewer)
    oven = cost.asked["energy"]
    if oven is not None:
        both = replace(oven, batches=oven.batches * 2)
        changes[tr("bake two batches in the oven at once")] = _again(cost, energy=both)
        row = replace(oven, loads=oven.loads * 4)
        changes[tr("bake four loads one after another")] = _again(cost, energy=row)
    rows = {
        name: (cost.serving - changed.serving, changed.serving)
        for name, changed in changes.items()
        if changed is not None and changed.serving < cost.serving
    }
    order = sorted(rows, key=lambda name: -rows[name][0].amount)
    table = {
        column: pd.Series([rows[name][at] for name in order], dtype=object)
        for at, column in enumerate(("saves", "serving"))
    }
    return pd.DataFrame(table).set_index(pd.Index(order, name="change", dtype=object))


def _again(cost_: Cost, **changes) -> Cost | None:
    """The same cost with something asked otherwise; None where nothing then has a price."""
    asked = {**cost_.asked, "today": cost_.today, **changes}
    try:
        found = cost(cost_.kit, cost_.recipe, **asked)
    except KitchenError:
        return None
    return replace(found, counted=cost_.counted)


def cheapest_of(kit, recipes, *, by: str = "serving", **how) -> pd.DataFrame:
    """Recipes by what they cost.

    Parameters
    ----------
    kit : Kit
    recipes : iterable of Recipe or str
        Or their keys or names.
    by : {"serving", "per_100g"}
    **how
        As for `kitchenkit.costs.cost`.

    Returns
    -------
    DataFrame
        Index: recipe's name; the cheapest first, and those with missing prices last, however little
        the rest of them costs. Columns: ``serving``, ``per_100g``, ``batch`` (`Money`; None where
        nothing has a price) and ``missing``.
    """
    if by not in ("serving", "per_100g"):
        raise KitchenError(f"Sort by serving or per_100g, not by {by!r}.")
    rows = []
    for recipe in recipes:
        recipe = kit.recipes[recipe] if isinstance(recipe, str) else recipe
        try:
            found = cost(kit, recipe, **how)
        except UnpricedError as error:
            rows.append((recipe.name, None, None, None, error.missing))
        else:
            rows.append((recipe.name, found.serving, found.per_100g, found.batch, found.missing))
    at = 1 if by == "serving" else 2
    rows.sort(key=lambda row: (row[at] is None, bool(row[4]), row[at].amount if row[at] else 0))
    columns = ["recipe", "serving", "per_100g", "batch", "missing"]
    return pd.DataFrame(rows, columns=columns).set_index("recipe")
