"""Add-ins: each rule against a sum done by hand, and what is said beyond it."""

import pytest

import kitchenkit as kk
from kitchenkit.addins import RULES
from kitchenkit.errors import KitchenError
from kitchenkit.flavours import Change, add_in, plain_flavour

FLOUR = 1.5 * 125 + 0.75 * 81  # g of flour and oats in the base, by the table's cups


def judged(kit, base, *added):
    made = plain_flavour(base).plus(*(add_in(kit, *one) for one in added)).applied_to(base)
    return kk.addin_checks(made.recipe, base)


def test_dry_add_ins_by_hand(kit, base):
    table = judged(kit, base, ("raisins", "1 cup"), ("cheddar", "1 cup"), ("poppy seeds", "1 tbsp"))
    assert table.value["dry add-ins"] == pytest.approx(100 * (145 + 113 + 8.8) / FLOUR)
    assert table.verdict["dry add-ins"] == "high"
    assert "sink" in table.advice["dry add-ins"]


def test_wet_fruit_and_water_by_hand(kit, base):
    table = judged(kit, base, ("mashed banana", "1 cup"))
    water = 165 * 0.8829 + 245 * 0.879 + 100 * 0.7615  # carrot, yogurt, egg
    assert table.base["water beside the base"] == pytest.approx(100 * water / FLOUR, rel=1e-4)
    assert table.value["water beside the base"] == pytest.approx(
        100 * (water + 225 * 0.7491) / FLOUR, rel=1e-4
    )
    assert table.value["wet fruit and vegetables"] == pytest.approx(100 * (165 + 225) / FLOUR)
    assert set(table.verdict[["wet fruit and vegetables", "water beside the base"]]) == {"high"}


def test_sugar_and_fat_by_hand(kit, base):
    table = judged(kit, base, ("raisins", "1 cup"), ("peanut butter", "1/2 cup"))
    sugar = 220 * 2 / 3 + 165 * (0.0958 - 0.028) + 145 * (0.7918 - 0.037)
    assert table.value["sugar in all"] == pytest.approx(100 * sugar / FLOUR, rel=1e-4)
    gained = table.value["fat in all"] - table.base["fat in all"]
    assert gained == pytest.approx(100 * (129 * 0.5136 + 145 * 0.0046) / FLOUR, rel=1e-4)


def test_cocoa_is_a_powder_and_no_piece(kit, base):
    assert judged(kit, base, ("cocoa", "1/2 cup")).value["dry add-ins"] == 0
    assert judged(kit, base, ("chocolate chips", "1/2 cup")).value["dry add-ins"] > 0


def test_squeezing_brings_a_wet_add_in_back_inside(kit, base):
    def verdict(squeeze):
        change = add_in(kit, "zucchini", "3/4 cup", squeeze=squeeze)
        made = plain_flavour(base).plus(change).applied_to(base)
        return kk.addin_checks(made.recipe, base).verdict["water beside the base"]

    assert verdict(0.0) == "high"
    assert verdict(0.4) == "usual"


def test_leaving_out_what_is_wet_is_told(kit, base):
    dry = plain_flavour(base).plus(Change(out=kit.ingredients["carrot"])).applied_to(base)
    table = kk.addin_checks(dry.recipe, base)
    assert table.verdict["water beside the base"] == "low"
    assert "add milk or water" in table.advice["water beside the base"]


def test_the_base_itself_stretches_nothing(base):
    table = kk.addin_checks(base, base)
    assert set(table.verdict) == {"usual"}
    assert list(table.value) == list(table.base)
    alone = kk.addin_checks(base)
    assert "water beside the base" not in alone.index
    assert alone.base.isna().all()


def test_every_rule_says_itself_and_its_source(kit):
    for rule in RULES:
        assert rule.low < rule.high
        assert rule.source in kit.sources
        assert len(rule.text) > 20
        assert rule.too_high
        assert rule.too_low or rule.low == 0


def test_a_recipe_without_flour_is_refused(kit, base):
    sweets = kk.Recipe("x", "sweets", base.lines[2:3], 4)
    with pytest.raises(KitchenError, match="has no flour"):
        kk.addin_checks(sweets)
