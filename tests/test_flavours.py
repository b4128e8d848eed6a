"""Flavours: files, arithmetic against sums done apart, undoing, linearity, scaling, squeezing."""

from __future__ import annotations

import csv
import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

import kitchenkit as kk
from kitchenkit import language
from kitchenkit.errors import DataError, KitchenError, MeasureError
from kitchenkit.flavours import (
    AFTER,
    BRUSHED,
    IN_BATTER,
    MOMENTS,
    ON_TOP,
    SWIRLED,
    Change,
    TimedLine,
    add_in,
    plain_flavour,
    squeezed,
)
from kitchenkit.places import shipped_folder
from kitchenkit.units import Q

FILES = sorted(shipped_folder("data").glob("flavours/*.toml"))
ML = {"cup": 236.5882365, "tbsp": 14.78676478125, "tsp": 4.92892159375}  # NIST SP 430 (2004)
every_flavour = pytest.mark.parametrize("key", [path.stem for path in FILES])


@pytest.fixture(scope="module")
def rows():
    """The ingredient table by every name, read by the plainest means."""
    with (shipped_folder("data") / "ingredients.csv").open(encoding="utf-8", newline="") as file:
        found = list(csv.DictReader(file))
    return {
        name.strip(): row
        for row in found
        for name in (row["key"], row["name"], *row["also"].split(";"))
    }


def grams(rows, name, amount):
    """Grams of "1 1/2 cups" and its like, apart from the kit."""
    *numbers, unit = amount.split()
    many = sum(int(a) / int(b or 1) for a, _, b in (n.partition("/") for n in numbers))
    row = rows[name]
    if unit.rstrip("s") == "egg":
        return many * float(row["each_g"])
    one, measure = row["measure"].split()
    assert one == "1"
    return many * ML[unit.rstrip("s")] / ML[measure] * float(row["measure_g"])


def weights(lines):
    return [(line.ingredient.key, line.weight.m_as("g")) for line in lines]


# The shipped ones --------------------------------------------------------------------------------


def test_there_are_sweet_and_savoury_ones_for_every_moment(kit, base):
    assert len(kit.flavours) >= 8
    kinds = [flavour.kind for flavour in kit.flavours.values()]
    assert kinds.count("sweet") >= 4
    assert kinds.count("savoury") >= 2
    moments = {
        change.line.when
        for flavour in kit.flavours.values()
        for change in flavour.changes
        if change.line
    }
    assert moments == set(MOMENTS)


@every_flavour
def test_it_fits_the_base_and_passes_the_ratios_or_says_why_not(kit, base, key):
    flavour = kit.flavours[key]
    made = flavour.applied_to(base)
    table = kk.check_ratios(made.recipe)
    stretched = table[table["verdict"] != "usual"]
    # Only what a savoury bake is about may lie outside the usual, and the kit says why.
    assert set(stretched.index) <= ({"sugar"} if flavour.kind == "savoury" else set())
    assert all("savoury" in advice for advice in stretched["advice"])
    checks = kk.addin_checks(made.recipe, base)
    assert set(checks["verdict"]) == {"usual"}, checks["advice"].to_dict()
    assert flavour.keeping in kit.keeping


@every_flavour
def test_weights_are_those_of_a_sum_done_apart(kit, base, rows, key):
    data = shipped_folder("data")
    bowl = {}
    for line in tomllib.loads((data / "recipes/carrot-oat-base.toml").read_text("utf-8"))[
        "ingredients"
    ]:
        bowl[rows[line["ingredient"]]["key"]] = grams(rows, line["ingredient"], line["amount"])
    top = 0.0
    for change in tomllib.loads((data / f"flavours/{key}.toml").read_text("utf-8"))["changes"]:
        gone = change.get("remove") or change.get("replace")
        if gone:
            del bowl[rows[gone]["key"]]
        name = change.get("with") or change.get("add")
        if name is None:
            continue
        weight = grams(rows, name, change["amount"])
        if change.get("squeeze"):
            weight *= 1 - 0.35 * float(rows[name]["water"]) / 100
        if change.get("when", IN_BATTER) in (IN_BATTER, SWIRLED):
            item = rows[name]["key"]
            bowl[item] = bowl.get(item, 0.0) + weight
        else:
            top += weight
    made = kit.flavours[key].applied_to(base)
    assert made.recipe.weight.m_as("g") == pytest.approx(sum(bowl.values()), rel=1e-9)
    assert made.finish_weight().m_as("g") == pytest.approx(top, rel=1e-9)
    assert made.whole.weight.m_as("g") == pytest.approx(sum(bowl.values()) + top, rel=1e-9)
    by_key = {}
    for item, weight in weights(made.recipe.lines):
        by_key[item] = by_key.get(item, 0.0) + weight
    assert by_key == pytest.approx(bowl)


@every_flavour
@pytest.mark.parametrize("times", [0.5, 2, 3.7])
def test_scaling_first_or_flavouring_first_is_the_same(kit, base, key, times):
    one = kit.flavours[key].applied_to(base.scale(times))
    two = kit.flavours[key].applied_to(base).scale(times)
    for first, second in ((one.recipe, two.recipe), (one.whole, two.whole)):
        assert [k for k, _ in weights(first.lines)] == [k for k, _ in weights(second.lines)]
        assert [g for _, g in weights(first.lines)] == pytest.approx(
            [g for _, g in weights(second.lines)]
        )
        assert first.servings == pytest.approx(second.servings)
        assert first.factor == pytest.approx(second.factor)
        assert first.density.m == pytest.approx(second.density.m)


@every_flavour
def test_a_flavoured_batter_is_a_plain_recipe(kit, base, key):
    made = kit.flavours[key].applied_to(base)
    assert isinstance(made.recipe, kk.Recipe)
    filled = made.recipe.scale(pans=[kit.pans["muffin-12"]])
    assert filled.volume.m == pytest.approx(
        kit.pans["muffin-12"].usual_volume.m_as(filled.volume.u) * 12
    )
    cost = kk.cost(kit, made.whole, today="2026-11-25")
    assert cost.complete
    assert not cost.stale
    assert float(cost.batch) > float(kk.cost(kit, made.recipe, today="2026-11-25").batch) - 1e-9
    assert len(made.recipe.amounts()) == len(made.recipe.lines)


def test_work_is_told_moment_by_moment(kit, base):
    made = kit.flavours["lemon-poppy"].applied_to(base)
    assert made.steps() == [
        "After cooling: powdered sugar, 1 cup; lemon juice, 1 tbsp + 1 1/2 tsp."
    ]
    swirl = kit.flavours["cinnamon-swirl"].applied_to(base)
    assert swirl.steps()[0].startswith("Swirled in: brown sugar, packed, 1/4 cup")
    assert plain_flavour(base).applied_to(base).steps() == []


def test_cautions(kit, base):
    def said(key):
        return " ".join(kit.flavours[key].applied_to(base).cautions())

    assert "keep it cold" in said("carrot-cream")
    assert "2 hours" in said("carrot-cream")
    assert "babies" in said("pear-honey")
    assert "hot oven" in said("pear-honey")
    assert said("raisin-seed") == ""


# What must always hold ---------------------------------------------------------------------------

NOT_IN_BASE = ["raisins", "walnuts", "mashed banana", "cocoa", "chives", "cream cheese"]
amounts = st.floats(1, 500)


@given(name=st.sampled_from(NOT_IN_BASE), amount=amounts, squeeze=st.floats(0, 0.9))
def test_adding_then_taking_out_gives_the_base(kit, base, name, amount, squeeze):
    flavour = plain_flavour(base).plus(
        add_in(kit, name, Q(amount, "g"), squeeze=squeeze), Change(out=kit.ingredients[name])
    )
    made = flavour.applied_to(base)
    assert made.recipe.lines == base.lines
    assert made.recipe.density == base.density
    assert made.whole == made.recipe
    assert not made.finish


@given(name=st.sampled_from(NOT_IN_BASE), amount=amounts, more=st.floats(0.1, 5))
def test_effects_are_linear_in_the_amount(kit, base, name, amount, more):
    def gain(grams):
        made = plain_flavour(base).plus(add_in(kit, name, Q(grams, "g"))).applied_to(base)
        table = kk.addin_checks(made.recipe, base)
        before = kk.addin_checks(base, base)
        heavier = made.recipe.weight.m_as("g") - base.weight.m_as("g")
        return [heavier, *(table["value"] - before["value"])]

    once, often = gain(amount), gain(amount * more)
    assert often == pytest.approx([x * more for x in once], rel=1e-6, abs=1e-6)


@given(share=st.floats(0, 0.9))
def test_squeezing_takes_water_alone(kit, share):
    fresh = kit.ingredients["zucchini"]
    dry = squeezed(fresh, share)
    left = dry.weight("1 cup").m_as("g")
    assert left == pytest.approx(124 * (1 - 0.9479 * share))
    for part in ("protein", "fat", "carbohydrate", "ash"):
        assert dry.composition[part] * left == pytest.approx(fresh.composition[part] * 124)
    assert dry.composition["water"] * left == pytest.approx(0.9479 * 124 * (1 - share))
    assert dry.edible_yield == pytest.approx(0.95 * left / 124)
    assert dry.key == fresh.key


@pytest.mark.parametrize("package", [("1.29", "1 lb"), ("0.80", "1 each")])
def test_what_is_squeezed_costs_what_it_took_to_make(kit, base, package):
    """A cup of zucchini costs the same, whatever runs off into the sink."""

    def paid(squeeze):
        change = add_in(kit, "zucchini", "2 cups", squeeze=squeeze)
        made = plain_flavour(base).plus(change).applied_to(base).recipe
        table = kk.cost(kit, made, prices={"zucchini": package}, today="2026-11-25").lines
        (row,) = (r for name, r in table.iterrows() if "zucchini" in name)
        return float(row["cost"])

    assert paid(0.4) == pytest.approx(paid(0.0))


def test_more_of_what_the_batter_has_is_one_line(kit, base):
    made = plain_flavour(base).plus(add_in(kit, "cinnamon", "1 tsp")).applied_to(base).recipe
    assert len(made.lines) == len(base.lines)
    assert made.line("cinnamon").amount.m_as("tsp") == pytest.approx(2.5)
    by_weight = plain_flavour(base).plus(add_in(kit, "carrot", "35 g")).applied_to(base).recipe
    assert by_weight.line("carrot").weight.m_as("g") == pytest.approx(165 + 35)


def test_a_swirl_stays_apart(kit, base):
    made = plain_flavour(base).plus(add_in(kit, "cinnamon", "1 tsp", SWIRLED)).applied_to(base)
    assert len(made.recipe.lines) == len(base.lines) + 1
    assert kk.cost(kit, made.whole, today="2026-11-25").complete


def test_density_follows_what_was_changed(kit, base):
    oily = plain_flavour(base).plus(add_in(kit, "oil", "100 g")).applied_to(base).recipe
    sugary = plain_flavour(base).plus(add_in(kit, "granulated sugar", "100 g")).applied_to(base)
    assert oily.density < base.density < sugary.recipe.density
    assert "shifted by what was changed" in oily.density_why
    ratio = oily.density_from_composition / base.density_from_composition
    assert oily.density.m == pytest.approx(base.density.m * ratio.m_as(""))
    unknown = kk.Recipe("x", "x", base.lines, 16)
    assert plain_flavour(unknown).applied_to(unknown).recipe.density_kg_m3 is None


# What cannot be ----------------------------------------------------------------------------------


def test_a_base_without_what_goes_is_told(kit, base):
    other = kk.Recipe("other", "an other batter", base.lines[:2], 4)
    with pytest.raises(KitchenError, match=r"an other batter has none\. It has all-purpose flour"):
        kit.flavours["lemon-poppy"].applied_to(other)
    flour = kk.Recipe("flour", "flour alone", base.lines[:1], 4)
    nothing = plain_flavour(flour).plus(Change(out=flour.lines[0].ingredient))
    with pytest.raises(KitchenError, match="leaves nothing"):
        nothing.applied_to(flour)


@pytest.mark.parametrize(
    ("asked", "error"),
    [
        (("moon dust", "1 cup"), KitchenError),
        (("raisins", "some"), MeasureError),
        (("raisins", "0 g"), MeasureError),
        (("raisins", "9 in"), MeasureError),
        (("raisins", "1 cup", "at midnight"), KitchenError),
    ],
)
def test_impossible_add_ins_are_refused(kit, asked, error):
    with pytest.raises(error):
        add_in(kit, *asked)


@pytest.mark.parametrize("share", [-0.1, 0.95, 2, "half", float("nan")])
def test_impossible_squeezing_is_refused(kit, share):
    with pytest.raises(KitchenError, match="squeezed out"):
        add_in(kit, "zucchini", "1 cup", squeeze=share)


HEAD = 'name = "x"\nkind = "sweet"\nservings = 16\nkeeping = "muffins"\nsource = "lantern-street"\n'


@pytest.mark.parametrize(
    ("written", "words"),
    [
        (HEAD, ["changes is missing"]),
        (HEAD + "changes = []", ["at least one change"]),
        (HEAD.replace("sweet", "sour") + '[[changes]]\nremove = "salt"', ["sweet, savoury"]),
        (HEAD.replace("muffins", "No No") + '[[changes]]\nremove = "salt"', ["keeping"]),
        (HEAD.replace("lantern-street", "nowhere") + '[[changes]]\nremove = "salt"', ["nowhere"]),
        (HEAD + '[[changes]]\nremove = "moon dust"', ["moon dust", "change 1"]),
        (HEAD + '[[changes]]\nadd = "raisins"', ["needs add", "amount"]),
        (HEAD + '[[changes]]\nreplace = "salt"\namount = "1 tsp"', ["needs with"]),
        (HEAD + '[[changes]]\nadd = "raisins"\nremove = "salt"', ["exactly one of"]),
        (HEAD + '[[changes]]\nremove = "salt"\nwhen = "after cooling"', ["nothing to remove"]),
        (HEAD + '[[changes]]\nadd = "raisins"\namount = "lots"', ["lots"]),
        (HEAD + '[[changes]]\nadd = "raisins"\namount = "0 g"', ["above 0"]),
        (HEAD + '[[changes]]\nadd = "raisins"\namount = "1 g"\nwhen = "later"', ["after cooling"]),
        (HEAD + '[[changes]]\nadd = "raisins"\namount = "1 g"\nsqueeze = 2', ["0 to 0.9"]),
        (HEAD + '[[changes]]\nadd = "raisins"\namount = "1 g"\nsqueeze = "no"', ["0 to 0.9"]),
        (HEAD + '[[changes]]\nadd = 7\namount = "1 g"', ["quotation marks"]),
        (HEAD + '[[changes]]\nremove = ["salt"]', ["quotation marks"]),
        (HEAD + 'changes = ["salt"]', ["exactly one of"]),
        (HEAD + "tasty = true\n[[changes]]\nremove = 'salt'", ["not a part of a flavour"]),
        (HEAD.replace('"x"', '"cheese and chive"') + "[[changes]]\nremove='salt'", ["name too"]),
    ],
)
def test_faulty_files_are_told_with_their_place(data_folder, written, words):
    (data_folder / "flavours" / "mine.toml").write_text(written, encoding="utf-8")
    with pytest.raises(DataError) as told:
        kk.open_kit(data_folder)
    for fault in told.value.faults:
        assert fault.file == "flavours/mine.toml"
    for word in words:
        assert word in str(told.value)


def test_a_folder_of_ones_own(data_folder, base):
    change = '[[changes]]\nadd = "raisins"\namount = "100 g"\nsqueeze = false\n'
    (data_folder / "flavours" / "mine.toml").write_text(HEAD + change, encoding="utf-8")
    kit = kk.open_kit(data_folder)
    made = kit.flavours["mine"].applied_to(base)
    assert made.recipe.line("raisins").weight.m_as("g") == pytest.approx(100)
    for path in (data_folder / "flavours").iterdir():
        path.unlink()
    (data_folder / "flavours").rmdir()
    assert len(kk.open_kit(data_folder).flavours) == 0


def test_moments_sort_into_batter_and_finish(kit, base):
    raisins = kit.ingredients["raisins"]
    for when in MOMENTS:
        line = TimedLine(raisins, Q(50, "g"), when=when)
        made = plain_flavour(base).plus(Change(line=line)).applied_to(base)
        on_top = when in (ON_TOP, BRUSHED, AFTER)
        assert bool(made.finish) is on_top
        assert made.whole.weight.m_as("g") == pytest.approx(base.weight.m_as("g") + 50)
        assert made.recipe.weight.m_as("g") == pytest.approx(
            base.weight.m_as("g") + 50 * (not on_top)
        )


def test_a_finish_can_be_taken_from_another_or_left_off(kit, base):
    apple, cream = kit.flavours["apple-ginger"], kit.flavours["carrot-cream"]
    swapped = apple.with_finish_of(cream).applied_to(base)
    assert swapped.recipe.lines == apple.applied_to(base).recipe.lines
    assert weights(swapped.finish) == weights(cream.applied_to(base).finish)
    assert swapped.flavour.keeping == cream.keeping
    bare = apple.with_finish_of(None).applied_to(base)
    assert bare.whole == bare.recipe
    assert bare.recipe.lines == swapped.recipe.lines


# In another language -----------------------------------------------------------------------------


def test_a_name_made_of_names_is_english_and_can_be_said_in_another_language(kit, base):
    """The words of a squeezed shred, and of a flavour with the finish of another."""
    shred = squeezed(kit.ingredients["shredded carrot"])
    flavour = kit.flavours["cheese-chive"].with_finish_of(kit.flavours["lemon-poppy"])
    named = flavour.applied_to(base).recipe
    with language.speaking("es_US"):
        assert shred.name == "shredded carrot, squeezed"
        assert language.tr(shred.name) == "zanahoria rallada, después de exprimir"
        assert language.tr(named.name) == (
            "queso y cebollín, con el acabado de limón y semillas de amapola "
            "(masa base de zanahoria y avena)"
        )
    assert language.tr(named.name) == named.name


def test_a_name_that_is_made_up_of_none_is_left_as_it_is(kit):
    with language.speaking("es_US"):
        assert language.tr("grandmother's own, squeezed") == "grandmother's own, squeezed"


def test_allergens_are_said_in_full_in_another_language(base):
    listed = kk.allergens_in(base)
    with language.speaking("es_US"):
        said = str(listed)
    assert said == (
        "En los datos: leche (yogur natural); huevo (huevo grande); trigo (harina de trigo común). "
        "Lee todas las etiquetas; puede haber otras trazas."
    )
    assert str(listed).startswith("In the data: milk (plain yogurt); egg (large egg); wheat")
