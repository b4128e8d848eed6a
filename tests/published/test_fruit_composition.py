"""What fruit and vegetables bring, against the USDA database as others quote it.

USDA, National Nutrient Database for Standard Reference, per 100 g edible, read at second hand:
bananas, raw (09040): a copy of its table; carrots, raw (11124): a comparison of nutrients that
cites 2020 data; apples without skin (09004) and applesauce (09019): a table of sugars in fruit.
"""

import pytest

import kitchenkit as kk
from kitchenkit.flavours import add_in, plain_flavour


@pytest.mark.parametrize(
    ("name", "part", "printed", "half_digit"),
    [
        ("mashed banana", "water", 74.91, 0.005),
        ("mashed banana", "carbohydrate", 22.84, 0.005),
        ("mashed banana", "fibre", 2.6, 0.05),
        ("mashed banana", "fat", 0.33, 0.005),
        ("shredded carrot", "carbohydrate", 9.6, 0.05),
        ("shredded carrot", "fibre", 2.8, 0.05),
    ],
)
def test_composition_is_as_printed(kit, name, part, printed, half_digit):
    share = kit.ingredients[name].composition[part] * 100
    assert share == pytest.approx(printed, abs=half_digit + 1e-9)


@pytest.mark.parametrize(
    ("name", "sugars", "starch"),
    [
        ("mashed banana", 12.23, 8.5),  # ripens from starch into sugar
        ("shredded carrot", 4.7, 2.5),
        ("chopped apple", 10.1, 1.5),
        ("applesauce", 9.4, 1.0),
    ],
)
def test_sugar_counted_for_fruit_is_no_less_than_its_sugars(kit, base, name, sugars, starch):
    """Carbohydrate less fibre is what the kit counts: the sugars, and starch that is left.

    What is counted beyond the printed sugars is starch and the like; no more of it than given here
    (from memory, unverified).
    """
    made = plain_flavour(base).plus(add_in(kit, name, "100 g")).applied_to(base)
    table = kk.addin_checks(made.recipe, base)
    flour = base.bakers_percent().query("role == 'flour'")["grams"].sum()
    brought = (table.value - table.base)["sugar in all"] * flour / 100
    assert sugars <= brought <= sugars + starch
