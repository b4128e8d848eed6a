"""What tests share: the shipped kit, and a copy of its data folder to spoil."""

import re
import shutil
from contextlib import contextmanager

import pytest
from hypothesis import settings

import kitchenkit
from kitchenkit import language
from kitchenkit.places import shipped_folder

# The same examples each time, on slow machines too. To look for new ones:
# pytest --hypothesis-profile search
settings.register_profile("same", derandomize=True, deadline=None)
settings.register_profile("search", max_examples=2000, deadline=None)
settings.load_profile("same")


_LESSONS = "access|language|lessons"  # the files that go on in a lesson that another opened


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config, log):
    """Two processes share the lessons in the browser; all other files stay whole."""
    if config.getvalue("dist") != "loadfile":
        return None
    from xdist.scheduler import LoadFileScheduling

    class Together(LoadFileScheduling):
        def _split_scope(self, nodeid: str) -> str:
            lesson = re.search(rf"browser/test_(?:{_LESSONS})\.py::[^[]+\[(\d+)-", nodeid)
            return f"lessons {int(lesson[1]) % 2}" if lesson else super()._split_scope(nodeid)

    return Together(config, log)


@pytest.fixture(autouse=True)
def _no_screen_of_another_test():
    """A change of language is told to every panel alive; those of other tests would be, too."""
    language._listening.clear()


@pytest.fixture
def told():
    """Turn all that is shown into another language for a while, as the list of languages does."""

    @contextmanager
    def told(name: str):
        before = language.current()
        language.use(name)
        try:
            yield
        finally:
            language.use(before)

    return told


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
