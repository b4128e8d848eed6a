"""One server and one browser for all tests here, stopped before other tests go on."""

import os
from pathlib import Path

import pytest
from playwright.sync_api import sync_playwright

from . import lab

PLACE = Path(__file__).parent

# Not for the session: Playwright keeps an event loop turning, which other tests' kernels mind.
SHARED = "package"


def lesson_of(item: pytest.Item) -> str:
    """The lesson that a test opens, by its parameter ``name`` or ``place``; else nothing."""
    if "pages" not in item.fixturenames:
        return ""
    given = item.callspec.params if hasattr(item, "callspec") else {}
    return given.get("name") or getattr(given.get("place"), "lesson", "")


def pytest_collection_modifyitems(items):
    """All that looks at a lesson comes together, so that each is opened once."""
    ours = [at for at, item in enumerate(items) if item.path.is_relative_to(PLACE)]
    for at, item in zip(ours, sorted((items[at] for at in ours), key=lesson_of), strict=True):
        items[at] = item


@pytest.fixture(scope=SHARED)
def browser():
    with sync_playwright() as playwright:
        executable = lab.find_chromium(playwright)
        if executable is None:
            reason = "No Chromium was found on this computer, so no lesson was opened in a browser."
            if os.environ.get("KITCHENKIT_NEED_BROWSER") == "1":
                pytest.fail(f"{reason} KITCHENKIT_NEED_BROWSER=1 asks for one.")
            pytest.skip(f"{reason} Install Debian's chromium, or run: playwright install chromium")
        running = lab.start_browser(playwright, executable)
        yield running
        running.close()


@pytest.fixture(scope=SHARED)
def address(browser, tmp_path_factory):
    """What the launcher printed, once its server answers; it serves copies of the lessons."""
    with lab.serving(tmp_path_factory.mktemp("learner")) as printed:
        yield printed


@pytest.fixture(scope=SHARED)
def pages(request, browser):
    """Open a lesson, or go on in it: each is opened once, and looked at before it runs."""

    def open_page(context, name: str) -> lab.LessonPage:
        address = request.getfixturevalue("address")  # not before a lesson is wanted
        lesson = lab.LessonPage(context, address, name, asleep=True)
        lesson.stored = lesson.outputs()
        lesson.stored_cut_off = lesson.cut_off(lab.PHONE)
        return lesson

    with lab.one_at_a_time(browser, open_page) as page_of:
        yield page_of


@pytest.fixture
def open_lesson(pages):
    """Open a lesson; afterwards no error may stand on its console."""
    with lab.without_faults(pages) as open_lesson:
        yield open_lesson


@pytest.fixture
def run_lesson(open_lesson):
    """Open a lesson and let it run by itself, if that is still to be done."""

    def run_lesson(name: str) -> lab.LessonPage:
        lesson = open_lesson(name)
        if not lesson.is_awake:
            lesson.wake()
        return lesson

    return run_lesson
