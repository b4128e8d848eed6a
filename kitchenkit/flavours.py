"""Flavours: what is taken out of a base batter, what goes in, and what goes on top and when."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace

import pint

from kitchenkit.errors import KitchenError, MeasureError
from kitchenkit.ingredients import Ingredient
from kitchenkit.language import join_and, mark, phrase, tr
from kitchenkit.recipe import Line, Recipe
from kitchenkit.units import Q, read_measure

# When a thing joins the bake, in the order of the work.
IN_BATTER = mark("in the batter")
SWIRLED = mark("swirled in")
ON_TOP = mark("on top before baking")
BRUSHED = mark("brushed on for the last minutes")
AFTER = mark("after cooling")
MOMENTS = (IN_BATTER, SWIRLED, ON_TOP, BRUSHED, AFTER)
_BATTER_MOMENTS = (IN_BATTER, SWIRLED)
KINDS_OF_FLAVOUR = ("sweet", "savoury")

# Share of its water that a hand-squeezed shred of fruit or vegetable gives up: common practice, no
# source; 0.2 to 0.5. Weigh yours before and after.
USUAL_SQUEEZE = 0.35
MOST_SQUEEZED = 0.9  # beyond this it is dried, not squeezed
CHILLED_GROUPS = ("dairy", "cheese", "egg")


def squeezed(item: Ingredient, share: float = USUAL_SQUEEZE) -> Ingredient:
    """An ingredient after part of its water has been squeezed or drained away.

    Parameters
    ----------
    item : Ingredient
    share : float
        Of its water that is poured off, 0 to 0.9.

    Returns
    -------
    Ingredient
        The same key, so that its prices are found. A cup and a piece of it are still measured
        before squeezing and weigh less after; its edible yield shrinks as its weight does.

    Raises
    ------
    KitchenError
        If the share is outside 0 to 0.9.

    Notes
    -----
    Only water leaves: the sugars that go with it are left out of account.
    """
    if not (isinstance(share, int | float) and 0 <= share <= MOST_SQUEEZED):
        raise KitchenError(
            f"A share of {share!r} of the water cannot be squeezed out. Use 0 to 0.9."
        )
    lost = item.composition.get("water", 0.0) * share
    if not lost:
        return item
    left = 1 - lost
    parts = {name: part / left for name, part in item.composition.items()}
    parts["water"] = (item.composition["water"] - lost) / left
    return replace(
        item,
        name=phrase("{name}, squeezed", name=item.name),
        mass_kg=item.mass_kg * left,
        each_kg=item.each_kg * left if item.each_kg else None,
        edible_yield=item.edible_yield * left,
        composition=parts,
    )


@dataclass(frozen=True)
class TimedLine(Line):
    """A line that joins the bake at a moment of its own: one of `MOMENTS`."""

    when: str = AFTER


@dataclass(frozen=True)
class Change:
    """One step of a flavour.

    Attributes
    ----------
    out : Ingredient or None
        What the base loses, all of it.
    line : TimedLine or None
        What comes instead, or besides where `out` is None. Its amount is measured before
        squeezing.
    squeeze : float
        Share of its water that is squeezed out before it goes in.
    """

    out: Ingredient | None = None
    line: TimedLine | None = None
    squeeze: float = 0.0

    def made(self, times: float) -> TimedLine:
        """The new line as it goes in, `times` as large."""
        line = self.line
        if not self.squeeze:
            return replace(line, amount=line.amount * times)
        left = 1 - line.ingredient.composition.get("water", 0.0) * self.squeeze
        return replace(
            line,
            ingredient=squeezed(line.ingredient, self.squeeze),
            amount=line.weight * left * times,
            note=line.note
            or phrase("{share}% of its water squeezed out", share=f"{self.squeeze * 100:.0f}"),
        )


@dataclass(frozen=True)
class Flavour:
    """What turns a base batter into another bake.

    Attributes
    ----------
    key, name : str
    kind : {"sweet", "savoury"}
    changes : tuple of Change
        In the order in which they are made.
    servings : float
        For how many servings of the base the amounts are written.
    keeping : str
        The product it keeps like, as the keeping table names it.
    source, note : str
    """

    key: str
    name: str
    kind: str
    changes: tuple[Change, ...]
    servings: float
    keeping: str = ""
    source: str = ""
    note: str = ""

    def plus(self, *more: Change) -> Flavour:
        """The same flavour with further changes."""
        return replace(self, changes=(*self.changes, *more))

    @property
    def finish_changes(self) -> tuple[Change, ...]:
        """Those changes that go on top of the batter."""
        return tuple(x for x in self.changes if x.line and x.line.when not in _BATTER_MOMENTS)

    def with_finish_of(self, other: Flavour | None) -> Flavour:
        """The same batter with the finish of another flavour, or with none.

        Parameters
        ----------
        other : Flavour or None

        Returns
        -------
        Flavour
            It keeps as the one that gives the finish does; with none, as before, to be cautious.
        """
        plain = tuple(change for change in self.changes if change not in self.finish_changes)
        if other is None:
            return replace(self, changes=plain, name=phrase("{name}, no finish", name=self.name))
        times = self.servings / other.servings
        finish = tuple(
            replace(x, line=replace(x.line, amount=x.line.amount * times))
            for x in other.finish_changes
        )
        name = phrase("{name}, finished as {other}", name=self.name, other=other.name)
        return replace(self, changes=(*plain, *finish), name=name, keeping=other.keeping)

    def applied_to(self, base: Recipe) -> Flavoured:
        """This flavour of a base batter, in the size of that batter.

        Parameters
        ----------
        base : Recipe

        Returns
        -------
        Flavoured

        Raises
        ------
        KitchenError
            If the base lacks what shall be taken out, or nothing would be left.

        Notes
        -----
        Amounts go with the servings: those of the base over those the flavour is written for. The
        batter's density is the base's times the ratio of what both come to by composition.
        """
        times = base.servings / self.servings
        lines, finish = list(base.lines), []
        for change in self.changes:
            at = len(lines)
            if change.out is not None:
                at = self._place(change.out, lines, base)
                lines = [x for x in lines if x.ingredient.key != change.out.key]
            if change.line is None:
                continue
            made = change.made(times)
            if made.when not in _BATTER_MOMENTS:
                finish.append(made)
            elif made.when == SWIRLED:
                lines.insert(at, made)
            else:
                stir_in(lines, Line(made.ingredient, made.amount, made.note), at)
        if not lines:
            raise KitchenError(
                tr(
                    "{flavour} leaves nothing of {base}. Keep its flour.",
                    flavour=tr(self.name),
                    base=tr(base.name),
                )
            )
        batter = replace(
            base,
            key=f"{base.key}-{self.key}",
            name=phrase("{name}, on the {base}", name=self.name, base=base.name),
            lines=tuple(lines),
            source=self.source or base.source,
            note=self.note or base.note,
        )
        return Flavoured(self, base, carry_density(batter, base), tuple(finish))

    def _place(self, out: Ingredient, lines: list[Line], base: Recipe) -> int:
        for at, line in enumerate(lines):
            if line.ingredient.key == out.key:
                return at
        raise KitchenError(
            tr(
                "{flavour} takes out {out}, and {base} has none. It has {have}.",
                flavour=tr(self.name),
                out=tr(out.name),
                base=tr(base.name),
                have=", ".join(tr(line.ingredient.name) for line in lines),
            )
        )


def stir_in(lines: list[Line], new: Line, at: int) -> None:
    """Add a line to a batter's, at a place, or to the line that already holds the same.

    Parameters
    ----------
    lines : list of Line
        Changed in place.
    new : Line
    at : int
    """
    for n, line in enumerate(lines):
        if type(line) is Line and line.ingredient == new.ingredient:
            alike = line.amount.check(new.amount.dimensionality)
            amount = line.amount + new.amount if alike else line.weight + new.weight
            lines[n] = replace(line, amount=amount)
            return
    lines.insert(at, new)


def carry_density(batter: Recipe, base: Recipe) -> Recipe:
    """The batter with its base's known density, shifted by what was changed.

    Parameters
    ----------
    batter, base : Recipe

    Returns
    -------
    Recipe
        The batter itself where the base's density is not known.

    Notes
    -----
    The base's density times the ratio of what both come to by composition.
    """
    if base.density_kg_m3 is None:
        return batter
    shift = (batter.density_from_composition / base.density_from_composition).m_as("")
    if math.isclose(shift, 1.0, rel_tol=1e-12):
        return batter
    return replace(batter, density_kg_m3=base.density_kg_m3 * shift, density_basis="carried")


@dataclass(frozen=True)
class Flavoured:
    """A flavour of a base, ready to be scaled, baked and costed.

    Attributes
    ----------
    flavour : Flavour
    base : Recipe
    recipe : Recipe
        The batter with what is swirled in: for pans, baking and ratios.
    finish : tuple of TimedLine
        What goes on top before baking, is brushed on, or put on after cooling.
    """

    flavour: Flavour
    base: Recipe
    recipe: Recipe
    finish: tuple[TimedLine, ...] = field(default=())

    @property
    def whole(self) -> Recipe:
        """Batter and finish as one recipe: for costs, allergens and weight, not for a pan."""
        return self.recipe.with_finish(self.finish)

    def scale(self, *args, **wanted) -> Flavoured:
        """The same, larger or smaller; takes what `Recipe.scale` takes, of the batter.

        Raises
        ------
        KitchenError
            As `Recipe.scale` does.
        """
        made = self.recipe.scale(*args, **wanted)
        times = made.servings / self.recipe.servings
        finish = tuple(replace(line, amount=line.amount * times) for line in self.finish)
        return Flavoured(self.flavour, self.base.scale(times), made, finish)

    def finish_weight(self) -> pint.Quantity:
        """Weight of all that goes on top (g)."""
        return Q(sum(line.weight.m_as("g") for line in self.finish), "g")

    def steps(self, tools: str = "us") -> list[str]:
        """What to do with everything that is not simply stirred in, moment by moment.

        Parameters
        ----------
        tools : {"us", "metric"}

        Returns
        -------
        list of str
            Such as ``"After cooling: powdered sugar, 1 cup; lemon juice, 2 tbsp."``
        """
        timed = [line for line in (*self.recipe.lines, *self.finish) if hasattr(line, "when")]
        said = []
        for moment in MOMENTS:
            there = [line for line in timed if line.when == moment]
            if there:
                words = "; ".join(f"{tr(x.ingredient.name)}, {x.say(tools)}" for x in there)
                said.append(f"{tr(moment).capitalize()}: {words}.")
        return said

    def cautions(self) -> list[str]:
        """What this flavour asks to be careful of, beyond the batter itself."""
        late = [line for line in self.finish if line.when == AFTER]
        cold = [x.ingredient.name for x in late if x.ingredient.group in CHILLED_GROUPS]
        said = []
        if cold:
            said.append(
                tr(
                    "With {toppings} on top that no oven has heated, keep it cold: 4 °C (40 °F) "
                    "or below, out of the cold for 2 hours at most, 1 hour above 32 °C (90 °F). "
                    "Local rules come first.",
                    toppings=join_and(map(tr, dict.fromkeys(cold))),
                )
            )
        if any(line.when == BRUSHED for line in self.finish):
            said.append(
                tr(
                    "Brushing means reaching into a hot oven: set the pan on the stove top first, "
                    "and wear dry mitts. Hot sugar sticks and burns."
                )
            )
        if any("honey" in line.ingredient.name for line in self.whole.lines):
            said.append(tr("Honey is never for babies under one year, baked or not."))
        return said


def add_in(kit, ingredient: str, amount, when: str = IN_BATTER, *, squeeze: float = 0.0) -> Change:
    """One more thing for a flavour, chosen by hand.

    Parameters
    ----------
    kit : Kit
    ingredient : str
    amount : Quantity or str
        For as many servings as the flavour is written for; before squeezing.
    when : str
        One of `MOMENTS`.
    squeeze : float
        Share of its water that is squeezed out, 0 to 0.9.

    Returns
    -------
    Change

    Raises
    ------
    KitchenError
        If the ingredient, the moment or the share is not known.
    MeasureError
        If the amount cannot be read, or is nothing.
    """
    item = kit.ingredients[ingredient]
    if when not in MOMENTS:
        raise KitchenError(f"{when!r} is no moment of a bake. Choose from: {', '.join(MOMENTS)}.")
    squeezed(item, squeeze)  # refuses an impossible share
    amount = read_measure(amount) if isinstance(amount, str) else amount
    line = TimedLine(item, amount, when=when)
    if not line.weight.m_as("g") > 0:
        raise MeasureError(
            tr("No {ingredient}? Write an amount above 0, like 50 g.", ingredient=tr(item.name))
        )
    return Change(None, line, float(squeeze))


def plain_flavour(base: Recipe) -> Flavour:
    """No flavour at all: the base as it is, to add things to."""
    return Flavour("plain", mark("plain"), "sweet", (), base.servings, keeping="muffins")
