"""The panel for lesson 05: what a serving costs, and whether baking it saves anything."""

from __future__ import annotations

import ipywidgets as widgets

from kitchenkit.charts.cost import CostChart, HistoryChart
from kitchenkit.costs import Cost, OvenUse, cost, places, tariff
from kitchenkit.errors import KitchenError
from kitchenkit.history import cost_history, price_history
from kitchenkit.language import day, mark, num, tr, trn
from kitchenkit.money import say_money
from kitchenkit.panels.controls import dropdown, number, slider, text
from kitchenkit.panels.pieces import show_if
from kitchenkit.panels.scale import RecipePanel
from kitchenkit.savings import compare, what_matters
from kitchenkit.saying import say_both

_AS_NOTED = mark("as in the tables")


class CostPanel(RecipePanel):
    """One serving in its parts, beside the shop's snack; every price can be changed.

    Parameters
    ----------
    kit : Kit
    recipe : str, optional
    today : date or str, optional
        Prices of later days are left out, and ages are counted to it; today when left out.
    snack : str, optional
        Key of the bought snack to start with; the kit's first when left out.

    Raises
    ------
    KitchenError
        If the kit has no snack to compare with.
    """

    title = mark("What does a serving cost?")
    cautions = (
        mark(
            "Prices, shops and tariffs of the demo are invented. Put your own into data/prices.csv."
        ),
        mark("Money is one reason to bake. Time, skill and an oven are not free for everyone."),
    )

    def __init__(self, kit, recipe: str | None = None, today=None, snack: str | None = None):
        if not kit.snacks:
            raise KitchenError(tr("There is nothing to compare with. Add a snack to snacks.csv."))
        self.today = today
        self._snack = kit.snacks[snack if snack is not None else next(iter(kit.snacks))]
        super().__init__(kit, recipe)

    def make_chart(self) -> CostChart:
        return CostChart()

    def make_controls(self) -> dict[str, widgets.ValueWidget]:
        names = [_AS_NOTED, *(line.ingredient.name for line in self.recipe.lines)]
        snacks = [(tr(snack.name), key) for key, snack in self.kit.snacks.items()]
        shops = [
            (tr("the cheapest shop for each"), "cheapest"),
            (tr("the mean of the shops"), "mean"),
            *((tr(place), place) for place in places(self.kit)),
        ]
        wrappers = [
            (tr("nothing"), ""),
            *((tr(p.name), p.name) for p in self.kit.packaging.values()),
        ]
        fuels = [(tr("not counted"), ""), (tr("electric"), "electricity"), (tr("gas"), "gas")]
        unit = self._currency = self._snack.money.currency
        return {
            "pieces": slider(tr("Cut the batch into (pieces)"), self.recipe.servings, 4, 48, 1),
            "snack": dropdown(tr("Compare with"), snacks, self._snack.key),
            "per_week": slider(tr("Servings a week"), 5, 1, 40, 1),
            "place": dropdown(tr("Buy at"), shops, "cheapest"),
            "item": dropdown(
                tr("Change the price of"), [(tr(name), name) for name in names], _AS_NOTED
            ),
            "price": number(tr("Its price ({unit})", unit=unit), 3.0, 0.01, 200, 0.01),
            "package": text(tr("for a package of"), "5 lb"),
            "edible": slider(tr("Edible part of it (% of what is bought)"), 100, 20, 100, 1),
            "wrap": dropdown(tr("Wrap each piece in"), wrappers, ""),
            "length": text(tr("Length of it for each piece"), "12 in"),
            "fuel": dropdown(tr("Oven"), fuels, "electricity"),
            "minutes": slider(tr("Oven time, without warming up (min)"), 60, 10, 120, 5),
            "hour": number(
                tr("An hour of your time is worth ({unit}); 0: not counted", unit=unit),
                0,
                0,
                100,
                1,
            ),
            "work": slider(tr("Minutes of work"), 25, 5, 90, 5),
        }

    def refresh(self) -> None:
        value = self.values()
        own = value["item"] != _AS_NOTED
        for name in ("price", "package", "edible"):
            show_if(self.controls[name], own)
        show_if(self.controls["length"], self._by_length(value["wrap"]))
        show_if(self.controls["minutes"], value["fuel"])
        show_if(self.controls["work"], value["hour"])
        found = cost(self.kit, self.recipe, value["pieces"], **self._asked(value, own))
        against = compare(found, value["snack"], per_week=value["per_week"])
        matters = what_matters(found)
        self._draw(found, against, matters)
        parts, whole = found.serving_parts, found.parts
        rows = [
            [tr(part), _fine(parts[part]), str(whole[part]), _share(parts[part], found.serving)]
            for part in parts
            if parts[part]
        ]
        weight = say_both(found.serving_weight)
        rows += [
            [tr("one serving"), _fine(found.serving), str(found.batch), weight],
            [tr("the same weight bought"), _fine(against.bought_price()), "", weight],
            [tr("one piece bought"), _fine(against.bought_price("equal pieces")), "", ""],
        ]
        rows += [
            [
                tr("saved in a week"),
                str(against.week()),
                "",
                trn("{n} serving", "{n} servings", value["per_week"]),
            ],
            [
                tr("saved in the term"),
                str(against.term()),
                "",
                trn("{n} week", "{n} weeks", against.weeks),
            ],
        ]
        self.show(
            tr(
                "A serving of {weight} costs {money} to bake, at prices of {dates}, {where}. "
                "{verdict}",
                weight=weight,
                money=_fine(found.serving),
                dates=found.dates,
                where=self._where(),
                verdict=against.say(),
            ),
            [tr("part"), tr("one serving"), tr("the batch"), tr("share or weight")],
            rows,
            self._notes(found, against, matters),
        )

    def _asked(self, value: dict, own: bool) -> dict:
        asked = {"place": value["place"], "today": self.today}
        if own:
            if not value["package"].strip():
                raise KitchenError(tr("Write the package that the price is for, like 5 lb."))
            asked["prices"] = {
                value["item"]: (f"{value['price']:.2f} {self._currency}", value["package"])
            }
            asked["yields"] = {value["item"]: value["edible"] / 100}
        if self._by_length(value["wrap"]):
            if not value["length"].strip():
                raise KitchenError(tr("Write what length each piece takes, like 12 in."))
            asked["packaging"] = [(value["wrap"], value["length"])]
        elif value["wrap"]:
            asked["packaging"] = [value["wrap"]]
        if value["fuel"]:
            asked["energy"] = OvenUse(tariff(self.kit, value["fuel"], self.today), value["minutes"])
        if value["hour"]:
            asked["time_value"] = (f"{value['hour']:.2f} {self._currency}", value["work"])
        return asked

    def _by_length(self, wrap: str) -> bool:
        """Whether it comes off a roll, as foil does."""
        return bool(wrap) and not self.kit.packaging[wrap].rows[0].by_piece

    def _draw(self, found, against, matters) -> None:
        swings = [
            (tr(name), float(bar["low"]), float(bar["high"]))
            for name, bar in list(matters.bars.items())[: self.chart.swings_count]
        ]
        self.chart.update(
            {part: float(money) for part, money in found.serving_parts.items()},
            float(against.bought_price()),
            (str(found.serving), str(against.bought_price())),
            swings,
            tr("{unit} a serving", unit=self._currency),
        )

    def _notes(self, found, against, matters) -> list[str]:
        notes = [
            tr(
                "Prices in {unit}, noted {dates}, {where}; the snack's of {day}, from {place}.",
                unit=self._currency,
                dates=found.dates,
                where=self._where(),
                day=day(against.bought.date),
                place=tr(against.bought.place),
            ),
            str(matters),
        ]
        notes += price_notes(found)
        notes.append(
            tr(
                "To buy whole packages of everything you would pay {sum} at the till.",
                sum=found.to_buy,
            )
        )
        return notes

    def _where(self) -> str:
        place = self.controls["place"].value
        if place == "cheapest":
            return tr("each at its cheapest shop")
        if place == "mean":
            return tr("as the mean of the shops")
        return tr("at {place}", place=tr(place))


class HistoryPanel(RecipePanel):
    """Prices over time: one ingredient at each shop, and the serving made of all of them."""

    title = mark("Prices over time")
    cautions = (
        mark("The dates and prices of the demo are invented: note your own, with shop and day."),
    )

    def make_chart(self) -> HistoryChart:
        return HistoryChart()

    def make_controls(self) -> dict[str, widgets.ValueWidget]:
        items = [line.ingredient for line in self.recipe.lines]
        names = [(tr(i.name), i.name) for i in items if self.kit.prices.get(i.key)]
        if not names:
            raise KitchenError(
                tr("No ingredient of this recipe has a price. Add some to prices.csv.")
            )
        # The same whatever is chosen here.
        self._costs, self._left_out = _as_complete_as_the_last(cost_history(self.kit, self.recipe))
        return {"item": dropdown(tr("Ingredient"), names, names[0][1])}

    def refresh(self) -> None:
        item = self.controls["item"].value
        prices = price_history(self.kit, item)
        costs = self._costs
        shops = {
            tr(place): (list(rows["date"]), [float(money) for money in rows["per_100g"]])
            for place, rows in prices.groupby("place", sort=False)
        }
        serving = [float(money) for money in costs["serving"]]
        unit = costs["serving"].iloc[0].currency
        titles = (
            tr("{item}, {unit} for 100 g", item=tr(item), unit=unit),
            tr("one serving at the cheapest shops, {unit}", unit=unit),
        )
        self.chart.update(shops, (list(costs.index), serving), titles)
        first, last = costs.iloc[0], costs.iloc[-1]
        rows = [
            [
                f"{day(row.date)}, {tr(row.place)}",
                tr("{package} for {money}", package=row.package, money=row.price),
                _fine(row.per_100g),
            ]
            for row in prices.sort_values(["place", "date"]).itertuples()
        ]
        rows += [
            [tr("{day}, one serving", day=day(when)), "", _fine(row.serving)]
            for when, row in costs.iterrows()
        ]
        self.show(
            tr(
                "A serving cost {first} on {first_day} and {last} on {last_day}, each ingredient "
                "at its cheapest shop. {item} was noted on {days} at {shops}.",
                first=_fine(first.serving),
                first_day=day(costs.index[0]),
                last=_fine(last.serving),
                last_day=day(costs.index[-1]),
                item=tr(item).capitalize(),
                days=trn("{n} day", "{n} days", prices["date"].nunique()),
                shops=trn("{n} shop", "{n} shops", prices["place"].nunique()),
            ),
            [tr("day and shop"), tr("package"), tr("for 100 g, or a serving")],
            rows,
            self._notes(len(shops)),
        )

    def _notes(self, shops: int) -> list[str]:
        notes = []
        if names := ", ".join(map(tr, self._costs["missing"].iloc[-1])):
            notes.append(tr("No price for {names}: the true cost is higher.", names=names))
        if self._left_out:
            first = day(self._costs.index[0])
            notes.append(
                tr(
                    "Before {day} a price was missing, so a serving is told from then on.",
                    day=first,
                )
            )
        if shops > self.chart.shops_count:
            notes.append(
                tr("The picture shows {n} shops; all are in the table.", n=self.chart.shops_count)
            )
        return notes


def _as_complete_as_the_last(costs):
    """The days on which no more was without a price than on the last, and how many are left out."""
    last = set(costs["missing"].iloc[-1])
    whole = costs[[set(missing) <= last for missing in costs["missing"]]]
    return whole, len(costs) - len(whole)


def price_notes(cost: Cost) -> list[str]:
    """What has no price, or an old one."""
    notes = []
    if cost.missing:
        names = ", ".join(map(tr, cost.missing))
        notes.append(tr("No price for {names}: the true cost is higher.", names=names))
    if cost.stale:
        names = ", ".join(map(tr, cost.stale))
        notes.append(tr("Old prices: {names}. Look at the shelf again.", names=names))
    return notes


def _fine(money) -> str:
    """A price with a digit more than its coins have: a slice costs tenths of a cent."""
    return say_money(money, digits=money.digits + 1)


def _share(part, whole) -> str:
    return tr("{most}%", most=num(float(part) / float(whole) * 100))
