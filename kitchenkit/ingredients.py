"""Ingredients: what a cup, a spoon or a piece weighs, and what it is made of."""

from __future__ import annotations

from dataclasses import dataclass, field

import pint

from kitchenkit.errors import MeasureError
from kitchenkit.language import num, tr
from kitchenkit.units import Q, in_short, read_measure, si, unit

_HEAVIEST = 1e12  # grams; beyond it a number was surely mistyped
COMPONENTS = ("water", "protein", "fat", "carbohydrate", "fibre", "ash")

# Densities at 20 °C in kg/m³, from the temperature polynomials of Choi & Okos (1986) as printed in
# ASHRAE Refrigeration, "Thermal properties of foods", table 1.
_DENSITY = {
    "water": 997.18 + 3.1439e-3 * 20 - 3.7574e-3 * 20**2,
    "protein": 1329.9 - 0.51840 * 20,
    "fat": 925.59 - 0.41757 * 20,
    "carbohydrate": 1599.1 - 0.31046 * 20,
    "fibre": 1311.5 - 0.36589 * 20,
    "ash": 2423.8 - 0.28063 * 20,
}


@dataclass(frozen=True)
class Ingredient:
    """One ingredient as the data folder describes it.

    Attributes
    ----------
    key, name : str
    also : tuple of str
        Other names.
    group : str
        Its part in a batter: flour, liquid, egg, leavening, ...
    volume_m3, mass_kg : float
        The measure that was weighed, and what it weighed.
    each_kg : float or None
        Edible weight of one piece, where pieces are counted.
    edible_yield : float
        Edible share of what is bought, 0 to 1.
    allergens : tuple of str
        Those of the nine major US allergens that the data name. The label decides, not this list.
    composition : dict of str to float
        Mass fractions of the `COMPONENTS`; fibre is counted within carbohydrate.
    source, composition_source : str
        Keys in sources.csv.
    """

    key: str
    name: str
    group: str
    volume_m3: float
    mass_kg: float
    also: tuple[str, ...] = ()
    each_kg: float | None = None
    edible_yield: float = 1.0
    allergens: tuple[str, ...] = ()
    composition: dict[str, float] = field(default_factory=dict, hash=False)
    source: str = ""
    composition_source: str = ""
    note: str = ""

    @property
    def density(self) -> pint.Quantity:
        """Weight over volume as it lies in the cup, with the air between the grains (g/ml)."""
        return Q(self.mass_kg / self.volume_m3 / 1000, "g/ml")

    @property
    def solid_volume_per_kg(self) -> float:
        """Cubic metres that one kilogram takes up once wetted, without air between the grains.

        Notes
        -----
        Sum of component mass over component density: Choi & Okos (1986), in ASHRAE Refrigeration,
        "Thermal properties of foods". Components that do not reach 100 % are taken as water.
        """
        part = dict(self.composition)
        part["carbohydrate"] = part.get("carbohydrate", 0.0) - part.get("fibre", 0.0)
        part["water"] = part.get("water", 0.0) + 1 - sum(part.values())
        return sum(share / _DENSITY[name] for name, share in part.items())

    def weight(self, amount) -> pint.Quantity:
        """Grams of an amount by weight, volume or count.

        Parameters
        ----------
        amount : Quantity or str

        Raises
        ------
        MeasureError
            If it is counted in pieces and the data give no weight for one, or if it is beyond any
            kitchen.
        """
        amount = read_measure(amount) if isinstance(amount, str) else amount
        if not isinstance(amount, pint.Quantity):
            raise MeasureError(f"The amount {amount!r} has no unit. Write it like 350 g.")
        grams = self._grams(amount)
        if grams > _HEAVIEST:
            raise MeasureError(
                tr(
                    "{amount} is more than any kitchen weighs. Check the number.",
                    amount=in_short(amount),
                )
            )
        return Q(grams, "g")

    def _grams(self, amount: pint.Quantity) -> float:
        if amount.check("[volume]"):
            size = si(amount, "volume", self._amount_of())
            return size * self.mass_kg / self.volume_m3 * 1000
        if amount.check(unit("each").dimensionality):
            if self.each_kg is None:
                raise MeasureError(
                    tr(
                        "{number} of what? {ingredient} is not counted in pieces here: "
                        "write cups, spoons or grams, like 1 cup.",
                        number=num(amount.magnitude, "g"),
                        ingredient=tr(self.name),
                    )
                )
            number_of = tr("number of {ingredient}", ingredient=tr(self.name))
            return si(amount, "count", number_of) * self.each_kg * 1000
        return si(amount, "mass", self._amount_of()) * 1000

    def _amount_of(self) -> str:
        return tr("amount of {ingredient}", ingredient=tr(self.name))

    def volume(self, amount) -> pint.Quantity:
        """Millilitres that an amount fills in a measuring cup, air between the grains included.

        Parameters
        ----------
        amount : Quantity or str

        Raises
        ------
        MeasureError
            As for `weight`.
        """
        grams = self.weight(amount).m_as("g")
        return Q(grams / 1000 / self.mass_kg * self.volume_m3 * 1e6, "ml")


def to_weight(kit, ingredient: str, amount) -> pint.Quantity:
    """Grams of an ingredient, e.g. ``to_weight(kit, "rolled oats", "1 1/2 cups")``.

    Raises
    ------
    KitchenError
        If the kit has no such ingredient.
    MeasureError
        If the amount cannot be read or weighed.
    """
    return kit.ingredients[ingredient].weight(amount)


def to_volume(kit, ingredient: str, amount) -> pint.Quantity:
    """US cups of an ingredient, e.g. ``to_volume(kit, "rolled oats", "120 g")``.

    Raises
    ------
    KitchenError
        If the kit has no such ingredient.
    MeasureError
        If the amount cannot be read or measured.
    """
    return kit.ingredients[ingredient].volume(amount).to("cup")
