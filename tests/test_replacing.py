"""Swapped ingredients: amounts by hand, ratios, allergens without promises, and bad tables told."""

import pytest

import kitchenkit as kk
from kitchenkit.errors import DataError, KitchenError


def test_two_eggs_by_flaxseed(kit, base):
    """University of Illinois Extension, Recipe Substitutions: 1 tbsp flax, 3 tbsp water."""
    done = kk.swap_ingredient(kit, base, "egg-flax", today="2026-11-25")
    with pytest.raises(KitchenError):
        done.recipe.line("egg")
    assert done.recipe.line("ground flaxseed").amount.m_as("tbsp") == pytest.approx(2)
    assert done.recipe.line("water").amount.m_as("tbsp") == pytest.approx(6)
    assert done.unnamed == ("egg",)
    assert "does not make it fit" in " ".join(done.cautions)
    assert float(done.costs[1].serving) < float(done.costs[0].serving)


def test_half_the_oil(kit, base):
    done = kk.swap_ingredient(kit, base, "oil-applesauce")
    assert done.share == 0.5
    third_of_a_cup = base.line("oil").amount.m_as("cup")
    assert done.recipe.line("oil").amount.m_as("cup") == pytest.approx(third_of_a_cup / 2)
    assert done.recipe.line("applesauce").amount.m_as("cup") == pytest.approx(third_of_a_cup / 2)
    assert done.ratios["before"]["fat"] == pytest.approx(2 * done.ratios["value"]["fat"])
    assert not done.cautions
    more = kk.swap_ingredient(kit, base, "oil-applesauce", 0.8)
    assert "at most 50%" in more.cautions[0]
    assert "rubbery" in more.cautions[0]


def test_what_is_there_already_becomes_one_line(kit, base):
    done = kk.swap_ingredient(kit, base, "flour-oats", 0.25)
    assert done.recipe.line("oats").amount.m_as("cup") == pytest.approx(0.75 + 1.5 * 0.25 * 1.5)
    assert len(done.recipe.lines) == len(base.lines)


def test_soy_for_milk_names_both(kit, base):
    done = kk.swap_ingredient(kit, base, "yogurt-soy")
    assert done.new_allergens == ("soy",)
    assert done.unnamed == ("milk",)


@pytest.mark.parametrize("share", [0, -1, 1.5, float("nan"), "half"])
def test_no_such_share(kit, base, share):
    with pytest.raises(KitchenError, match="cannot be swapped"):
        kk.swap_ingredient(kit, base, "oil-butter", share)


def test_a_recipe_without_it_is_told(kit, base):
    dry = kk.Recipe("dry", "a dry mix", base.lines[:3], 4)
    with pytest.raises(KitchenError, match="a dry mix has no large egg to swap"):
        kk.swap_ingredient(kit, dry, "egg-flax")
    with pytest.raises(KitchenError, match="no swap called"):
        kk.swap_ingredient(kit, base, "moon dust for egg")


def test_every_swap_fits_the_base_and_scales(kit, base):
    kinds = set()
    for swap in kit.swaps.values():
        kinds.add(swap.kind)
        small = kk.swap_ingredient(kit, base, swap).recipe.scale(3)
        large = kk.swap_ingredient(kit, base.scale(3), swap).recipe
        assert small.weight.m == pytest.approx(large.weight.m)
        assert kk.swap_ingredient(kit, base, swap, today="2026-11-25").costs[1].complete
        assert swap.does
        assert swap.fails
    assert kinds >= {"milk", "egg", "fat", "flour"}


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("large-egg,1 each,ground", "dragon-egg,1 each,ground", ["dragon-egg", "out"]),
        ("water: 3 tbsp,100", "water,100", ["names with amounts"]),
        ("water: 3 tbsp,100", "moon dust: 3 tbsp,100", ["moon dust"]),
        ("water: 3 tbsp,100", "water: lots,100", ["lots"]),
        ("water: 3 tbsp,100", "water: 0 tbsp,100", ["above 0"]),
        ("water: 3 tbsp,100", "water: 3 tbsp,0", ["1 to 100"]),
        ("egg-flax,ground", "egg-banana,ground", ["has this name too"]),
        (
            ",illinois-substitutions,Read there as an egg substitute for binding",
            ",nobody,x",
            ["nobody"],
        ),
        ("large-egg,1 each,ground", "large-egg,9 in,ground", ["of"]),
    ],
)
def test_faults_in_the_table_are_told(data_folder, old, new, words):
    path = data_folder / "swaps.csv"
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(DataError) as told:
        kk.open_kit(data_folder)
    assert {fault.file for fault in told.value.faults} == {"swaps.csv"}
    for word in words:
        assert word in str(told.value)


def test_a_kit_without_swaps_has_none(data_folder, base):
    (data_folder / "swaps.csv").unlink()
    assert len(kk.open_kit(data_folder).swaps) == 0
