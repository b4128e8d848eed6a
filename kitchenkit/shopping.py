"""What to buy for several recipes: whole packages, by aisle, as few and as cheap as can be."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from decimal import ROUND_FLOOR, Decimal
from functools import cached_property
from numbers import Real

import pandas as pd

from kitchenkit.costs import STALE_DAYS, market_on, say_days, say_package, to_choose_from
from kitchenkit.errors import KitchenError
from kitchenkit.ingredients import Ingredient
from kitchenkit.language import join_and, mark, tr, trn
from kitchenkit.money import Money, measured
from kitchenkit.recipe import Recipe
from kitchenkit.saying import say_both, say_measure
from kitchenkit.shelf import plain
from kitchenkit.units import Q, read_measure

PREFER = ("money", "leftovers")
AISLES = (
    mark("baking shelf"),
    mark("spices and flavourings"),
    mark("oil, butter and other fats"),
    mark("dairy and eggs"),
    mark("vegetables and fruit"),
    mark("dried fruit, nuts and seeds"),
    mark("drinks"),
)
_AISLE_OF = {
    **dict.fromkeys(("flour", "grain", "starch", "sugar", "leavening", "salt"), AISLES[0]),
    **dict.fromkeys(("chocolate",), AISLES[0]),
    **dict.fromkeys(("spice", "flavouring"), AISLES[1]),
    "fat": AISLES[2],
    **dict.fromkeys(("dairy", "egg", "cheese"), AISLES[3]),
    **dict.fromkeys(("fruit", "vegetable"), AISLES[4]),
    **dict.fromkeys(("nut", "seed"), AISLES[5]),
    "liquid": AISLES[6],
}
_DRIED = 0.30  # less water than this and fruit stands with the dried ones; fresh has over 0.7
# Sums of packages are done in whole micrograms, and a need is met to one in ten thousand million:
# what is less is the noise of a measure turned into grams.
_MICRO = 10**6
_NOISE = Decimal("1e-10")


def aisle(item: Ingredient) -> str:
    """Where a shop keeps an ingredient: one of `AISLES`.

    Parameters
    ----------
    item : Ingredient
    """
    if item.group == "fruit" and item.composition.get("water", 1.0) < _DRIED:
        return AISLES[5]
    return _AISLE_OF.get(item.group, AISLES[0])


_LINE_COLUMNS = ["aisle", "need_g", "buy_g", "have_g", "bought_g", "left_g", "left", "pay"]
_PACKAGE_COLUMNS = [
    *("aisle", "ingredient", "place", "package", "packages", "price", "pay", "date", "stale")
]


@dataclass
class _Row:
    """What is needed of one ingredient, or of several out of one package; grams, mostly as bought.

    `pay` is None while no price is known.
    """

    items: list[Ingredient]
    edible: Decimal
    need: Decimal
    at_home: Decimal
    share: Decimal
    pay: Money | None = None
    bought: Decimal = Decimal(0)

    @property
    def name(self) -> str:
        return ", ".join(item.name for item in self.items)

    @property
    def said(self) -> str:
        """Its name in the reader's language."""
        return ", ".join(tr(item.name) for item in self.items)

    @property
    def aisle(self) -> str:
        return aisle(self.items[0])

    def told(self) -> dict:
        """The row as `ShoppingList.lines` has it."""
        left = max(0.0, float(self.at_home + self.bought - self.need))
        return {
            "ingredient": self.name,
            "aisle": self.aisle,
            "need_g": float(self.edible),
            "buy_g": float(self.need),
            "have_g": float(self.at_home),
            "bought_g": float(self.bought),
            "left_g": left,
            "left": _left_words(self.items[0], left, float(self.share)),
        }


@dataclass(frozen=True)
class ShoppingList:
    """What to buy, where, and what stays in the cupboard afterwards.

    Attributes
    ----------
    rows, bought : tuple
        What `lines` and `packages` are made of.
    paid : Money or None
        For all packages; None where nothing is bought.
    missing : tuple of str
        What has no price and is in no sum: while there is any, `paid` is a least sum.
    stale : tuple of str
        What is bought at an old price.
    prefer, place : str
    today : datetime.date
    """

    rows: tuple[_Row, ...] = field(repr=False)
    bought: tuple[dict, ...] = field(repr=False)
    paid: Money | None
    missing: tuple[str, ...]
    stale: tuple[str, ...]
    prefer: str
    place: str
    today: datetime.date

    @cached_property
    def packages(self) -> pd.DataFrame:
        """A row for each size of package to buy, by aisle.

        Columns: ``aisle``, ``ingredient``, ``place``, ``package``, ``packages`` (how many),
        ``price`` (`Money` for one), ``pay`` (`Money`), ``date``, ``stale``.
        """
        table = pd.DataFrame(list(self.bought), columns=_PACKAGE_COLUMNS)
        for column in ("price", "pay"):
            table[column] = pd.Series([one[column] for one in self.bought], dtype=object)
        return table

    @cached_property
    def lines(self) -> pd.DataFrame:
        """What is needed, bought and left of each ingredient.

        Index: ingredient (several that come out of one package are one line). Columns: ``aisle``,
        ``need_g`` (edible), ``buy_g`` (as bought, by the yield), ``have_g`` (as bought),
        ``bought_g``, ``left_g`` (as bought), ``left`` (in words), ``pay`` (`Money`; None where
        there is no price).
        """
        made = [row.told() for row in self.rows]
        table = pd.DataFrame(made, columns=["ingredient", *_LINE_COLUMNS]).set_index("ingredient")
        table["pay"] = pd.Series([row.pay for row in self.rows], table.index, dtype=object)
        return table

    @property
    def places(self) -> tuple[str, ...]:
        """The shops to go to, in the order of the list."""
        return tuple(dict.fromkeys(one["place"] for one in self.bought))

    @property
    def dates(self) -> str:
        """When the prices were noted."""
        return say_days(one["date"] for one in self.bought)

    def by_aisle(self) -> dict[str, pd.DataFrame]:
        """The packages of each aisle that there is anything to fetch from."""
        found = dict(iter(self.packages.groupby("aisle", sort=False)))
        return {name: found[name] for name in AISLES if name in found}

    def __str__(self) -> str:
        if self.paid is None:
            said = [tr("Nothing has to be bought.")] if not self.missing else []
        else:
            many = sum(one["packages"] for one in self.bought)
            paid = self.at_least(with_code(self.paid))
            shops = join_and(tr(place) for place in self.places)
            said = [
                trn(
                    "{n} package for {sum}, at {shops}, by prices of {dates}.",
                    "{n} packages for {sum}, at {shops}, by prices of {dates}.",
                    many,
                    sum=paid,
                    shops=shops,
                    dates=self.dates,
                )
            ]
        if self.missing:
            names = ", ".join(map(self.called, self.missing))
            said.append(tr("No price is known for {names}: look for it in the shop.", names=names))
        if self.stale:
            names = ", ".join(map(self.called, self.stale))
            said.append(tr("Old prices: {names}.", names=names))
        return " ".join(said)

    def called(self, name: str) -> str:
        """What a line or a package is called, in the reader's language.

        Parameters
        ----------
        name : str
            As in the index of `lines`.
        """
        return next((row.said for row in self.rows if row.name == name), tr(name))

    def at_least(self, money) -> str:
        """A sum of this list in words: a least one where something has no price.

        Parameters
        ----------
        money : Money or str
        """
        return tr("at least {sum}", sum=money) if self.missing else str(money)


def with_code(money: Money) -> str:
    """A sum with its currency's letters, unless its sign has them: ``"$2.69 USD"``, ``"US$2.69"``.

    Parameters
    ----------
    money : Money
    """
    shown = str(money)
    return shown if money.currency[:2] in shown else f"{shown} {money.currency}"


def shopping_list(
    kit,
    recipes: Iterable,
    on=None,
    *,
    place: str = "cheapest",
    prefer: str = "money",
    have: Mapping | None = None,
    stale_days: int = STALE_DAYS,
) -> ShoppingList:
    """Whole packages for some recipes: the least money, or the least left over.

    Parameters
    ----------
    kit : Kit
    recipes : iterable of Recipe, or of (Recipe, float)
        A recipe alone, or with how many times it is made.
    on : date or str, optional
        The day of shopping: later prices are left out, and ages are counted to it; today when
        left out.
    place : str
        ``"cheapest"``: each package wherever it is best; or the name of the one shop to go to.
    prefer : {"money", "leftovers"}
        What to make least; between equals, the other decides, and then the fewer packages.
    have : mapping, optional
        What is in the cupboard: ``{"flour": "2 lb", "eggs": "4 eggs"}``, as bought; pieces count
        by what can be eaten of them.
    stale_days : int
        Age from which a price is flagged; fresh prices go before stale ones.

    Returns
    -------
    ShoppingList

    Raises
    ------
    KitchenError
        If there is no recipe, a shop or preference is unknown, or currencies are mixed.

    Notes
    -----
    For each ingredient the packages are a small whole-number problem: the least sum of prices (or
    of weights) of packages that together weigh no less than what is needed. It is solved exactly,
    by keeping for every weight that packages can make up the cheapest way to make it up.
    """
    return shopping_trips(
        kit, [recipes], on, place=place, prefer=prefer, have=have, stale_days=stale_days
    )[0]


def shopping_trips(
    kit,
    trips: Iterable[Iterable],
    on=None,
    *,
    place: str = "cheapest",
    prefer: str = "money",
    have: Mapping | None = None,
    stale_days: int = STALE_DAYS,
) -> list[ShoppingList]:
    """One list after another: each begins with what the trips before left over.

    Parameters
    ----------
    kit : Kit
    trips : iterable of iterables
        For each trip its recipes, as for `shopping_list`.
    on, place, prefer, have, stale_days
        As for `shopping_list`; the prices are those of one day.

    Returns
    -------
    list of ShoppingList

    Raises
    ------
    KitchenError
        As `shopping_list` does.
    """
    if prefer not in PREFER:
        raise KitchenError(
            tr(
                "Prefer {prefer}? Choose one of: {known}.",
                prefer=f"{prefer!r}",
                known=", ".join(PREFER),
            )
        )
    if place == "mean":
        raise KitchenError(
            tr("Nobody buys at the mean of the shops. Choose cheapest, or one shop.")
        )
    market = market_on(kit, place, on, stale_days)
    shared = _shared(kit.prices)
    held = {}
    for name, amount in (have or {}).items():
        item = kit.ingredients[name]
        group = shared.get(item.key, item.key)
        held[group] = held.get(group, Decimal(0)) + _held_grams(item, amount, market)
    return [_shop(market, recipes, held, shared, prefer) for recipes in trips]


def _shop(market, recipes, held: dict[str, Decimal], shared, prefer: str) -> ShoppingList:
    """One trip; what it leaves over stays in `held`, by group, in grams as bought."""
    rows, bought = [], []
    for group, (items, edible, need) in _groups(_needs(recipes, market), shared).items():
        offers = to_choose_from(_offers_of(items, market), market.place)
        at_home = held.pop(group, Decimal(0))
        row = _Row(items, edible, need, at_home, market.share(items[0]))
        rows.append(row)
        if offers:
            nothing = offers[0].price.money * 0
            # What comes from the tap needs no package, and nobody carries it home.
            tap = not offers[0].price.money
            chosen = [] if tap else _packages(need - at_home, offers, prefer)
            row.pay = sum((offer.price.money * many for offer, many in chosen), nothing)
            row.bought = need if tap else sum((o.bought * n for o, n in chosen), Decimal(0))
            bought += [_package(row, offer, many) for offer, many in chosen]
        left = at_home + row.bought - need
        if left > 0:
            held[group] = left
    return _list(rows, bought, prefer, market)


def _held_grams(item: Ingredient, amount, market) -> Decimal:
    """What is in the cupboard, in grams as bought."""
    amount = read_measure(amount) if isinstance(amount, str) else amount
    grams = measured(item.weight(amount).m_as("g"))
    return grams / market.share(item) if amount.check("[count]") else grams


def _needs(recipes, market) -> dict[str, list]:
    """Key → ingredient, edible grams and grams as bought, of all recipes together."""
    needs: dict[str, list] = {}
    count = 0
    for made in recipes:
        recipe, times = made if isinstance(made, tuple) and len(made) == 2 else (made, 1)
        if not isinstance(recipe, Recipe) or not (isinstance(times, Real) and times > 0):
            raise KitchenError(
                f"{made!r} is no recipe. Give recipes, each alone or with how many times it is made"
            )
        count += 1
        for line in recipe.lines:
            item = line.ingredient
            grams = measured(line.weight.m_as("g") * times)
            # What a recipe squeezes or trims further is bought as the kit knows it.
            as_bought = market.kit.ingredients.get(item.key, item)
            found = needs.setdefault(item.key, [as_bought, Decimal(0), Decimal(0)])
            found[1] += grams
            found[2] += grams / market.share(item)
    if not count:
        raise KitchenError(tr("There is nothing to shop for. Give at least one recipe."))
    return needs


def _shared(prices) -> dict[str, str]:
    """Ingredient → its group: those out of one package have one and the same."""
    by_row: dict[int, list[str]] = {}
    for listed in prices.values():
        for price in listed:
            if price.row is not None:
                by_row.setdefault(price.row, []).append(listed.key)
    group = {listed.key: listed.key for listed in prices.values()}
    for first, *others in by_row.values():
        for other in others:
            old, new = group[other], group[first]
            if old != new:
                group = {key: new if its == old else its for key, its in group.items()}
    return group


def _groups(needs: dict[str, list], shared: dict[str, str]) -> dict[str, list]:
    """Group → ingredients, edible grams and grams as bought of all that is out of one package."""
    groups: dict[str, list] = {}
    for item, edible, need in needs.values():
        found = groups.setdefault(shared.get(item.key, item.key), [[], Decimal(0), Decimal(0)])
        found[0].append(item)
        found[1] += edible
        found[2] += need
    return groups


def _offers_of(items: list[Ingredient], market) -> list:
    """What any of a group is sold as: a package may be noted for one of them alone."""
    latest: dict = {}
    every = (offer for item in items for offer in market.offers(item))
    for offer in sorted(every, key=lambda offer: offer.price.date):
        latest[plain(offer.price.place), round(offer.bought, 6)] = offer
    return list(latest.values())


def _packages(need: Decimal, offers, prefer: str) -> list[tuple]:
    """How many of each offer, exactly the best by `prefer`."""
    goal = int((need * _MICRO * (1 - _NOISE)).to_integral_value(ROUND_FLOOR))
    if goal <= 0:
        return []
    # The same size at a higher price is never part of a best choice.
    by_size: dict[int, object] = {}
    for offer in sorted(offers, key=lambda o: (o.price.money.amount, o.price.place)):
        by_size.setdefault(int(offer.bought * _MICRO), offer)
    sizes = sorted(by_size, reverse=True)
    counts = _least(goal, [(s, by_size[s].price.money.amount) for s in sizes], prefer)
    return [(by_size[s], n) for s, n in zip(sizes, counts, strict=True) if n]


def _least(goal: int, offers: list[tuple[int, Decimal]], prefer: str) -> tuple[int, ...]:
    """Counts of the packages that reach `goal`, with the least paid or the least over.

    Parameters
    ----------
    goal : int
        Weight to reach, above 0.
    offers : list of (int, Decimal)
        Weight and price of each package, both above 0.
    prefer : {"money", "leftovers"}
    """
    # No more need be paid than by one size alone; for the least left over that is no bound.
    most = min(price * -(-goal // size) for size, price in offers) if prefer == "money" else None
    best_rate = min(price / size for size, price in offers)
    reached: dict[int, tuple] = {0: (Decimal(0), 0, ())}
    for size, price in offers:
        grown: dict[int, tuple] = {}
        for start, (paid, many, counts) in reached.items():
            for n in range(max(0, -(-(goal - start) // size)) + 1):
                weight, cost = start + n * size, paid + n * price
                # A hair's breadth of slack, as a rate is a rounded quotient.
                ahead = max(0, goal - weight) * best_rate * (1 - _NOISE)
                if most is not None and cost + ahead > most:
                    break
                way = (cost, many + n, (*counts, n))
                if weight not in grown or way < grown[weight]:
                    grown[weight] = way
        reached = grown
    ways = ((way[0], weight, *way[1:]) for weight, way in reached.items() if weight >= goal)
    if prefer == "leftovers":
        return min(ways, key=lambda way: (way[1], way[0], *way[2:]))[-1]
    return min(ways)[-1]


def _left_words(item: Ingredient, left_g: float, share: float) -> str:
    """What is left, by weight as bought and in the measure of a household."""
    if left_g < 0.5:
        return tr("nothing")
    edible = left_g * share
    if item.each_kg:
        pieces = edible / item.each_kg / 1000
        return tr(
            "{weight}, about {n} pieces",
            weight=say_both(Q(left_g, "g")),
            n=say_measure(Q(pieces, "each")),
        )
    volume = say_measure(item.volume(Q(edible, "g")), within=0.05)
    return tr("{weight}, about {volume}", weight=say_both(Q(left_g, "g")), volume=volume)


def _package(row: _Row, offer, many: int) -> dict:
    price = offer.price
    return {
        "aisle": row.aisle,
        "ingredient": row.name,
        "place": price.place,
        "package": say_package(price.amount),
        "packages": many,
        "price": price.money,
        "pay": price.money * many,
        "date": price.date,
        "stale": offer.stale,
    }


def _list(rows: list[_Row], bought: list[dict], prefer: str, market) -> ShoppingList:
    order = {name: at for at, name in enumerate(AISLES)}
    rows.sort(key=lambda row: order[row.aisle])
    bought.sort(key=lambda package: order[package["aisle"]])
    paid = [package["pay"] for package in bought]
    return ShoppingList(
        rows=tuple(rows),
        bought=tuple(bought),
        paid=sum(paid) if paid else None,
        missing=tuple(row.name for row in rows if row.pay is None and row.need > row.at_home),
        stale=tuple(dict.fromkeys(p["ingredient"] for p in bought if p["stale"])),
        prefer=prefer,
        place=market.place,
        today=market.today,
    )
