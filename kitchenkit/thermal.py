"""What heat does in a food of known composition: density, conduction, heat content, ice.

Plain floats and numpy arrays; temperatures in °C, all else in SI units. Any temperature may be an
array. Below its freezing point a food is a mixture whose ice grows as it grows colder, so each
property is a function of temperature.

References
----------
Choi and Okos (1986), Effects of temperature and composition on the thermal properties of foods, as
in ASHRAE Refrigeration, "Thermal properties of foods", tables 1 and 2: read at second hand, in
several independent transcriptions that agree but for the specific heat of water below 0 °C, where
4.0817 and 4.1289 are both found for the first term.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np

from kitchenkit.baking import HEAT
from kitchenkit.costs import BAKE_LOSS, baked_weight
from kitchenkit.errors import KitchenError
from kitchenkit.ingredients import COMPONENTS
from kitchenkit.language import num, tr
from kitchenkit.recipe import Recipe

# Polynomials in °C, lowest power first: W/(m K), kg/m³, J/(kg K). Valid from −40 to 150 °C.
CONDUCTIVITY = {
    "water": (0.57109, 1.7625e-3, -6.7036e-6),
    "protein": (0.17881, 1.1958e-3, -2.7178e-6),
    "fat": (0.18071, -2.7604e-4, -1.7749e-7),
    "carbohydrate": (0.20141, 1.3874e-3, -4.3312e-6),
    "fibre": (0.18331, 1.2497e-3, -3.1683e-6),
    "ash": (0.32962, 1.4011e-3, -2.9069e-6),
    "ice": (2.2196, -6.2489e-3, 1.0154e-4),
}
DENSITY = {
    "water": (997.18, 3.1439e-3, -3.7574e-3),
    "protein": (1329.9, -0.51840),
    "fat": (925.59, -0.41757),
    "carbohydrate": (1599.1, -0.31046),
    "fibre": (1311.5, -0.36589),
    "ash": (2423.8, -0.28063),
    "ice": (916.89, -0.13071),
}
SPECIFIC_HEAT = {
    "water": (4176.2, -9.0864e-2, 5.4731e-3),
    "protein": (2008.2, 1.2089, -1.3129e-3),
    "fat": (1984.2, 1.4733, -4.8008e-3),
    "carbohydrate": (1548.8, 1.9625, -5.9399e-3),
    "fibre": (1845.9, 1.8306, -4.6509e-3),
    "ash": (1092.6, 1.8896, -3.6817e-3),
    "ice": (2062.3, 6.0769),
}
COLD_WATER_HEAT = (4128.9, -5.3062, 0.99516)  # of unfrozen water below 0 °C
LATENT = 333.6e3  # J/kg, water at 0 °C; ASHRAE Refrigeration, "Thermal properties of foods"

# Blagden's law with water's constant, 1.86 K kg/mol: any handbook of chemistry.
_CRYOSCOPIC = 1.86
# kg/mol of dissolved particles: sucrose, half of common salt, and other mineral matter as
# phosphates and carbonates of sodium and potassium might be (an assumption).
_SUGAR_MOLAR, _SALT_MOLAR, _MINERAL_MOLAR = 0.3423, 0.0292, 0.060
# Groups of ingredients whose carbohydrate, less its fibre, is taken as dissolved sugar.
_SUGARY = ("sugar", "dairy", "liquid", "fruit", "vegetable")
# Water that never freezes, kg per kg of protein, starch and fibre. ASHRAE's 0.4 per kg of protein
# is for meat and fish; 0.27 follows from the heat content of frozen bread (L. Riedel's table, from
# memory, unverified), and 0.2 to 0.35 is taken as its range.
_BOUND = 0.27
# How far a crumb's freezing point (K) and bound water (times) may be off: assumptions.
FREEZES_WITHIN = 2.0
_BINDS = (1.3, 0.7)
_COLDEST_C, _WARMEST_C, _ROWS = -60.0, 110.0, 2000  # of the table that solvers read
_KELVIN = 273.15


def polynomial(coefficients, celsius) -> np.ndarray:
    """A polynomial in temperature, coefficients from the lowest power up."""
    return np.polynomial.polynomial.polyval(np.asarray(celsius, float), coefficients)


def heat_content(coefficients, celsius) -> np.ndarray:
    """The integral of a specific heat from 0 °C (J/kg)."""
    integral = np.polynomial.polynomial.polyint(coefficients)
    return np.polynomial.polynomial.polyval(np.asarray(celsius, float), integral)


def water_heat_content(celsius) -> np.ndarray:
    """Heat content of liquid water from 0 °C (J/kg), on both sides of it."""
    t = np.asarray(celsius, float)
    return np.where(
        t < 0, heat_content(COLD_WATER_HEAT, t), heat_content(SPECIFIC_HEAT["water"], t)
    )


def maxwell_eucken(matrix, pores, share) -> np.ndarray:
    """Conductivity of a solid with scattered pores (W/(m K)).

    Parameters
    ----------
    matrix, pores : array_like
        Conductivities, W/(m K).
    share : array_like
        Volume of the pores over the whole, 0 to 1.

    Returns
    -------
    ndarray

    Notes
    -----
    k = k_c (1 − (1 − a k_d/k_c) b) / (1 + (a − 1) b) with a = 3 k_c/(2 k_c + k_d): Maxwell and
    Eucken, in ASHRAE Refrigeration, "Thermal properties of foods" (from memory, unverified). Pores
    that do not touch conduct least, so it lies above what open crumb may have. Hamdami et al., Food
    Research International 37:703 (2004; abstract read) found Krischer's mixture of parallel and
    series nearest for bread crumb; it needs a share fitted to each crumb.
    """
    matrix, pores, b = (np.asarray(x, float) for x in (matrix, pores, share))
    a = 3 * matrix / (2 * matrix + pores)
    return matrix * (1 - (1 - a * pores / matrix) * b) / (1 + (a - 1) * b)


def moist_air_conductivity(celsius) -> np.ndarray:
    """What the air in a moist pore conducts (W/(m K)), with the heat that its vapour carries.

    Parameters
    ----------
    celsius : array_like
        Up to about 60 °C; nearer boiling the vapour flows by itself and the formula is too low.

    Returns
    -------
    ndarray

    Notes
    -----
    Water evaporates on a pore's warm side and condenses on its cold side, which adds
    D L dρ/dT (Krischer; from memory, unverified), with diffusivity D = 2.26e-5 (T/273 K)^1.81 m²/s,
    L = 2.5e6 − 2400 t J/kg and saturated vapour by Magnus' formula in Alduchov and Eskridge's form,
    610.94 exp(17.625 t/(t + 243.04)) Pa (all from memory, unverified).
    """
    t = np.asarray(celsius, float)
    kelvin = t + _KELVIN
    vapour = 610.94 * np.exp(17.625 * t / (t + 243.04)) / (461.5 * kelvin)
    slope = vapour * (17.625 * 243.04 / (t + 243.04) ** 2 - 1 / kelvin)
    diffusivity = 2.26e-5 * (kelvin / _KELVIN) ** 1.81
    return 0.0243 + 7e-5 * t + diffusivity * (2.5e6 - 2400 * t) * slope


def freezing_point(water, bound, sugar=0.0, salt=0.0, minerals=0.0) -> float:
    """Where the first ice forms (°C), from what is dissolved in the water that can freeze.

    Parameters
    ----------
    water, bound : float
        Water in all, and the part that never freezes, as shares of the weight.
    sugar, salt, minerals : float
        Shares of the weight: sugars (as sucrose), common salt, other mineral matter.

    Returns
    -------
    float

    Raises
    ------
    KitchenError
        If no water is left to freeze.

    Notes
    -----
    Blagden's law: 1.86 K for each mole of particles in a kilogram of free water. It is a few per
    cent off in strong solutions, and the particles of other mineral matter are a guess: take the
    point as known to 2 K either way. For bread it gives about −5 °C, where the heat content of
    frozen bread bends too (Riedel's table, from memory, unverified); an older table says −2 °C
    (Earle, Unit Operations in Food Processing, appendix 7, read).
    """
    free = water - bound
    if free <= 0:
        raise KitchenError("It is so dry that no water is left to freeze.")
    particles = sugar / _SUGAR_MOLAR + salt / _SALT_MOLAR + minerals / _MINERAL_MOLAR
    return -_CRYOSCOPIC * particles / free


@dataclass(frozen=True)
class Food:
    """A food as heat sees it.

    Attributes
    ----------
    composition : dict of str to float
        Shares of the weight of water, protein, fat, carbohydrate (without fibre), fibre and ash;
        together 1.
    freezing_c : float
        °C at which the first ice forms, below 0.
    bound : float
        Water that never freezes, as a share of the weight.
    air : float
        Pores' share of the volume, 0 to below 1.
    """

    composition: dict[str, float] = field(hash=False)
    freezing_c: float
    bound: float
    air: float = 0.0

    def __post_init__(self):
        parts = [self.composition.get(name, 0.0) for name in COMPONENTS]
        if min(parts) < 0 or abs(sum(parts) - 1) > 1e-6 or set(self.composition) - {*COMPONENTS}:
            raise KitchenError(f"The parts of a food are shares that add up to 1, not {parts}.")
        if not self.freezing_c < 0:
            raise KitchenError(f"A food freezes below 0 °C, not at {self.freezing_c:g} °C.")
        if not (0 <= self.bound <= self.composition.get("water", 0.0) and 0 <= self.air < 1):
            raise KitchenError("Bound water is a part of the water, and pores of the volume.")

    def ice(self, celsius) -> np.ndarray:
        """Ice as a share of the weight.

        Notes
        -----
        (x_w − x_b)(1 − t_f/t): Miles' form of Raoult's law, in ASHRAE Refrigeration, "Thermal
        properties of foods" (read at second hand).
        """
        t = np.minimum(np.asarray(celsius, float), self.freezing_c)
        return (self.composition.get("water", 0.0) - self.bound) * (1 - self.freezing_c / t)

    def _parts(self, celsius) -> dict[str, np.ndarray]:
        """Shares of the weight, with ice told apart from water."""
        ice = self.ice(celsius)
        return {
            **self.composition,
            "water": self.composition.get("water", 0.0) - ice,
            "ice": ice,
        }

    def solid_density(self, celsius) -> np.ndarray:
        """Density without the pores (kg/m³): the parts' volumes added up."""
        parts = self._parts(celsius)
        return 1 / sum(x / polynomial(DENSITY[name], celsius) for name, x in parts.items())

    def density(self, celsius) -> np.ndarray:
        """Density with the pores (kg/m³)."""
        return self.solid_density(celsius) * (1 - self.air)

    def enthalpy(self, celsius) -> np.ndarray:
        """Heat content (J/kg), 0 for the thawed food at 0 °C.

        Notes
        -----
        The sum of the parts' own heat contents, ice 333.6 kJ/kg below water at 0 °C. Fat that sets
        on cooling is left out.
        """
        t = np.asarray(celsius, float)
        total = 0.0
        for name, x in self._parts(t).items():
            if name == "water":
                total = total + x * water_heat_content(t)
            else:
                total = total + x * heat_content(SPECIFIC_HEAT[name], t)
                total = total - (x * LATENT if name == "ice" else 0.0)
        return total

    def heat(self, celsius) -> np.ndarray:
        """Specific heat (J/(kg K)) with the heat of the ice that forms or melts on the way."""
        step = 1e-3
        return (self.enthalpy(np.add(celsius, step)) - self.enthalpy(celsius)) / step

    def conductivity(self, celsius) -> np.ndarray:
        """Conductivity (W/(m K)).

        Notes
        -----
        Solids, water and ice side by side by volume (the parallel model of Choi and Okos), then
        pores of moist air by `maxwell_eucken`.
        """
        parts = self._parts(celsius)
        volume = {name: x / polynomial(DENSITY[name], celsius) for name, x in parts.items()}
        matrix = sum(v * polynomial(CONDUCTIVITY[name], celsius) for name, v in volume.items())
        matrix = matrix / sum(volume.values())
        return maxwell_eucken(matrix, moist_air_conductivity(celsius), self.air)

    @cached_property
    def spread(self) -> tuple[Food, Food, Food]:
        """The same food freezing soonest, likeliest and latest, within what is known of it."""
        water = self.composition.get("water", 0.0)
        points = (self.freezing_c - FREEZES_WITHIN, min(self.freezing_c + FREEZES_WITHIN, -0.5))
        soonest, latest = (
            replace(self, freezing_c=point, bound=min(self.bound * binds, water))
            for point, binds in zip(points, _BINDS, strict=True)
        )
        return soonest, self, latest

    @cached_property
    def by_content(self) -> tuple[float, float, np.ndarray]:
        """What a solver reads at some heat content, at even steps of it: made once.

        Returns
        -------
        tuple
            The lowest heat content and the step (J/kg), and rows of °C and W/(m K).
        """
        below = np.arange(_COLDEST_C, self.freezing_c, 0.1)
        t = np.concatenate([below, np.linspace(self.freezing_c, _WARMEST_C, 600)])
        enthalpy = self.enthalpy(t)
        even, step = np.linspace(enthalpy[0], enthalpy[-1], _ROWS, retstep=True)
        celsius = np.interp(even, enthalpy, t)
        return even[0], step, np.stack([celsius, self.conductivity(celsius)], axis=-1)


def crumb_of(recipe: Recipe, bake_loss: float = BAKE_LOSS, rise: float = HEAT.rise) -> Food:
    """The baked crumb of a recipe, from what its lines are made of.

    Parameters
    ----------
    recipe : Recipe
    bake_loss : float
        Share of the raw weight that goes off as steam, 0 to 0.5; see `costs.BAKE_LOSS`.
    rise : float
        Baked volume over raw volume; see `baking.HEAT`.

    Returns
    -------
    Food

    Raises
    ------
    KitchenError
        If more would go off than there is water, or nothing is left to freeze.

    Notes
    -----
    What is not accounted for in the data is taken as water, as in `Ingredient`. Carbohydrate of
    sugars, dairy, fruit and vegetables counts as dissolved sugar. Water that never freezes: 0.27 kg
    per kg of protein, starch and fibre (an assumption, 0.2 to 0.35; see this module).
    """
    grams = dict.fromkeys(COMPONENTS, 0.0)
    sugar = salt = 0.0
    for line in recipe.lines:
        weight, item = line.weight.m_as("g"), line.ingredient
        part = dict(item.composition)
        part["carbohydrate"] = part.get("carbohydrate", 0.0) - part.get("fibre", 0.0)
        part["water"] = part.get("water", 0.0) + 1 - sum(part.values())
        for name, share in part.items():
            grams[name] += weight * share
        sugar += weight * part["carbohydrate"] * (item.group in _SUGARY)
        salt += weight * part.get("ash", 0.0) * (item.group == "salt")
    raw = recipe.weight.m_as("g")
    baked = baked_weight(recipe, bake_loss).m_as("g")
    grams["water"] -= raw - baked
    if grams["water"] < 0:
        raise KitchenError(
            tr(
                "{recipe} has not enough water to lose {loss}% of it all.",
                recipe=tr(recipe.name),
                loss=num(bake_loss * 100),
            )
        )
    part = {name: weight / baked for name, weight in grams.items()}
    sugar, salt = sugar / baked, salt / baked
    holding = part["protein"] + part["carbohydrate"] - sugar + part["fibre"]
    bound = min(_BOUND * holding, part["water"])
    freezing = freezing_point(part["water"], bound, sugar, salt, part["ash"] - salt)
    solid = Food(part, freezing, bound)
    density = recipe.density.m_as("kg/m**3") * baked / raw / rise
    return Food(part, freezing, bound, max(0.0, 1 - density / float(solid.solid_density(20.0))))


# A moist quick bread where no recipe is given: shares as such crumbs usually have (an assumption).
CRUMB = Food(
    {
        "water": 0.38,
        "protein": 0.06,
        "fat": 0.11,
        "carbohydrate": 0.41,
        "fibre": 0.02,
        "ash": 0.02,
    },
    freezing_c=-5.0,
    bound=0.08,
    air=0.55,
)
