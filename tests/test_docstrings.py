"""What the docstrings promise: the examples hold, and every public name explains itself."""

import doctest
import importlib
import inspect

import pytest

import kitchenkit
from kitchenkit.places import PACKAGE

MODULES = sorted(path.stem for path in PACKAGE.glob("*.py") if not path.stem.startswith("__"))
MODULES += sorted(f"exercises.{path.stem}" for path in PACKAGE.glob("exercises/[a-z]*.py"))


@pytest.mark.parametrize("name", MODULES)
def test_examples_in_docstrings_hold(name):
    module = importlib.import_module(f"kitchenkit.{name}")
    assert doctest.testmod(module).failed == 0


@pytest.mark.parametrize("name", kitchenkit.__all__)
def test_every_public_name_loads_and_explains_itself(name):
    thing = getattr(kitchenkit, name)
    assert name in dir(kitchenkit)
    assert (inspect.getdoc(thing) or "").strip()


def test_a_name_that_is_not_there_is_an_attribute_error():
    with pytest.raises(AttributeError, match="has no attribute 'bake_cake'"):
        kitchenkit.bake_cake  # noqa: B018
