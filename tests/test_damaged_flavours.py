"""Spoilt flavours and swaps: each folder opens whole and right, or tells one error with its places.

The ways to spoil a file are those of the other data; each case has a fixed seed.
"""

import math
import random
import shutil

import pytest
from test_damaged_data import BYTES, SHIPPED, spoil_recipe, spoil_table

import kitchenkit as kk
from kitchenkit.errors import DataError
from kitchenkit.flavours import MOMENTS

CASES = 200
FLAVOURS = sorted(path.relative_to(SHIPPED).as_posix() for path in SHIPPED.glob("flavours/*.toml"))
SWAPS = "swaps.csv"


def damage(case):
    """The file that case number `case` spoils, and the spoilt bytes."""
    rng = random.Random(f"flavours/{case}")
    name = rng.choice([SWAPS, rng.choice(FLAVOURS), rng.choice(FLAVOURS)])
    raw = (SHIPPED / name).read_bytes()
    if rng.random() < 0.4:
        return name, rng.choice(BYTES)(rng, raw)
    return name, (spoil_table if name == SWAPS else spoil_recipe)(rng, raw)[0]


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return shutil.copytree(SHIPPED, tmp_path_factory.mktemp("spoilt") / "data")


@pytest.mark.parametrize("case", range(CASES))
def test_spoilt_flavours_open_right_or_are_told(folder, kit, base, case):
    name, raw = damage(case)
    (folder / name).write_bytes(raw)
    try:
        opened = kk.open_kit(folder)
    except DataError as error:
        assert_told(error, name)
    else:
        assert_whole(opened)
    finally:
        shutil.copyfile(SHIPPED / name, folder / name)


def assert_told(error, name):
    """One error, about the spoilt file alone, with places that a person can find."""
    assert {fault.file for fault in error.faults} == {name}
    for fault in error.faults:
        assert fault.row.strip()
        assert fault.mend.strip()
    assert len(str(error)) < 200_000


def assert_whole(kit):
    """Every figure is one that a kitchen can have."""
    for flavour in kit.flavours.values():
        assert flavour.kind in ("sweet", "savoury")
        assert 0 < flavour.servings <= 10_000
        assert flavour.source in kit.sources
        assert flavour.changes
        for change in flavour.changes:
            assert change.out or change.line
            assert 0 <= change.squeeze <= 0.9
            if change.line:
                assert change.line.when in MOMENTS
                assert 0 < change.line.weight.m_as("g") <= 1e6
                assert kit.ingredients[change.line.ingredient.key] is change.line.ingredient
    for swap in kit.swaps.values():
        assert 0 < swap.most <= 1
        assert swap.source in kit.sources
        assert swap.put
        for item, amount in ((swap.out, swap.of), *swap.put):
            assert math.isfinite(item.weight(amount).m)
            assert item.weight(amount).m > 0


def test_the_cases_reach_every_kind_of_file():
    names = {damage(case)[0] for case in range(CASES)}
    assert SWAPS in names
    assert len(names) > 8
