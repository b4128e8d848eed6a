"""A recipe: its weights, its batter's volume, its baker's percentages, and its scaling."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property

import pandas as pd
import pint

from kitchenkit.errors import KitchenError
from kitchenkit.ingredients import Ingredient
from kitchenkit.language import mark, num, tr, trn
from kitchenkit.pans import Pan
from kitchenkit.saying import GOOD_ENOUGH, Spoken, say_measure
from kitchenkit.shelf import plain
from kitchenkit.units import Q, si

# Which groups of ingredients do which structural work in a batter.
ROLES = {
    mark("flour"): ("flour", "grain", "starch"),
    mark("liquid"): ("liquid", "dairy"),
    mark("egg"): ("egg",),
    mark("leavening"): ("leavening",),
    mark("fat"): ("fat",),
    mark("sugar"): ("sugar",),
    mark("salt"): ("salt",),
}
_ROLE_OF = {group: role for role, groups in ROLES.items() for group in groups}

# Air stirred into a quick-bread batter, as a share of its volume, where nobody weighed a cup of
# it: common practice, no source. A measured density always takes precedence.
_AIR = 0.08
# Rounding accepted, by group, for the sake of fewer tools. A marked cup may itself be off by 5 % in
# the trade; what carries the batter is kept well inside that.
_WITHIN = {"leavening": 0.02, "salt": 0.05, "spice": 0.05, "flavouring": 0.05}
# Whole eggs do where they are this near: by share, and for a few eggs by grams that nobody would
# leave in the shell.
_EGGS_WITHIN, _EGG_GRAMS, _FEW_EGGS_WITHIN = GOOD_ENOUGH, 2.0, 0.02
# Grams below which a home scale's 1 g step is coarser than a spoon: for what is strong in small
# amounts, and for the rest.
_SPOONED_BELOW, _SMALLEST_WEIGHABLE = 25.0, 10.0
_BOWL_ROOM = 2.0  # bowl volume over batter volume, so that stirring does not spill; common practice
_TOO_COARSE = 0.10  # a rounding of leavening or salt beyond this is said
_TOO_MUCH = mark(
    "Too little {ingredient} to measure well: {said} is {off} more than wanted. Make a larger "
    "batch if you can."
)
_TOO_LITTLE = mark(
    "Too little {ingredient} to measure well: {said} is {off} less than wanted. Make a larger "
    "batch if you can."
)
_EGG_SHIFT = 0.25  # a batch is not changed by more than this for the sake of whole eggs
_LARGE_BATCH = 4.0  # beyond this, bakers try leavening again before they trust it; common practice


@dataclass(frozen=True)
class Line:
    """One ingredient of a recipe and how much of it, as written."""

    ingredient: Ingredient
    amount: pint.Quantity
    note: str = ""

    @cached_property
    def weight(self) -> pint.Quantity:
        """Its weight (g)."""
        return self.ingredient.weight(self.amount)

    @property
    def role(self) -> str:
        """Its structural work: flour, liquid, egg, leavening, fat, sugar, salt or other."""
        return _ROLE_OF.get(self.ingredient.group, mark("other"))

    def say(self, tools: str = "us") -> Spoken:
        """The amount as this kitchen can measure it.

        Parameters
        ----------
        tools : {"us", "metric"}
            Cups and spoons; or a scale, with spoons for what is under 10 g, and under 25 g of
            leavening, salt, spice or flavouring.

        Returns
        -------
        Spoken
            Its ``error`` is the rounding by weight.
        """
        grams = self.weight.m_as("g")
        if self.role == "egg" and self.ingredient.each_kg:
            return self._say_eggs(grams, tools)
        group = self.ingredient.group
        smallest = _SPOONED_BELOW if group in _WITHIN else _SMALLEST_WEIGHABLE
        if tools == "metric" and grams >= smallest:
            return say_measure(self.weight, "scale")
        within = _WITHIN.get(group, GOOD_ENOUGH)
        return say_measure(self.ingredient.volume(self.weight), tools, within)

    @property
    def beaten(self) -> int:
        """Grams to weigh out of one beaten egg, besides whole ones; 0 for all else."""
        return self._eggs()[1] if self.role == "egg" and self.ingredient.each_kg else 0

    def _eggs(self) -> tuple[int, int]:
        """Whole eggs, and grams of one beaten egg."""
        grams, one = self.weight.m_as("g"), self.ingredient.each_kg * 1000
        eggs = round(grams / one)
        near = max(_EGGS_WITHIN * grams, min(_EGG_GRAMS, _FEW_EGGS_WITHIN * grams))
        if eggs and abs(eggs * one - grams) < near:
            return eggs, 0
        eggs = math.floor(grams / one)
        return eggs, math.floor(grams - eggs * one + 0.5)

    def _say_eggs(self, grams: float, tools: str) -> Spoken:
        eggs, rest = self._eggs()
        words = [trn("{n} egg", "{n} eggs", eggs, n=eggs)] if eggs else []
        if rest:
            spoons = say_measure(self.ingredient.volume(Q(rest, "g")), tools, within=0.05)
            words.append(tr("{grams} g beaten egg ({spoons})", grams=rest, spoons=spoons))
        got = eggs * self.ingredient.each_kg * 1000 + rest
        return Spoken(" + ".join(words) or tr("less than 1 g"), Q(got, "g"), grams, got)


@dataclass(frozen=True)
class Recipe:
    """One batter: what goes in, how many servings, how dense it is.

    Attributes
    ----------
    key, name : str
    lines : tuple of Line
    servings : float
    serving : str
        What one serving is, in words.
    density_kg_m3 : float or None
        Of the raw batter; None where nobody stated or measured it.
    density_basis : {"measured", "stated", "carried", "computed"}
    factor : float
        How many times the written recipe this is.
    source : str
        Key in sources.csv.
    """

    key: str
    name: str
    lines: tuple[Line, ...]
    servings: float
    serving: str = "piece"
    density_kg_m3: float | None = None
    density_basis: str = "computed"
    factor: float = 1.0
    source: str = ""
    note: str = ""

    @property
    def weight(self) -> pint.Quantity:
        """Weight of the raw batter (g)."""
        return Q(sum(line.weight.m_as("g") for line in self.lines), "g")

    @property
    def density(self) -> pint.Quantity:
        """Weight over volume of the raw batter (g/ml); `density_why` says where it comes from."""
        if self.density_kg_m3 is not None:
            return Q(self.density_kg_m3 / 1000, "g/ml")
        return self.density_from_composition

    @property
    def density_from_composition(self) -> pint.Quantity:
        """Density (g/ml) from what the batter is made of, with 8 % of its volume taken as air.

        Notes
        -----
        Mixture rule with the component densities of Choi & Okos (1986), see
        `Ingredient.solid_volume_per_kg`. The share of air is common practice, no source.
        """
        grams = [(line.weight.m_as("g"), line.ingredient) for line in self.lines]
        millilitres = sum(g * item.solid_volume_per_kg * 1000 for g, item in grams)
        return Q(sum(g for g, _ in grams) / millilitres * (1 - _AIR), "g/ml")

    @property
    def density_why(self) -> str:
        """Where the batter's density comes from, in plain words."""
        said = f"{num(self.density.m_as('g/ml'), '.2f')} g/ml"
        if self.density_kg_m3 is not None and self.density_basis == "measured":
            return tr("{density}, measured by weighing a cup of this batter", density=said)
        if self.density_kg_m3 is not None and self.density_basis == "carried":
            return tr(
                "{density}, the base batter's, shifted by what was changed; weigh a cup to be "
                "surer",
                density=said,
            )
        if self.density_kg_m3 is not None:
            return tr(
                "{density}, stated with the recipe; weigh a cup of your batter to be surer",
                density=said,
            )
        return tr(
            "{density}, worked out from the ingredients with {air} air; "
            "weigh a cup of your batter to be surer",
            density=said,
            air=num(_AIR, ".0%"),
        )

    @property
    def volume(self) -> pint.Quantity:
        """Volume of the raw batter (ml): weight over `density`."""
        return Q(self.weight.m_as("g") / self.density.m_as("g/ml"), "ml")

    @property
    def bowl(self) -> pint.Quantity:
        """The least bowl to mix it in (ml)."""
        return self.volume * _BOWL_ROOM

    def with_cup_weight(self, weight) -> Recipe:
        """The same recipe with its batter's density measured: what one level US cup of it weighs.

        Parameters
        ----------
        weight : Quantity or str
            Of the batter alone, without the cup.

        Raises
        ------
        KitchenError
            If no batter is that light or heavy (outside 0.4 to 1.4 g/ml).
        """
        density = si(weight, "mass", "weight of a cup of batter") / Q(1, "cup").m_as("m**3")
        if not 400 <= density <= 1400:
            raise KitchenError(
                tr(
                    "A cup of batter at {weight} would be {density} g/ml; batters lie between "
                    "{least} and {most}. Weigh it again, without the cup.",
                    weight=weight,
                    density=num(density / 1000, ".2f"),
                    least=num(0.4, "g"),
                    most=num(1.4, "g"),
                )
            )
        return replace(self, density_kg_m3=density, density_basis="measured")

    def with_finish(self, finish) -> Recipe:
        """Batter and finish as one recipe: for costs, allergens and weight, not for a pan.

        Parameters
        ----------
        finish : sequence of Line
        """
        if not finish:
            return self
        lines = (*self.lines, *finish)
        return replace(self, lines=lines, density_kg_m3=None, density_basis="computed")

    def line(self, ingredient: str) -> Line:
        """The line of one ingredient, by any of its names.

        Raises
        ------
        KitchenError
            If the recipe has none.
        """
        wanted = plain(ingredient)
        for line in self.lines:
            item = line.ingredient
            if wanted in map(plain, (item.key, item.name, *item.also)):
                return line
        have = ", ".join(tr(line.ingredient.name) for line in self.lines)
        raise KitchenError(
            tr(
                "{recipe} has no {ingredient}. It has {have}.",
                recipe=tr(self.name),
                ingredient=repr(ingredient),
                have=have,
            )
        )

    # Scaling -----------------------------------------------------------------------------------

    def scale(self, by=None, *, servings=None, weight=None, using=None, pans=None) -> Recipe:
        """A new recipe, larger or smaller, by exactly one of five measures.

        Parameters
        ----------
        by : float
            How many times this recipe.
        servings : float
            How many servings to make.
        weight : Quantity or str
            What the raw batter shall weigh.
        using : (str, Quantity or str)
            An ingredient and how much of it to use up.
        pans : list of Pan, or of (Pan, number)
            Pans to fill to their usual height: a pan alone with all its wells, or a number of
            pans or of wells.

        Returns
        -------
        Recipe

        Raises
        ------
        KitchenError
            If none or several are given, or the factor is not above 0 and at most 1,000.

        Notes
        -----
        Conversion factor = wanted over written, the same for every line (Bakery and Business
        Math, ch. 21). `advice` says what does not follow so plainly.
        """
        given = {
            name: value
            for name, value in (
                ("by", by),
                ("servings", servings),
                ("weight", weight),
                ("using", using),
                ("pans", pans),
            )
            if value is not None
        }
        if len(given) != 1:
            raise KitchenError(
                "Scale by exactly one of by, servings, weight, using or pans, "
                f"not {' and '.join(given) or 'none'}."
            )
        factor = self._factor(*given.popitem())
        if not (math.isfinite(factor) and 0 < factor <= 1000):
            raise KitchenError(
                tr(
                    "That would be {factor} times the recipe. Choose more than 0 and at most "
                    "{most}.",
                    factor=num(factor, "g"),
                    most=num(1000),
                )
            )
        return replace(
            self,
            lines=tuple(replace(line, amount=line.amount * factor) for line in self.lines),
            servings=self.servings * factor,
            factor=self.factor * factor,
        )

    def _factor(self, how: str, value) -> float:
        if how == "weight":
            return si(value, "mass", "weight") / self.weight.m_as("kg")
        if how == "using":
            if not (isinstance(value, tuple) and len(value) == 2 and isinstance(value[0], str)):
                raise KitchenError(
                    f"using={value!r} is not an ingredient and an amount. "
                    'Write it like using=("carrot", "700 g").'
                )
            name, amount = value
            line = self.line(name)
            return (line.ingredient.weight(amount) / line.weight).m_as("")
        if how == "pans":
            room = sum(pan.usual_volume.m_as("ml") * count for pan, count in _sets(value))
            return room / self.volume.m_as("ml")
        try:
            wanted = float(value)
        except (TypeError, ValueError):
            raise KitchenError(f"{how}={value!r} is not a number. Write one like 2.") from None
        return wanted / self.servings if how == "servings" else wanted

    # What a cook needs to read -----------------------------------------------------------------

    def bakers_percent(self) -> pd.DataFrame:
        """Every line as a percentage of the flour's weight.

        Returns
        -------
        DataFrame
            Index: ingredient. Columns: ``role``, ``grams``, ``percent`` (flour and other milled
            grain together are 100).

        Raises
        ------
        KitchenError
            If the recipe has no flour.
        """
        rows = [(x.ingredient.name, x.role, x.weight.m_as("g")) for x in self.lines]
        flour = sum(grams for _, role, grams in rows if role == "flour")
        if not flour:
            raise KitchenError(
                tr(
                    "{recipe} has no flour, so nothing can be a percentage of it.",
                    recipe=tr(self.name),
                )
            )
        table = pd.DataFrame(rows, columns=["ingredient", "role", "grams"]).set_index("ingredient")
        return table.assign(percent=100 * table["grams"] / flour)

    def amounts(self) -> pd.DataFrame:
        """Every line in grams, in US tools and on a scale, with each rounding.

        Returns
        -------
        DataFrame
            Index: ingredient. Columns: ``role``, ``grams``, ``us``, ``us_error``, ``metric``,
            ``metric_error`` (shares, 0.01 is 1 %).
        """
        rows = []
        for line in self.lines:
            us, metric = line.say("us"), line.say("metric")
            rows.append(
                (
                    line.ingredient.name,
                    line.role,
                    line.weight.m_as("g"),
                    us,
                    us.error,
                    metric,
                    metric.error,
                )
            )
        columns = ["ingredient", "role", "grams", "us", "us_error", "metric", "metric_error"]
        return pd.DataFrame(rows, columns=columns).set_index("ingredient")

    def rounding(self) -> pd.DataFrame:
        """What rounding to real tools does to each structural part of the batter.

        Returns
        -------
        DataFrame
            Index: role. Columns: ``grams``, ``us_error``, ``metric_error`` (shares by weight).
        """
        table = self.amounts()
        for tools in ("us", "metric"):
            table[f"{tools}_error"] *= table["grams"]
        total = table.groupby("role", sort=False)[["grams", "us_error", "metric_error"]].sum()
        return total.assign(
            us_error=total["us_error"] / total["grams"],
            metric_error=total["metric_error"] / total["grams"],
        )

    def advice(self) -> list[str]:
        """What does not scale as plainly as the amounts do, in plain sentences."""
        said = []
        for line in self.lines:
            if line.beaten:
                said.append(self._egg_advice(line))
        if self.factor >= _LARGE_BATCH and any(line.role == "leavening" for line in self.lines):
            said.append(
                tr(
                    "This is {factor} times the written recipe. Baking powder and soda may lift a "
                    "large batch a little differently: bake one pan first, or mix it as {batches} "
                    "smaller batches.",
                    factor=num(self.factor, ".3g"),
                    batches=math.ceil(self.factor / 2),
                )
            )
        for line in self.lines:
            off = line.say("us").error
            if line.ingredient.group in ("leavening", "salt") and abs(off) > _TOO_COARSE:
                too = _TOO_MUCH if off > 0 else _TOO_LITTLE
                said.append(
                    tr(
                        too,
                        ingredient=tr(line.ingredient.name),
                        said=line.say("us"),
                        off=num(abs(off), ".0%"),
                    )
                )
        bowl = self.bowl
        said.append(
            tr(
                "Mix it in a bowl of at least {litres} litres ({quarts} quarts), twice the batter, "
                "so that nothing spills.",
                litres=num(bowl.m_as("liter"), ".1f"),
                quarts=num(bowl.m_as("quart"), ".1f"),
            )
        )
        return said

    def _egg_advice(self, line: Line) -> str:
        one = line.ingredient.each_kg * 1000
        eggs = line.weight.m_as("g") / one
        whole = max(1, round(eggs))
        change = whole / eggs - 1
        beat = tr("Beat one egg and weigh out the part you need.")
        if abs(change) > _EGG_SHIFT:
            return beat
        size = {"share": num(abs(change), ".0%"), "factor": num(self.factor * whole / eggs, ".3g")}
        if change > 0:
            instead = trn(
                "Or, for {n} whole egg, make {share} more of everything ({factor} times the "
                "recipe).",
                "Or, for {n} whole eggs, make {share} more of everything ({factor} times the "
                "recipe).",
                whole,
                **size,
            )
        else:
            instead = trn(
                "Or, for {n} whole egg, make {share} less of everything ({factor} times the "
                "recipe).",
                "Or, for {n} whole eggs, make {share} less of everything ({factor} times the "
                "recipe).",
                whole,
                **size,
            )
        return f"{beat} {instead}"


def _sets(pans) -> list[tuple]:
    """Pans as (pan, how many pans or wells)."""
    listed = pans if isinstance(pans, list | tuple) else [pans, None]
    sets = [pan if isinstance(pan, tuple) else (pan, getattr(pan, "wells", None)) for pan in listed]
    for pair in sets:
        if not (len(pair) == 2 and isinstance(pair[0], Pan) and isinstance(pair[1], int | float)):
            raise KitchenError(
                "pans takes a list of pans, each alone or with a number. "
                'Write it like pans=[kit.pans["muffin-12"], (kit.pans["loaf-9x5"], 2)].'
            )
    return sets
