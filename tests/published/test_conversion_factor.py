"""Recipe conversion factors against textbook examples, by way of the kit's own scaling."""

from dataclasses import replace

import pytest

from kitchenkit.saying import say_measure
from kitchenkit.units import read_measure


def test_textbook_factor_by_servings(base):
    # Bakery and Business Math (open textbook), ch. 21: 48 portions wanted as 72 is a factor of 1.5
    written = replace(base, servings=48.0)
    assert written.scale(servings=72).factor == pytest.approx(1.5, rel=1e-12)


def test_textbook_factor_by_portion_weight(base):
    # Bakery and Business Math (open textbook), ch. 21: 50 portions of .230 kg from a recipe for 35
    # portions of .185 kg is a factor of 1.776
    written = base.scale(weight=f"{35 * 0.185} kg")
    wanted = written.scale(weight=f"{50 * 0.230} kg")
    assert wanted.factor / written.factor == pytest.approx(1.776, abs=0.0005)


def test_army_factor_and_pounds_to_ounces(base):
    # US Army TM 10-412 (2003), card A-1(2): 348 portions from a recipe for 100 is a factor of 3.48;
    # 1.25 lb × 3.48 = 4.35 lb, measured as 4 lb 5 1/2 oz, to the nearest half ounce
    factor = replace(base, servings=100.0).scale(servings=348).factor
    assert factor == pytest.approx(3.48, abs=0.005)
    wanted = read_measure("1.25 lb") * factor
    assert wanted.m_as("pound") == pytest.approx(4.35, abs=0.005)
    said = say_measure(wanted, "us")
    assert said == "4 lb 5 1/2 oz"
    assert said.amount.m_as("pound") == pytest.approx(4.35, abs=0.5 / 16 / 2)
