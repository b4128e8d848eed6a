"""What tests share: the shipped kit, and a copy of its data folder to spoil."""

import shutil

import pytest
from hypothesis import settings

import kitchenkit
from kitchenkit.places import shipped_folder

# The same examples each time, on slow machines too. To look for new ones:
# pytest --hypothesis-profile search
settings.register_profile("same", derandomize=True, deadline=None)
settings.register_profile("search", max_examples=2000, deadline=None)
settings.load_profile("same")


@pytest.fixture(scope="session")
def kit():
    """The shipped data, read and checked once."""
    return kitchenkit.open_kit()


@pytest.fixture(scope="session")
def base(kit):
    """The demo's base batter as written."""
    return kit.recipes["carrot-oat-base"]


@pytest.fixture
def data_folder(tmp_path):
    """A copy of the shipped data that a test may change."""
    return shutil.copytree(shipped_folder("data"), tmp_path / "data")
