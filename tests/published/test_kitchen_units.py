"""Kitchen units against published tables; each number is within half its last printed digit."""

import pytest

from kitchenkit.ingredients import to_volume, to_weight
from kitchenkit.saying import say_measure
from kitchenkit.units import Q, read_measure


def ml(text):
    return read_measure(text).m_as("ml")


# NIST Special Publication 430, Household Weights and Measures (2004) -----------------------------


@pytest.mark.parametrize(
    ("amount", "printed", "half_a_digit"),
    [  # NIST SP 430 (2004): US customary volumes in millilitres
        ("1 cup", 236.5882, 0.00005),
        ("1 fl oz", 29.5735, 0.00005),
        ("1 tbsp", 14.7868, 0.00005),
        ("1 tsp", 4.9289, 0.00005),
    ],
)
def test_nist_sp_430_customary_volumes(amount, printed, half_a_digit):
    assert ml(amount) == pytest.approx(printed, abs=half_a_digit)


def test_nist_sp_430_ounce():
    # NIST SP 430 (2004): 1 oz = 28.3495 g
    assert read_measure("1 oz").m_as("g") == pytest.approx(28.3495, abs=0.00005)


@pytest.mark.parametrize(
    ("one", "other"),
    [  # NIST SP 430 (2004), the kitchen table
        ("3 tsp", "1 tbsp"),
        ("16 tbsp", "1 cup"),
        ("48 tsp", "1 cup"),
        ("8 fl oz", "1 cup"),
    ],
)
def test_nist_sp_430_kitchen_table(one, other):
    assert ml(one) == pytest.approx(ml(other), rel=1e-12)


# 21 CFR 101.9(b)(5)(viii), household measures on nutrition labels --------------------------------


@pytest.mark.parametrize(
    ("amount", "unit", "printed", "half_a_digit"),
    [  # 21 CFR 101.9(b)(5)(viii): rounded measures that labels go by
        ("1 tsp", "ml", 5, 0.5),
        ("1 tbsp", "ml", 15, 0.5),
        ("1 cup", "ml", 240, 5),
        ("1 fl oz", "ml", 30, 0.5),
        ("1 oz", "g", 28, 0.5),
    ],
)
def test_label_measures_are_the_customary_ones_rounded(amount, unit, printed, half_a_digit):
    assert read_measure(amount).m_as(unit) == pytest.approx(printed, abs=half_a_digit)


@pytest.mark.parametrize(("size", "said"), [(5, "1 tsp"), (15, "1 tbsp"), (30, "2 tbsp")])
def test_metric_spoons_are_those_of_the_labels(size, said):
    # 21 CFR 101.9(b)(5)(viii): tsp 5 ml, tbsp 15 ml
    spoken = say_measure(Q(size, "ml"), "metric")
    assert spoken == said
    assert spoken.error == pytest.approx(0, abs=1e-12)


# Institute of Child Nutrition, Basics at a Glance ------------------------------------------------

SPOKEN = [
    ("1/8 cup", "2 tbsp"),
    ("1/4 cup", "4 tbsp"),
    ("1/3 cup", "5 tbsp + 1 tsp"),
    ("3/8 cup", "6 tbsp"),
    ("1/2 cup", "8 tbsp"),
    ("5/8 cup", "10 tbsp"),
    ("2/3 cup", "10 tbsp + 2 tsp"),
    ("3/4 cup", "12 tbsp"),
    ("7/8 cup", "14 tbsp"),
]


@pytest.mark.parametrize(("cups", "spoons"), SPOKEN)
def test_icn_spoken_measures(cups, spoons):
    # Institute of Child Nutrition, Basics at a Glance: parts of a cup in tablespoons, exact
    assert ml(spoons) == pytest.approx(ml(cups), rel=1e-12)
    said = say_measure(spoons)
    assert said.amount.m_as("ml") == pytest.approx(ml(cups), rel=1e-9)


@pytest.mark.parametrize(
    ("number", "holds"),
    [(6, "2/3 cup"), (8, "1/2 cup"), (12, "1/3 cup"), (16, "1/4 cup"), (24, "2 2/3 tbsp")],
)
def test_icn_scoop_numbers_are_scoops_to_the_quart(number, holds):
    # Institute of Child Nutrition, Basics at a Glance: the number is level scoops per quart; these
    # are the ones it prints without rounding
    assert number * ml(holds) == pytest.approx(ml("1 quart"), rel=1e-12)


# Half an egg -------------------------------------------------------------------------------------


def test_half_a_large_egg_against_the_extension_sheet(kit):
    # Kansas State University Extension MF3531: half a large egg is 2 tablespoons. By the weights of
    # the USDA National Nutrient Database (large egg 50 g; a cup of beaten egg 243 g) it is a good
    # 1 1/2: the sheet rounds up to a whole spoon. The kit weighs, and stays with the lower figure.
    by_weight = to_volume(kit, "large egg", "1/2").m_as("tablespoon")
    assert by_weight == pytest.approx(25 / 243 * 16, abs=0.01)
    assert by_weight == pytest.approx(2, rel=0.20), "the two sources lie within a fifth"
    assert by_weight < 2
    # 2 tbsp weigh 30 g, more than half of even an extra large egg (56 g, USDA).
    assert to_weight(kit, "large egg", "2 tbsp").m_as("g") == pytest.approx(30.4, abs=0.05)


# Abroad ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("amount", "printed", "half_a_digit"),
    [  # from memory, unverified
        ("1 metric cup", 250, 0.5),
        ("1 imperial fl oz", 28.4131, 0.00005),
        ("1 imperial pint", 568.261, 0.0005),
    ],
)
def test_measures_of_other_countries(amount, printed, half_a_digit):
    assert ml(amount) == pytest.approx(printed, abs=half_a_digit)
