"""The nine major allergens of US law, and that the kit never says one is absent.

Milk, egg, fish, crustacean shellfish, tree nuts, peanuts, wheat and soybeans: Food Allergen
Labeling and Consumer Protection Act of 2004, section 203; sesame: FASTER Act of 2021,
Pub. L. 117-11, section 2.
"""

import pytest

import kitchenkit as kk
from kitchenkit.kit import ALLERGENS
from kitchenkit.recipe import Line, Recipe
from kitchenkit.units import Q

FALCPA_2004 = ["milk", "egg", "fish", "crustacean shellfish", "tree nuts", "peanut", "wheat", "soy"]
FASTER_2021 = ["sesame"]
# Foods that the two laws name, or that are plainly made of them.
BRINGS = [
    ("butter", {"milk"}),
    ("cream cheese", {"milk"}),
    ("large egg", {"egg"}),
    ("walnuts", {"tree nuts"}),
    ("almond flour", {"tree nuts"}),
    ("peanut butter", {"peanut"}),
    ("all-purpose flour", {"wheat"}),
    ("whole-wheat flour", {"wheat"}),
    ("soy drink", {"soy"}),
    ("sesame seeds", {"sesame"}),
]
PROMISES = ["free of", "-free", "allergen free", "safe for", "contains no", "does not contain"]


def of(kit, *names):
    return Recipe("x", "x", tuple(Line(kit.ingredients[n], Q(50, "g")) for n in names), 4)


def test_the_kit_knows_the_nine_and_no_others():
    assert list(ALLERGENS) == FALCPA_2004 + FASTER_2021


@pytest.mark.parametrize(("name", "allergens"), BRINGS)
def test_a_food_brings_its_allergen(kit, name, allergens):
    found = kk.allergens_in(of(kit, name)).found
    assert set(found) == allergens
    for brings in found.values():
        assert brings == (kit.ingredients[name].name,)


def test_all_of_them_in_the_order_of_the_law(kit):
    found = kk.allergens_in(of(kit, *(name for name, _ in BRINGS))).found
    assert list(found) == [name for name in ALLERGENS if name in found]
    assert set(ALLERGENS) - set(found) == {"fish", "crustacean shellfish"}


def test_the_base(base):
    listed = kk.allergens_in(base)
    assert listed.found == {
        "milk": ("plain yogurt",),
        "egg": ("large egg",),
        "wheat": ("all-purpose flour",),
    }
    assert set(listed.gluten) == {"all-purpose flour", "rolled oats"}
    assert {"rolled oats", "cinnamon", "vegetable oil", "baking powder"} <= set(listed.may)
    assert "Read every label; other traces are possible." in str(listed)
    assert "oats often meet" in listed.gluten_words


def test_toppings_count(kit, base):
    made = kit.flavours["banana-peanut"].applied_to(base)
    assert "peanut" in kk.allergens_in(made.whole).found
    glazed = kit.flavours["carrot-cream"].applied_to(base)
    assert "cream cheese" in kk.allergens_in(glazed.whole).found["milk"]


def test_rye_and_oats_are_told_as_gluten_though_no_law_lists_them(kit):
    assert set(kk.allergens_in(of(kit, "rye flour", "oat drink", "raisins")).gluten) == {
        "rye flour",
        "oat drink",
    }
    assert kk.allergens_in(of(kit, "white rice flour", "raisins")).gluten_words == ""


def test_no_word_of_it_promises_absence(kit, base):
    said = [str(kk.allergens_in(of(kit, name))) for name in kit.ingredients]
    for key in kit.swaps:
        done = kk.swap_ingredient(kit, base, key)
        said += [str(done.allergens), done.swap.does, done.swap.fails, *done.cautions]
    for flavour in kit.flavours.values():
        said += [flavour.note, *flavour.applied_to(base).cautions()]
    for words in said:
        assert not [promise for promise in PROMISES if promise in words.casefold()], words
    assert "which is no promise" in str(kk.allergens_in(of(kit, "water")))
