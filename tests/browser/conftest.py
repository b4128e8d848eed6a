"""One server and one browser for all tests here, stopped before other tests go on."""

import os

import pytest
from playwright.sync_api import sync_playwright

from . import lab

# Not for the session: Playwright keeps an event loop turning, which other tests' kernels mind.
SHARED = "package"


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
def pages(browser, address):
    """Open a lesson, or come back to it: each is opened once, and looked at before it runs."""
    context = browser.new_context()
    opened: dict[str, lab.LessonPage] = {}

    def page_of(name: str) -> lab.LessonPage:
        if name not in opened:
            lesson = opened[name] = lab.LessonPage(context, address, name, asleep=True)
            lesson.stored = lesson.outputs()
            lesson.stored_cut_off = lesson.cut_off(lab.PHONE)
        opened[name].page.bring_to_front()
        opened[name].page.set_viewport_size(lab.DESK)
        return opened[name]

    yield page_of
    context.close()


@pytest.fixture
def open_lesson(pages):
    """Open a lesson; afterwards no error may stand on its console."""
    used = []

    def open_lesson(name: str) -> lab.LessonPage:
        used.append(pages(name))
        return used[-1]

    yield open_lesson
    for lesson in used:
        assert lesson.faults == []


@pytest.fixture
def run_lesson(open_lesson):
    """Open a lesson and let it run by itself, if that is still to be done."""

    def run_lesson(name: str) -> lab.LessonPage:
        lesson = open_lesson(name)
        if not lesson.is_awake:
            lesson.wake()
        return lesson

    return run_lesson
