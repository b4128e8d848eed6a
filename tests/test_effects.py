"""What a flavour does: the table against calculations done apart, pans, missing prices, advice."""

import pytest

import kitchenkit as kk
from kitchenkit.flavours import add_in, plain_flavour

TODAY = "2026-11-25"


def test_the_plain_base_changes_nothing(kit, base):
    found = kk.flavour_effects(kit, base, plain_flavour(base), today=TODAY)
    assert found.table["difference"].abs().max() == pytest.approx(0)
    assert found.advice == ()
    assert found.servings == (16, 16)


def test_the_table_is_its_parts(kit, base):
    pan = kit.pans["loaf-8.5x4.5"]
    flavour = kit.flavours["apple-ginger"]
    found = kk.flavour_effects(kit, base, flavour, pan, today=TODAY)
    made = flavour.applied_to(base)
    after = found.table["after"]
    assert after["batter weight"] == pytest.approx(made.recipe.weight.m_as("g"))
    assert after["finish"] == pytest.approx(made.finish_weight().m_as("g"))
    percent = made.recipe.bakers_percent()
    for role in ("flour", "liquid", "sugar", "other"):
        assert after[role] == pytest.approx(percent.query("role == @role")["percent"].sum())
    share = made.recipe.volume / found.count
    assert after["baking time"] == pytest.approx(kk.bake_time(pan, share).minutes.m_as("min"))
    servings = made.recipe.weight.m_as("g") / (base.weight.m_as("g") / 16)
    assert after["servings"] == pytest.approx(servings)
    paid = kk.cost(kit, made.whole, servings, today=TODAY)
    assert after["cost"] == pytest.approx(float(paid.serving))


def test_more_batter_in_as_many_wells_bakes_longer_and_makes_more(kit, base):
    added = [add_in(kit, "raisins", "1 cup"), add_in(kit, "walnuts", "1/2 cup")]
    found = kk.flavour_effects(kit, base, added, today=TODAY)
    grew = found.table["difference"]
    assert grew["batter weight"] == pytest.approx(145 + 117 / 2)
    assert grew["baking time"] > 0
    assert grew["cost"] > 0
    assert found.servings[1] > 16
    assert "tree nuts" in found.allergens[1].found
    assert "tree nuts" not in found.allergens[0].found


@pytest.mark.parametrize("key", ["loaf-9x5", "muffin-12", "square-8", "round-8"])
def test_no_pan_is_filled_beyond_its_limit(kit, base, key):
    pan = kit.pans.get(key) or next(iter(kit.pans.values()))
    heavy = [add_in(kit, "raisins", "600 g")]
    found = kk.flavour_effects(kit, base, heavy, pan, today=TODAY)
    one = found.made.recipe.volume.m_as("ml") / found.count
    assert one <= pan.capacity.m_as("ml") * pan.fill_limits.high * (1 + 1e-9)
    assert found.advice
    assert "sink" in found.advice[0]


def test_a_savoury_bake_is_not_scolded_for_little_sugar(kit, base):
    found = kk.flavour_effects(kit, base, kit.flavours["cheese-chive"], today=TODAY)
    assert found.ratios.verdict["sugar"] == "low"
    assert found.advice == ()


def test_missing_prices_are_told_and_never_counted_as_nothing(data_folder, base):
    path = data_folder / "prices.csv"
    rows = path.read_text(encoding="utf-8").splitlines()
    path.write_text("\n".join(r for r in rows if not r.startswith("poppy")), encoding="utf-8")
    kit = kk.open_kit(data_folder)
    found = kk.flavour_effects(kit, base, kit.flavours["lemon-poppy"], today=TODAY)
    assert found.costs[1].missing == ("poppy seeds",)
    path.unlink()
    kit = kk.open_kit(data_folder)
    found = kk.flavour_effects(kit, base, kit.flavours["lemon-poppy"], today=TODAY)
    assert found.costs == (None, None)
    assert "cost" not in found.table.index
