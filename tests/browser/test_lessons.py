"""Each lesson in real JupyterLab: readable before it runs, and answering the keyboard after.

To each panel on a page there is a twin in this process that makes the same moves. The page must
show the twin's sentence, table and picture; whether its numbers are right is for other tests.
"""

import re
from dataclasses import dataclass

import ipywidgets as widgets
import nbformat
import pytest
from playwright.sync_api import Locator, expect

import kitchenkit as kk
from kitchenkit.exercises import UNITS
from kitchenkit.places import shipped_folder

from . import lab
from .lab import press

LESSONS = sorted(path.stem for path in shipped_folder("lessons").glob("*.ipynb"))
SIZES = [pytest.param(lab.DESK, id="desk"), pytest.param(lab.PHONE, id="phone")]

# Panel -> what a person does to it, in turn: a control, and a key or else words and Enter.
MOVES = {
    "GlancePanel": [("pieces", "ArrowRight"), ("pieces", "PageUp")],
    "MeasurePanel": [("ingredient", "ArrowDown"), ("amount", "2 1/3 cups")],
    "OvenHeatPanel": [("heat", "ArrowRight"), ("heat", "PageUp")],
    "ScalePanel": [
        ("by", "ArrowRight"),
        ("way", "ArrowDown"),
        ("way", "ArrowDown"),
        ("weight", "PageUp"),
        ("way", "ArrowDown"),
        ("use_amount", "350 g"),
    ],
    "SwapPanel": [("batches", "ArrowRight"), ("to_pan", "ArrowUp"), ("cup", "190")],
    "SharePanel": [("batches", "ArrowRight"), ("count_1", "ArrowRight")],
    "BakePanel": [("depth", "ArrowRight"), ("oven", "PageUp"), ("pan_2", "ArrowDown")],
    "CostPanel": [("pieces", "ArrowRight"), ("snack", "ArrowDown"), ("minutes", "PageUp")],
    "HistoryPanel": [("item", "ArrowDown")],
    "ClassProgressPanel": [("lesson", "ArrowDown"), ("lesson", "ArrowDown")],
    "LabelsPanel": [("count", "ArrowRight"), ("portions", "PageUp"), ("made", "2026-11-27")],
    "AfterClassPanel": [("day", "ArrowDown"), ("oven", "ArrowDown")],
    "ClassPanel": [("students", "ArrowRight"), ("ovens", "ArrowRight"), ("pan", "ArrowDown")],
    "MyPanPanel": [("deep", "2 1/4 in"), ("kind", "ArrowDown"), ("water", "500")],
    "FlavourPanel": [("finish", "ArrowDown"), ("flavour", "ArrowDown"), ("pan", "ArrowUp")],
    "ReplacePanel": [("swap", "ArrowDown"), ("share", "ArrowDown")],
    "CoolPanel": [("room", "ArrowRight"), ("thick", "ArrowRight"), ("pan", "ArrowDown")],
    "FreezePanel": [("thick", "ArrowRight"), ("wrap", "ArrowDown"), ("freezer", "PageUp")],
    "StockPanel": [("eaters", "ArrowRight"), ("a_week", "ArrowRight")],
    "MonthPanel": [("eaters", "ArrowRight"), ("flavour_1", "ArrowDown"), ("budget", "60")],
}
STEPS = {"ArrowRight": 1, "ArrowLeft": -1, "ArrowDown": 1, "ArrowUp": -1, "PageUp": 5}


@dataclass(frozen=True)
class Place:
    """A panel or a question in a lesson's notebook, and the cell that shows it."""

    lesson: str
    cell: int
    name: str

    def __str__(self) -> str:
        return f"{self.lesson}-{self.name}"

    def options(self) -> dict[str, str]:
        """What the lesson gives its panel besides the kit, such as the day it was written."""
        book = nbformat.read(shipped_folder("lessons") / f"{self.lesson}.ipynb", as_version=4)
        return dict(re.findall(r'(\w+)="([^"]*)"', book.cells[self.cell].source))


def places(pattern: str) -> list[Place]:
    found = []
    for lesson in LESSONS:
        book = nbformat.read(shipped_folder("lessons") / f"{lesson}.ipynb", as_version=4)
        for at, cell in enumerate(book.cells):
            if cell.cell_type == "code" and (match := re.search(pattern, cell.source)):
                found.append(Place(lesson, at, match[1]))
    return found


PANELS = places(r"\bkk\.(\w+Panel)\(kit[,)]")
QUESTIONS = places(r'\bkk\.ask\(kit, "[^"]+", "([^"]+)"\)')


# --- before it runs -----------------------------------------------------------------------------


@pytest.mark.parametrize("name", LESSONS)
def test_before_it_runs_a_lesson_shows_stills(open_lesson, name):
    lesson = open_lesson(name)
    said = "\n".join(output.text for output in lesson.stored.values())
    assert "Error displaying widget" not in said
    assert "Loading widget" not in said
    panels = [place for place in PANELS if place.lesson == name]
    assert panels
    for place in panels:
        assert place.cell in lesson.stored, f"{place} has no stored output"
        still = lesson.stored[place.cell]
        assert len(still.pictures) == 1, place
        assert still.tables == 1, place
        assert re.search(r"\d", still.pictures[0]), place
        assert still.pictures[0] in still.text, "the picture's words stand below it too"
    for place in QUESTIONS:
        if place.lesson == name:
            assert place.cell in lesson.stored, f"{place} has no stored output"
            assert "?" in lesson.stored[place.cell].text


@pytest.mark.parametrize("name", LESSONS)
def test_before_it_runs_a_phone_shows_all_of_it(open_lesson, name):
    assert open_lesson(name).stored_cut_off == []


# --- its panels, by keyboard --------------------------------------------------------------------


@dataclass(frozen=True)
class Shown:
    """What a panel says and shows."""

    sentence: str
    table: list[list[str]]
    picture: str
    alt: str


def look(panel: Locator) -> Shown:
    """What stands on the page; nothing of what is not there yet, or is just being made anew."""
    return Shown(
        *panel.evaluate("""panel => {
            const svg = panel.querySelector('.kk-picture svg');
            const rows = [...panel.querySelectorAll('.kk-table tr')];
            return [panel.querySelector('.kk-say')?.textContent,
                rows.map(row => [...row.cells].map(cell => cell.textContent)),
                svg?.innerHTML, svg?.getAttribute('aria-label')];
        }""")
    )


def due(twin, panel: Locator) -> Shown:
    """What should stand there; a browser writes the same picture in its own way."""
    picture = panel.evaluate(
        """(_, svg) => {
            const box = document.createElement('div');
            box.innerHTML = svg;
            return box.firstElementChild.innerHTML;
        }""",
        twin.chart.svg(),
    )
    return Shown(twin.sentence, twin.table, picture, twin.sentence)


def wait_for(lesson: lab.LessonPage, panel: Locator, wanted: Shown) -> None:
    def differences() -> str:
        seen, told = look(panel), ["the panel is not as due"]
        for name in vars(wanted):
            one, other = getattr(seen, name), getattr(wanted, name)
            if one != other:
                told.append(name if name == "picture" else f"{name}\nseen {one}\ndue  {other}")
        return "\n".join(told)

    lesson.until(lambda: look(panel) == wanted, differences)


def field(panel: Locator, twin, name: str) -> Locator:
    """What takes the keys of a control."""
    at = list(twin.controls).index(name)
    control = panel.locator(".kk-controls > .widget-inline-hbox").nth(at)
    assert control.locator(".widget-label").inner_text() == twin.controls[name].description
    return control.locator(".noUi-handle, select, input")


def move(lesson: lab.LessonPage, panel: Locator, twin, name: str, keys: str) -> None:
    """Move a control by keyboard, and the twin's alike."""
    target, control = field(panel, twin, name), twin.controls[name]
    target.focus()
    if isinstance(control, widgets.Text | widgets.BoundedFloatText):
        write(lesson, keys)
        control.value = type(control.value)(keys)
    else:
        lesson.page.keyboard.press(keys)
        if isinstance(control, widgets.Dropdown):
            control.index += STEPS[keys]
        else:
            control.value += STEPS[keys] * control.step


def write(lesson: lab.LessonPage, words: str) -> None:
    """Write over what stands in the box that has the focus."""
    lesson.page.keyboard.press("ControlOrMeta+a")
    lesson.page.keyboard.press("Delete")
    lesson.page.keyboard.type(words)
    lesson.page.keyboard.press("Enter")


@pytest.fixture
def meet(run_lesson, kit):
    """Bring a panel as it stands at the start, and its twin."""

    def meet(place: Place):
        assert place.name in MOVES, "write there what a person does to this panel"
        lesson = run_lesson(place.lesson)
        panel = lesson.cell(place.cell).locator(".kk-panel")
        twin = getattr(kk, place.name)(kit, **place.options())
        press(panel, "Start again")
        wait_for(lesson, panel, due(twin, panel))
        return lesson, panel, twin

    return meet


@pytest.mark.parametrize("place", PANELS, ids=str)
def test_a_panel_follows_the_keyboard(meet, place):
    lesson, panel, twin = meet(place)
    start = look(panel)
    for name, keys in MOVES[place.name]:
        field(panel, twin, name).focus()  # which may scroll; moving it may not
        before, top = look(panel), panel.bounding_box()["y"]
        move(lesson, panel, twin, name, keys)
        wanted = due(twin, panel)
        still = [part for part in vars(before) if getattr(before, part) == getattr(wanted, part)]
        # Another way of asking may give the same answer; any other move shows everywhere.
        assert name == "way" or not still, f"{name} {keys} would leave {still} as they were"
        wait_for(lesson, panel, wanted)
        assert panel.bounding_box()["y"] == pytest.approx(top, abs=2), "the page jumped"

    press(panel, "One step back")
    twin.step_back()
    assert due(twin, panel) == before
    wait_for(lesson, panel, before)
    press(panel, "Start again")
    wait_for(lesson, panel, start)
    press(panel, "One step back")
    wait_for(lesson, panel, before)


@pytest.mark.parametrize("place", PANELS, ids=str)
def test_a_panel_refuses_what_it_cannot_read(meet, place):
    lesson, panel, twin = meet(place)
    for name, keys in MOVES[place.name]:  # on the way, the boxes of another choice appear
        move(lesson, panel, twin, name, keys)
        wait_for(lesson, panel, due(twin, panel))
        if not isinstance(twin.controls[name], widgets.Text):
            continue
        before = look(panel)
        for words in ("some", ""):
            field(panel, twin, name).focus()
            write(lesson, words)
            wrong = panel.locator("[role=alert] .kk-say")
            lesson.until(lambda w=wrong: w.count() == 1, lambda w=words: f"{w!r} was taken")
            assert wrong.inner_text().startswith("Look again: ")
            assert "stumbled" not in wrong.inner_text()
            seen = look(panel)
            assert (seen.picture, seen.table) == (before.picture, before.table)
            press(panel, "One step back")
            wait_for(lesson, panel, before)


# --- its questions ------------------------------------------------------------------------------


@pytest.mark.parametrize("place", QUESTIONS, ids=str)
def test_an_answer_box_judges(run_lesson, kit, place):
    lesson = run_lesson(place.lesson)
    box = lesson.cell(place.cell).locator(".kk-panel")
    [question] = [q for q in kk.questions(kit, place.lesson) if q.key == place.name]
    lesson.until(lambda: question.ask in box.inner_text(), lambda: "the question is not shown")
    verdict = box.locator("[role=status] .kk-say")
    unit = question.units[0]
    value = question.answer.m_as(UNITS[unit])
    nearly = 1 + (question.right + question.nearly) / 2
    for number, sign in ((value, "✓ Right"), (value * 3, "↻"), (value * nearly, "≈ Nearly")):
        words = f"{number:.6g}"
        box.locator("input").focus()
        write(lesson, words)
        due = question.check(words, unit).say
        lesson.until(
            lambda d=due: verdict.count() and verdict.inner_text().endswith(d),
            lambda w=words: f"{w} was answered: {verdict.all_inner_texts()}",
        )
        assert verdict.inner_text().startswith(sign)
    for words in ("some", ""):
        with pytest.raises(kk.MeasureError) as refusal:
            question.check(words, unit)
        box.locator("input").focus()
        write(lesson, words)
        lesson.until(
            lambda r=refusal: verdict.inner_text() == f"Look again: {r.value}",
            lambda w=words: f"{w!r} was answered: {verdict.inner_text()}",
        )
    steps = {"Hint": question.hint, "Show the first step": question.first_step}
    if question.steps_count > 1:
        steps["Show the working"] = question.covered_working
    steps["Show the answer"] = question.working
    told = box.locator("[role=status] .kk-care")
    for button, words in steps.items():
        press(box, button)
        lesson.until(
            lambda w=words: told.count() and w in told.inner_text(), lambda b=button: f"no {b}"
        )


@pytest.mark.parametrize(
    "place", [place for place in QUESTIONS if place.name in ("oats", "square")], ids=str
)
def test_an_answer_may_come_in_another_unit(run_lesson, kit, place):
    lesson = run_lesson(place.lesson)
    box = lesson.cell(place.cell).locator(".kk-panel")
    [question] = [q for q in kk.questions(kit, place.lesson) if q.key == place.name]
    box.locator("select").focus()
    lesson.page.keyboard.press("ArrowDown")
    box.locator("input").focus()
    write(lesson, f"{question.answer.m_as(UNITS[question.units[1]]):.6g}")
    verdict = box.locator("[role=status] .kk-say")
    lesson.until(
        lambda: verdict.count() and verdict.inner_text().startswith("✓ Right"),
        lambda: f"answered: {verdict.all_inner_texts()}",
    )


# --- the whole page -----------------------------------------------------------------------------


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", LESSONS)
def test_nothing_is_cut_off(run_lesson, name, size):
    assert run_lesson(name).cut_off(size) == []


@pytest.mark.parametrize("name", LESSONS)
def test_no_output_is_an_error(run_lesson, name):
    lesson = run_lesson(name)
    for at, output in lesson.outputs().items():
        assert "Traceback" not in output.text, f"cell {at}"
        assert "Error displaying widget" not in output.text, f"cell {at}"
        assert "Loading widget" not in output.text, f"cell {at}"


@pytest.mark.parametrize("place", PANELS, ids=str)
def test_keys_on_a_panel_leave_the_lesson_alone(meet, place):
    """A slip of the finger on a control must not add, cut or move to another cell."""
    lesson, panel, _ = meet(place)
    for part in (".noUi-handle", "select", "button"):
        for control in panel.locator(part).locator("visible=true").all()[:1]:
            cells = lesson.page.locator(".jp-Cell").count()
            control.focus()
            for key in ("b", "x", "ArrowDown"):
                lesson.page.keyboard.press(key)
                assert lesson.page.locator(".jp-Cell").count() == cells, f"{part} {key}"
                assert control.evaluate("e => e === document.activeElement"), f"{part} {key}"


@pytest.mark.parametrize("name", ["00-welcome"])
def test_a_lesson_runs_again_by_its_button(run_lesson, name):
    """What the lesson says to do when a panel does not move."""
    lesson = run_lesson(name)
    panel = next(place.cell for place in PANELS if place.lesson == name)
    lesson.cell(panel).locator(".kk-panel").evaluate("panel => panel.classList.add('old')")
    lesson.run_again()
    expect(lesson.cell(panel).locator(".kk-panel.jupyter-widgets:not(.old)")).to_be_visible()
    expect(lesson.page.locator(".kk-panel.old")).to_have_count(0)


def test_a_notebook_from_elsewhere_waits_to_be_run(address, browser):
    """Only what this computer has signed runs by itself."""
    site, token = address.split("/doc/")[0], address.split("token=")[1]
    book = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell("print(6 * 7)")])
    book.metadata["kernelspec"] = {"name": "python3", "display_name": "Python 3"}
    book.cells[0]["outputs"] = [
        nbformat.v4.new_output("display_data", {"text/html": "<script>elsewhere = 1</script>"})
    ]
    book.cells.insert(0, nbformat.v4.new_markdown_cell("# From elsewhere"))
    context = browser.new_context()
    reply = context.request.put(
        f"{site}/api/contents/elsewhere.ipynb",
        headers={"Authorization": f"token {token}"},
        data={"type": "notebook", "content": book},
    )
    assert reply.ok
    page = lab.LessonPage(context, address, "elsewhere", asleep=True)
    page.give_kernel()
    page.page.wait_for_timeout(2000)  # a lesson of the kit would run now
    assert page.page.evaluate("typeof elsewhere") == "undefined"
    assert page.page.locator(".jp-OutputArea-output", has_text="42").count() == 0
    assert page.page.locator(".jp-CodeCell .jp-InputPrompt").inner_text() == "[ ]:"
    context.close()


@pytest.mark.parametrize("name", ["01-measure"])
def test_a_saved_lesson_reopens_with_stills(run_lesson, address, name):
    """The page saves itself; tomorrow's kernel knows nothing of today's panels."""
    lesson = run_lesson(name)
    site, token = address.split("/doc/")[0], address.split("token=")[1]
    file = f"{site}/api/contents/{name}.ipynb?token={token}"

    # It is read once the server has written it: one that is asked for a notebook amid its writing
    # takes it for a spoilt one, and moves it aside.
    with lesson.page.expect_response(
        lambda reply: reply.request.method == "PUT" and f"/api/contents/{name}" in reply.url
    ) as saved:
        lesson.page.keyboard.press("Control+s")
    assert saved.value.ok
    held = lesson.page.request.get(file).json()
    outputs = [o["data"] for c in held["content"]["cells"] for o in c.get("outputs", [])]
    assert not [data for data in outputs if "application/vnd.jupyter.widget-view+json" in data]
    assert [data for data in outputs if "data:image/svg+xml" in str(data.get("text/html"))]
