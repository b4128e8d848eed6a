"""Each lesson as a page without code: panels live, nothing else asked of the network, no leftovers.

What a panel shows is compared with its twin in this process, as for the lessons in the editor.
"""

from collections.abc import Callable

import nbformat
import pytest
from playwright.sync_api import Locator

import kitchenkit as kk
from kitchenkit.exercises import UNITS
from kitchenkit.pages import ONLY_IN_THE_EDITOR
from kitchenkit.places import shipped_folder

from . import axe, lab
from .test_access import FIELDS, PANEL, ZOOMED
from .test_lessons import LESSONS, MOVES, PANELS, QUESTIONS, due, look, move, wait_for, write

_CODE = ".cm-editor, .CodeMirror, .jp-InputArea-editor, .highlight"


class PlainPage:
    """One lesson as a page, once its panels are up.

    Attributes
    ----------
    faults : list of str
        Errors on the page's console so far.
    """

    def __init__(self, context, site: str, name: str, size: dict):
        self.name = name
        self.faults: list[str] = []
        book = nbformat.read(shipped_folder("lessons") / f"{name}.ipynb", as_version=4)
        self.cells = book.cells
        self.page = context.new_page()
        self.page.set_viewport_size(size)
        self.page.on("console", self._hear)
        self.page.on("pageerror", lambda error: self.faults.append(f"uncaught: {error}"))
        self.page.goto(f"{site}/voila/render/{name}.ipynb", timeout=lab.PATIENCE * 1000)
        moment = self.page.locator("#moment")
        moment.wait_for(state="detached", timeout=lab.PATIENCE * 1000)
        for place in (place for place in PANELS + QUESTIONS if place.lesson == name):
            self.panel(place.cell).wait_for()

    def _hear(self, message) -> None:
        if message.type == "error":
            self.faults.append(f"{message.text} ({message.location.get('url', '')})")

    def cell(self, at: int) -> Locator:
        return self.page.locator(f'[id="cell-id={self.cells[at].id}"]')

    def panel(self, at: int) -> Locator:
        return self.cell(at).locator(".kk-panel.jupyter-widgets")

    def until(self, true: Callable[[], bool], what: Callable[[], str]) -> None:
        lab.LessonPage.until(self, true, what)

    def cut_off(self, size: dict) -> list[str]:
        self.page.set_viewport_size(size)
        cells = self.page.locator("main .jp-Cell")
        found = cells.evaluate_all(f"cells => cells.flatMap({lab.CUT_OFF})")
        return found + self.page.evaluate(lab.TOO_WIDE)

    def kernel(self) -> str:
        return self.page.evaluate(
            "JSON.parse(document.getElementById('jupyter-config-data').textContent).kernelId"
        )


@pytest.fixture(scope="module")
def asked():
    """The addresses that pages asked for."""
    return []


@pytest.fixture(scope="module")
def visit(browser, tmp_path_factory, asked):
    """A browser that was let in; opens a lesson's page. Between two it leaves the first."""
    with lab.serving(tmp_path_factory.mktemp("pages"), "pages") as address:
        context = browser.new_context()
        context.on("request", lambda request: asked.append(request.url))
        site, _, token = address.partition("/?token=")
        context.request.get(f"{site}/voila/tree?token={token}", max_redirects=0)

        def visit(name: str, size: dict = lab.DESK) -> PlainPage:
            for page in context.pages:
                page.close(run_before_unload=True)
            return PlainPage(context, site, name, size)

        visit.site, visit.context = site, context
        yield visit
        context.close()


def answer_box(lesson: PlainPage, kit, place) -> None:
    """Answer it wrongly, then rightly."""
    [question] = [q for q in kk.questions(kit, place.lesson) if q.key == place.name]
    box = lesson.panel(place.cell)
    verdict = box.locator("[role=status] .kk-say")
    value = question.answer.m_as(UNITS[question.units[0]])
    for number, sign in ((value * 3, "↻"), (value, "✓ Right")):
        box.locator("input").focus()
        write(lesson, f"{number:.6g}")
        lesson.until(
            lambda s=sign: verdict.count() and verdict.inner_text().startswith(s),
            lambda: f"answered: {verdict.all_inner_texts()}",
        )


@pytest.mark.parametrize("name", LESSONS)
def test_a_page_has_live_panels_and_no_code(visit, kit, name):
    lesson = visit(name)
    assert lesson.page.title() == lesson.cells[0].source.splitlines()[0].lstrip("# ")
    assert lesson.page.locator(_CODE).count() == 0
    words = lesson.page.locator("main").inner_text()
    assert "▶" not in words
    assert "Traceback" not in words
    assert "Error displaying widget" not in words
    assert "$" not in "".join(lesson.page.locator(".jp-RenderedMarkdown").all_inner_texts())
    formulas = sum("$" in cell.source for cell in lesson.cells if cell.cell_type == "markdown")
    assert bool(lesson.page.locator("mjx-container").count()) is bool(formulas)
    for at, cell in enumerate(lesson.cells):
        shown = lesson.cell(at).count()
        assert shown == (ONLY_IN_THE_EDITOR not in cell.metadata.get("tags", [])), cell.id
    fields = lesson.page.locator(PANEL).locator(FIELDS).locator("visible=true").count()
    assert tab_through(lesson.page) == (fields, [])
    place = next(place for place in PANELS if place.lesson == name)
    panel = lesson.panel(place.cell)
    twin = getattr(kk, place.name)(kit, **place.options())
    wait_for(lesson, panel, due(twin, panel))
    before = look(panel)
    move(lesson, panel, twin, *MOVES[place.name][0])
    wait_for(lesson, panel, due(twin, panel))
    assert look(panel).picture != before.picture
    for place in [place for place in QUESTIONS if place.lesson == name][:1]:
        answer_box(lesson, kit, place)
    for size in (lab.DESK, lab.PHONE, ZOOMED):
        assert lesson.cut_off(size) == [], size
    for size, schemes in ((lab.DESK, ("light", "dark")), (lab.PHONE, ("dark",))):
        lesson.page.set_viewport_size(size)
        for scheme in schemes:
            lesson.page.emulate_media(color_scheme=scheme)
            assert axe.faults(lesson.page) == [], f"{size['width']} px, {scheme}"
    assert lesson.faults == []


def tab_through(page) -> tuple[int, list[str]]:
    """How many fields Tab reaches from a page's top to its end, and what shows no focus."""
    reached, unmarked = 0, []
    for _ in range(500):
        page.keyboard.press("Tab")
        at = page.evaluate(
            """fields => {
                const at = document.activeElement;
                if (at === document.body) return null;
                const {outlineStyle, outlineWidth} = getComputedStyle(at);
                const inPanel = at.closest('.kk-panel') && at.matches(fields);
                const least = inPanel ? 2 : 1;  // a link has the browser's own ring
                const marked = outlineStyle !== 'none' && parseFloat(outlineWidth) >= least;
                return {inPanel, fault: marked ? '' : at.outerHTML.slice(0, 80)};
            }""",
            FIELDS,
        )
        if at is None:
            return reached, unmarked
        reached += bool(at["inPanel"])
        unmarked += [at["fault"]] if at["fault"] else []
    raise AssertionError("Tab goes round in circles")


def test_links_lead_on_and_panels_stop_when_a_page_is_left(visit):
    lesson = visit("00-welcome")
    page, ask = lesson.page, visit.context.request

    def kernel() -> str:
        return f"{visit.site}/api/kernels/{lesson.kernel()}"

    def wait_until_it_stopped(kernel: str) -> None:
        lesson.until(lambda: ask.get(kernel).status == 404, lambda: "its panels go on")

    first = kernel()
    assert ask.get(first).ok
    page.locator("main a[href='01-measure.ipynb']").last.click()
    page.locator("#jupyter-config-data").wait_for(state="attached")
    wait_until_it_stopped(first)

    second = kernel()  # left at once, before its panels are up
    assert page.locator("#moment").count()
    page.goto(f"{visit.site}/voila/render/02-scale.ipynb")
    wait_until_it_stopped(second)

    page.get_by_role("heading", name="02 Scale").wait_for()
    page.locator("#moment").wait_for(state="detached")
    xsrf = next(c["value"] for c in visit.context.cookies() if c["name"] == "_xsrf")
    stop = f"{visit.site}/voila/api/shutdown/{lesson.kernel()}"
    assert ask.post(stop, headers={"X-XSRFToken": xsrf}).ok
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    page.get_by_role("alert").filter(has_text="Load this page again").wait_for()


def test_nothing_was_asked_of_another_computer(visit, asked):
    elsewhere = {url for url in asked if not url.startswith((visit.site, "data:", "blob:"))}
    assert elsewhere == set()
    assert len(asked) > 100
