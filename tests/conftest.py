"""What tests share: the shipped kit, and a copy of its data folder to spoil."""

import shutil

import pytest

import kitchenkit
from kitchenkit.places import shipped_folder


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
