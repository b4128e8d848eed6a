"""The panel for lesson 05: what a serving costs, and whether baking it saves anything."""

from __future__ import annotations

import ipywidgets as widgets

from kitchenkit.charts.cost import CostChart, HistoryChart
from kitchenkit.costs import Cost, OvenUse, cost, places, tariff
from kitchenkit.errors import KitchenError
from kitchenkit.history import cost_history, price_history
from kitchenkit.money import say_money
from kitchenkit.panels.controls import dropdown, number, slider, text
from kitchenkit.panels.scale import RecipePanel
from kitchenkit.savings import compare, what_matters
from kitchenkit.saying import say_both

_AS_NOTED = "as in the tables"


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

    title = "What does a serving cost?"
    cautions = (
        "Prices, shops and tariffs of the demo are invented. Put your own into data/prices.csv.",
        "Money is one reason to bake. Time, skill and an oven are not free for everyone.",
    )

    def __init__(self, kit, recipe: str | None = None, today=None, snack: str | None = None):
        if not kit.snacks:
            raise KitchenError("There is nothing to compare with. Add a snack to snacks.csv.")
        self.today = today
        self._snack = kit.snacks[snack if snack is not None else next(iter(kit.snacks))]
        super().__init__(kit, recipe)

    def make_chart(self) -> CostChart:
        return CostChart()

    def make_controls(self) -> dict[str, widgets.ValueWidget]:
        lines = [line.ingredient.name for line in self.recipe.lines]
        shops = [("the cheapest shop for each", "cheapest"), ("the mean of the shops", "mean")]
        wrappers = [("nothing", ""), *((p.name, p.name) for p in self.kit.packaging.values())]
        fuels = [("not counted", ""), ("electric", "electricity"), ("gas", "gas")]
        self._currency = self._snack.money.currency
        unit = self._currency
        return {
            "pieces": slider("Cut the batch into (pieces)", self.recipe.servings, 4, 48, 1),
            "snack": dropdown(
                "Compare with", [(s.name, k) for k, s in self.kit.snacks.items()], self._snack.key
            ),
            "per_week": slider("Servings a week", 5, 1, 40, 1),
            "place": dropdown("Buy at", [*shops, *((p, p) for p in places(self.kit))], "cheapest"),
            "item": dropdown("Change the price of", [_AS_NOTED, *lines], _AS_NOTED),
            "price": number(f"Its price ({unit})", 3.0, 0.01, 200, 0.01),
            "package": text("for a package of", "5 lb"),
            "edible": slider("Edible part of it (% of what is bought)", 100, 20, 100, 1),
            "wrap": dropdown("Wrap each piece in", wrappers, ""),
            "fuel": dropdown("Oven", fuels, "electricity"),
            "minutes": slider("Oven time, without warming up (min)", 60, 10, 120, 5),
            "hour": number(f"An hour of your time is worth ({unit}); 0: not counted", 0, 0, 100, 1),
            "work": slider("Minutes of work", 25, 5, 90, 5),
        }

    def refresh(self) -> None:
        value = self.values()
        own = value["item"] != _AS_NOTED
        for name in ("price", "package", "edible"):
            self.controls[name].layout.display = "" if own else "none"
        self.controls["minutes"].layout.display = "" if value["fuel"] else "none"
        self.controls["work"].layout.display = "" if value["hour"] else "none"
        found = cost(self.kit, self.recipe, value["pieces"], **self._asked(value, own))
        against = compare(found, value["snack"], per_week=value["per_week"])
        matters = what_matters(found)
        self._draw(found, against, matters)
        parts, whole = found.serving_parts, found.parts
        rows = [
            [part, _fine(parts[part]), str(whole[part]), f"{_share(parts[part], found.serving)}"]
            for part in parts
            if parts[part]
        ]
        weight = say_both(found.serving_weight)
        rows += [
            ["one serving", _fine(found.serving), str(found.batch), weight],
            ["the same weight bought", _fine(against.bought_price()), "", weight],
            ["one piece bought", _fine(against.bought_price("equal pieces")), "", ""],
        ]
        saved = against.table.loc["equal weight"]
        rows += [
            ["saved in a week", str(saved["week"]), "", f"{value['per_week']} servings"],
            ["saved in the term", str(saved["term"]), "", f"{against.weeks:g} weeks"],
        ]
        self.show(
            f"A serving of {weight} costs {_fine(found.serving)} to bake, at prices of "
            f"{found.dates}, {self._where()}. {against.say()}",
            ["part", "one serving", "the batch", "share or weight"],
            rows,
            self._notes(found, against, matters),
        )

    def _asked(self, value: dict, own: bool) -> dict:
        asked = {"place": value["place"], "today": self.today}
        if own:
            if not value["package"].strip():
                raise KitchenError("Write the package that the price is for, like 5 lb.")
            asked["prices"] = {
                value["item"]: (f"{value['price']:.2f} {self._currency}", value["package"])
            }
            asked["yields"] = {value["item"]: value["edible"] / 100}
        if value["wrap"]:
            asked["packaging"] = [value["wrap"]]
        if value["fuel"]:
            asked["energy"] = OvenUse(tariff(self.kit, value["fuel"], self.today), value["minutes"])
        if value["hour"]:
            asked["time_value"] = (f"{value['hour']:.2f} {self._currency}", value["work"])
        return asked

    def _draw(self, found, against, matters) -> None:
        table = matters.tornado
        swings = [(name, float(row.low), float(row.high)) for name, row in table.head(5).iterrows()]
        self.chart.update(
            {part: float(money) for part, money in found.serving_parts.items()},
            float(against.bought_price()),
            (str(found.serving), str(against.bought_price())),
            swings,
            f"{self._currency} a serving",
        )

    def _notes(self, found, against, matters) -> list[str]:
        notes = [
            f"Prices in {self._currency}, noted {found.dates}, {self._where()}; the snack's "
            f"of {against.bought.date}, from {against.bought.place}.",
            str(matters),
        ]
        notes += price_notes(found)
        pay = found.to_buy
        notes.append(f"To buy whole packages of everything you would pay {pay} at the till.")
        return notes

    def _where(self) -> str:
        place = self.controls["place"].value
        return {
            "cheapest": "each at its cheapest shop",
            "mean": "as the mean of the shops",
        }.get(place, f"at {place}")


class HistoryPanel(RecipePanel):
    """Prices over time: one ingredient at each shop, and the serving made of all of them."""

    title = "Prices over time"
    cautions = ("The dates and prices of the demo are invented: note your own, with shop and day.",)

    def make_chart(self) -> HistoryChart:
        return HistoryChart()

    def make_controls(self) -> dict[str, widgets.ValueWidget]:
        names = [
            line.ingredient.name
            for line in self.recipe.lines
            if len(price_history(self.kit, line.ingredient.key))
        ]
        if not names:
            raise KitchenError("No ingredient of this recipe has a price. Add some to prices.csv.")
        self._costs = cost_history(self.kit, self.recipe)  # the same whatever is chosen here
        return {"item": dropdown("Ingredient", names, names[0])}

    def refresh(self) -> None:
        item = self.controls["item"].value
        prices = price_history(self.kit, item)
        costs = self._costs
        shops = {
            place: (list(rows["date"]), [float(money) for money in rows["per_100g"]])
            for place, rows in prices.groupby("place", sort=False)
        }
        serving = [float(money) for money in costs["serving"]]
        unit = costs["serving"].iloc[0].currency
        titles = (f"{item}, {unit} for 100 g", f"one serving at the cheapest shops, {unit}")
        self.chart.update(shops, (list(costs.index), serving), titles)
        first, last = costs.iloc[0], costs.iloc[-1]
        rows = [
            [f"{row.date}, {row.place}", f"{row.package} for {row.price}", _fine(row.per_100g)]
            for row in prices.sort_values(["place", "date"]).itertuples()
        ]
        rows += [[f"{day}, one serving", "", _fine(row.serving)] for day, row in costs.iterrows()]
        self.show(
            f"A serving cost {_fine(first.serving)} on {costs.index[0]} and "
            f"{_fine(last.serving)} on {costs.index[-1]}, each ingredient at its cheapest shop. "
            f"{item.capitalize()} was noted on {prices['date'].nunique()} days at "
            f"{prices['place'].nunique()} shops.",
            ["day and shop", "package", "for 100 g, or a serving"],
            rows,
        )


def price_notes(cost: Cost) -> list[str]:
    """What has no price, or an old one."""
    notes = []
    if cost.missing:
        notes.append(f"No price for {', '.join(cost.missing)}: the true cost is higher.")
    if cost.stale:
        notes.append(f"Old prices: {', '.join(cost.stale)}. Look at the shelf again.")
    return notes


def _fine(money) -> str:
    """A price with a digit more than its coins have: a slice costs tenths of a cent."""
    return say_money(money, digits=money.digits + 1)


def _share(part, whole) -> str:
    return f"{float(part) / float(whole):.0%}"
