"""A month of snacks from one freezer: when to bake what, what to pay, and whether it is worth it.

Everything here stands on the calculations of the lessons before: flavours, the freezer plan,
keeping times, pans, minutes, whole packages, and the shop's snack.
"""

from __future__ import annotations

import datetime
import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import pandas as pd

from kitchenkit import language
from kitchenkit.baking import BakeTime, bake_time
from kitchenkit.costs import Cost, cost, read_day
from kitchenkit.errors import KitchenError
from kitchenkit.flavours import Flavour, plain_flavour
from kitchenkit.keeping import COLD, KeepBy, keep_by
from kitchenkit.language import tr
from kitchenkit.money import Money, measured, read_money
from kitchenkit.pans import Pan
from kitchenkit.recipe import Recipe
from kitchenkit.savings import WAYS, Comparison, compare
from kitchenkit.shopping import ShoppingList, shopping_trips
from kitchenkit.stock import FreezerPlan, first_bake_day, freezer_plan
from kitchenkit.swapping import swap_pan


@dataclass(frozen=True)
class MonthBake:
    """One bake day of the plan.

    Attributes
    ----------
    date, shop_by : datetime.date
    portions : int
    made : dict of str to int
        Flavour's name and how many batches of it.
    pans : dict of str to (int, BakeTime)
        Flavour's name; how many pans its batches fill, and how long one bakes.
    shopping : ShoppingList
        What to buy for it, after what earlier trips left in the cupboard.
    """

    date: datetime.date
    shop_by: datetime.date
    portions: int
    made: dict[str, int]
    pans: dict[str, tuple[int, BakeTime]] = field(repr=False)
    shopping: ShoppingList = field(repr=False)


@dataclass(frozen=True)
class MonthPlan:
    """A month, planned.

    Attributes
    ----------
    plan : FreezerPlan
    bakes : tuple of MonthBake
    budget : Money or None
    asked : dict
        What it was worked out from.
    pantry : _Pantry
        What stays the same, for `again`.
    """

    plan: FreezerPlan = field(repr=False)
    bakes: tuple[MonthBake, ...]
    budget: Money | None
    asked: dict = field(repr=False)
    pantry: _Pantry = field(repr=False, compare=False)

    def again(self, **changed) -> MonthPlan:
        """The same month with something changed.

        Parameters
        ----------
        **changed
            As for `plan_month`.
        """
        asked = self.asked | changed
        same = all(asked[name] == self.asked[name] for name in _Pantry.asked)
        same = same and self.pantry.language == language.current()
        return _plan(self.pantry.kit, self.pantry if same else None, asked)

    @property
    def keep(self) -> KeepBy:
        """Of the flavour that keeps least."""
        return self.pantry.kept

    @property
    def cautions(self) -> tuple[str, ...]:
        """What its flavours ask to be careful of."""
        return self.pantry.cautions

    @property
    def against(self) -> dict[str, Comparison]:
        """Each flavour beside the bought snack."""
        return self.pantry.against

    @property
    def costs(self) -> dict[str, Cost]:
        """What a serving of each flavour costs, used up."""
        return {name: one.cost for name, one in self.against.items()}

    @cached_property
    def money(self) -> pd.DataFrame:
        """What has been paid, and what the shop would have taken, day by day.

        Returns
        -------
        DataFrame
            Index: date. Columns: ``paid`` (at the till for whole packages, so far) and ``bought``
            (for as many snacks as were eaten so far), as floats in the plan's currency.
        """
        trips = {}
        for bake in self.bakes:
            paid = bake.shopping.paid
            day = max(bake.shop_by, self.plan.days.index[0])
            trips[day] = trips.get(day, 0.0) + (float(paid) if paid is not None else 0.0)
        days = self.plan.days
        paid = pd.Series([trips.get(day, 0.0) for day in days.index], days.index).cumsum()
        bought = days["eaten"].cumsum() * float(self.bought_each)
        return pd.DataFrame({"paid": paid, "bought": bought})

    @property
    def paid(self) -> Money:
        """At the till, for whole packages, in all."""
        return sum((b.shopping.paid for b in self.bakes if b.shopping.paid), self._nothing)

    @property
    def used(self) -> Money:
        """What the baked portions themselves cost; the rest of `paid` waits in the cupboard."""
        made = Counter()
        for bake in self.bakes:
            made.update(bake.made)
        return sum((self.costs[name].batch * many for name, many in made.items()), self._nothing)

    @cached_property
    def bought_each(self) -> Money:
        """What the shop takes instead of one portion: for the same weight, over the flavours."""
        prices = [one.bought_price(WAYS[0]) for one in self.against.values()]
        return sum(prices[1:], prices[0]) / measured(len(prices))

    @property
    def bought(self) -> Money:
        """What the shop would take for all that is eaten."""
        return self.bought_each * measured(int(self.plan.days["eaten"].sum()))

    @property
    def missing(self) -> tuple[str, ...]:
        """What has no price, so that each sum is a least one."""
        return tuple(dict.fromkeys(n for bake in self.bakes for n in bake.shopping.missing))

    @property
    def within_budget(self) -> bool | None:
        """Whether the till takes no more than the budget; None where there is none."""
        return None if self.budget is None else self.paid <= self.budget

    @property
    def _nothing(self) -> Money:
        return next(iter(self.costs.values())).batch * 0

    @property
    def advice(self) -> list[str]:
        """What to change first, in plain sentences; empty where the plan works out."""
        said = list(self.plan.messages)
        if self.within_budget is False:
            over = self.paid - self.budget
            said.append(
                tr(
                    "The till takes {over} more than the budget of {budget}.",
                    over=over,
                    budget=self.budget,
                )
            )
            each = {name: one.serving for name, one in self.costs.items()}
            dear, cheap = max(each, key=lambda n: each[n]), min(each, key=lambda n: each[n])
            if each[dear] > each[cheap]:
                said.append(
                    tr(
                        "{dear} costs {more} more a portion than {cheap}: bake that more often.",
                        dear=tr(dear).capitalize(),
                        more=each[dear] - each[cheap],
                        cheap=tr(cheap),
                    )
                )
        if self.missing:
            shopping = [bake.shopping for bake in self.bakes]
            names = dict.fromkeys(one.called(name) for one in shopping for name in one.missing)
            said.append(tr("No price for {names}: the sums are the least.", names=", ".join(names)))
        return said


def plan_month(
    kit,
    recipe: Recipe | str,
    flavours: Sequence[Flavour | str] = (),
    *,
    eaters: int,
    a_week,
    pan: Pan | str,
    room,
    portion,
    snack: str,
    budget=None,
    baking="Sun",
    most_batches: int = 2,
    spare: int = 0,
    days: int = 28,
    start=None,
    today=None,
    place: str = "cheapest",
    keeps_like: str = "muffins",
) -> MonthPlan:
    """Plan a month of snacks on a budget.

    Parameters
    ----------
    kit : Kit
    recipe : Recipe or str
        The base batter.
    flavours : sequence of Flavour or str
        Baked in turn, batch by batch; the plain base when empty.
    eaters, a_week, room, portion, baking, most_batches, spare, days, start
        As for `freezer_plan`.
    pan : Pan or str
        What the batches are baked in.
    snack : str
        The bought one to compare with.
    budget : Money or str, optional
        For all shopping of these days: ``"25 USD"``.
    today : date or str, optional
        Prices of later days are left out; today when left out.
    place : str
        As for `shopping_list`.
    keeps_like : str
        The product in keeping.csv that the plain base keeps like.

    Returns
    -------
    MonthPlan

    Raises
    ------
    KitchenError
        If a name is unknown, something eaten cannot be frozen, or a number makes no sense.
    MoneyError
        If the budget cannot be read.

    Notes
    -----
    Each trip buys whole packages for its bake, after what the trips before left over; that opened
    packages keep until then is taken for granted.
    """
    asked = {name: value for name, value in locals().items() if name not in ("kit", "asked")}
    return _plan(kit, None, asked)


class _Pantry:
    """What stays the same while eaters, days and budget change: flavours, costs, prices."""

    asked = ("recipe", "flavours", "snack", "today", "place", "keeps_like")

    def __init__(self, kit, recipe, flavours, snack, today, place, keeps_like):
        self.kit, self.place = kit, place
        self.language = language.current()  # what keeps and what fits is told in words
        self.base = kit.recipes[recipe] if isinstance(recipe, str) else recipe
        self.batch = round(self.base.servings)
        if self.batch < 1:
            raise KitchenError(tr("A batch of less than one serving cannot be planned with."))
        self.today = read_day(today)
        flavours = [kit.flavours[f] if isinstance(f, str) else f for f in flavours]
        self.flavours = flavours or [plain_flavour(self.base)]
        self.made = {f.name: f.applied_to(self.base) for f in self.flavours}
        like = [f.keeping or keeps_like for f in self.flavours]
        self.kept = min(
            (keep_by(kit, product, "freezer", self.today) for product in like),
            key=lambda one: one.days,
        )
        self.cautions = tuple(dict.fromkeys(_cautions(kit, like, self.flavours, self.made)))
        self.against = {
            name: compare(cost(kit, made.whole, place=place, today=self.today), kit.snacks[snack])
            for name, made in self.made.items()
        }
        self._pans: dict = {}

    def pans(self, name: str, times: int, pan: Pan) -> tuple[int, BakeTime]:
        """How many pans some batches of a flavour fill, and how long one bakes."""
        at = (name, times, pan)
        if at not in self._pans:
            volume = self.made[name].recipe.volume * times
            fit = swap_pan(volume, pan)
            time = bake_time(pan, volume / fit.count)
            self._pans[at] = math.ceil(fit.count / pan.wells), time
        return self._pans[at]


def _cautions(kit, like: list[str], flavours, made: dict) -> Iterator[str]:
    if any(kit.keeping[product].needs_cold for product in like):
        yield tr(COLD)
    for flavour in flavours:
        careful = made[flavour.name].cautions()
        yield from careful
        if careful and flavour.note:  # how it is frozen, as a rule
            yield f"{tr(flavour.name).capitalize()}: {tr(flavour.note)}"


def _plan(kit, pantry: _Pantry | None, asked: dict) -> MonthPlan:
    pantry = pantry or _Pantry(kit, **{name: asked[name] for name in _Pantry.asked})
    pan, start, budget = asked["pan"], asked["start"], asked["budget"]
    pan = kit.pans[pan] if isinstance(pan, str) else pan
    of_freezer = ("room", "portion", "baking", "most_batches", "spare", "days")
    plan = freezer_plan(
        asked["eaters"],
        asked["a_week"],
        batch=pantry.batch,
        keep=pantry.kept,
        start=first_bake_day(pantry.today, asked["baking"]) if start is None else start,
        **{name: asked[name] for name in of_freezer},
    )
    made, turn = [], 0
    for bake in plan.bakes.itertuples():
        many = round(bake.portions / pantry.batch)
        names = [pantry.flavours[(turn + n) % len(pantry.flavours)].name for n in range(many)]
        turn += many
        made.append(Counter(names))
    trips = shopping_trips(
        kit,
        [[(pantry.made[name].whole, times) for name, times in some.items()] for some in made],
        pantry.today,
        place=pantry.place,
    )
    bakes = tuple(
        MonthBake(
            bake.date,
            bake.shop_by,
            bake.portions,
            dict(some),
            {name: pantry.pans(name, times, pan) for name, times in some.items()},
            trip,
        )
        for bake, some, trip in zip(plan.bakes.itertuples(), made, trips, strict=True)
    )
    money = read_money(budget) if isinstance(budget, str) else budget
    return MonthPlan(plan, bakes, money, asked, pantry)
