"""A learner answers, comes back another day and goes on; an instructor sees what was answered."""

import nbformat
import pytest

from kitchenkit.copies import class_folder
from kitchenkit.exercises import UNITS, questions
from kitchenkit.places import shipped_folder
from kitchenkit.progress import FILE, Answered, ProgressFile, read_progress

from . import lab

NAME = "Tansy"


def cell_of(lesson: str, source: str) -> int:
    book = nbformat.read(shipped_folder("lessons") / f"{lesson}.ipynb", as_version=4)
    (at,) = [at for at, cell in enumerate(book.cells) if source in cell.source]
    return at


def write(lesson: lab.LessonPage, words: str) -> None:
    """Write over what stands in the box that has the focus, and press Enter."""
    for key in ("ControlOrMeta+a", "Delete"):
        lesson.page.keyboard.press(key)
    lesson.page.keyboard.type(words)
    lesson.page.keyboard.press("Enter")


def wait_for(lesson: lab.LessonPage, panel, words: str) -> None:
    lesson.until(
        lambda: words in panel.inner_text(), lambda: f"{words!r} not in:\n{panel.inner_text()}"
    )


@pytest.fixture
def folder(tmp_path):
    return tmp_path / "learner"


@pytest.fixture
def visit(browser, folder):
    """Open lessons in a server and a browser of the day, and see to it that no error shows."""

    def visit(day: dict):
        with lab.serving(folder) as address:
            context = browser.new_context()
            for name, then in day.items():
                lesson = lab.LessonPage(context, address, name)
                then(lesson)
                assert lesson.faults == []
                lesson.page.close()
            context.close()

    return visit


def test_a_learner_comes_back_to_what_they_left(visit, folder, kit):
    (mine,) = questions(kit, "00-welcome", NAME)
    right = f"{mine.answer.m_as(UNITS[mine.units[0]]):.4g}"
    slip = f"{mine.slips[0].answer.m_as(UNITS[mine.units[0]]):.4g}"
    box_at, name_at = cell_of("00-welcome", '"times")'), cell_of("00-welcome", "kk.YourNumbers")

    def kept():
        return read_progress((folder / FILE).read_bytes())

    def first_day(lesson):
        you = lesson.cell(name_at).locator(".kk-panel")
        you.locator("input").focus()
        write(lesson, NAME)
        you.locator("select").focus()
        lesson.page.keyboard.press("ArrowDown")
        lab.press(you, "Keep this")
        wait_for(lesson, you, f"Kept: {NAME}, your own numbers.")
        for size in (lab.PHONE, lab.DESK):
            assert lesson.cut_off(size) == []
        lesson.run_again()
        box = lesson.cell(box_at).locator(".kk-panel")
        wait_for(lesson, box, mine.ask)
        box.locator("input").focus()
        write(lesson, slip)
        wait_for(lesson, box, mine.slips[0].say)
        lab.press(box, "Hint")
        wait_for(lesson, box, mine.hint)

    visit({"00-welcome": first_day})
    (answer,) = kept().answers.values()
    assert kept().learner == NAME
    assert (answer.typed, answer.tries, answer.hints, answer.solved) == (slip, 1, 1, False)

    def another_day(lesson):
        you = lesson.cell(name_at).locator(".kk-panel")
        assert you.locator("input").input_value() == NAME
        box = lesson.cell(box_at).locator(".kk-panel")
        wait_for(lesson, box, mine.ask)
        assert box.locator("input").input_value() == slip
        wait_for(lesson, box, mine.slips[0].say)
        wait_for(lesson, box, mine.hint)
        box.locator("input").focus()
        write(lesson, right)
        wait_for(lesson, box, f"✓ Right. {mine.working}")

    def next_lesson(lesson):
        box = lesson.cell(cell_of("01-measure", '"oats")')).locator(".kk-panel")
        wait_for(lesson, box, questions(kit, "01-measure", NAME)[0].ask)

    visit({"00-welcome": another_day, "01-measure": next_lesson})
    (answer,) = kept().answers.values()
    assert (answer.typed, answer.tries, answer.solved) == (right, 2, True)


def test_an_instructor_looks_up_answers_and_sums_up_what_was_handed_in(visit, folder, kit):
    class_folder(folder)
    handed_in = ProgressFile(folder / "handed-in" / "one.json")
    handed_in.introduce("<b>Sorrel</b>", own=False)
    answer = Answered("05-cost", "yield", tries=3, typed="8", unit="cents", state="again")
    handed_in.put(answer)
    (folder / "handed-in" / "two.json").write_text("no progress")
    page = "instructor/answer-key"

    def look(lesson):
        key = lesson.cell(cell_of(page, "kk.AnswerKey")).locator(".kk-panel")
        wait_for(lesson, key, questions(kit, "05-cost")[0].ask)
        key.locator("input").focus()
        write(lesson, NAME)
        for name in ("00-welcome", "05-cost"):
            wait_for(lesson, key, questions(kit, name, NAME)[0].ask)
            wait_for(lesson, key, questions(kit, name, NAME)[0].working)
        panel = lesson.cell(cell_of(page, "kk.ClassProgressPanel")).locator(".kk-panel")
        wait_for(lesson, panel, "In all lessons, 6 learners have")
        panel.locator("select").focus()
        lesson.page.keyboard.press("ArrowDown")
        wait_for(lesson, panel, "In 00 Welcome, 6 learners have")
        panel.locator("input").focus()
        write(lesson, "nowhere")
        wait_for(lesson, panel, "Look again: There is no folder 'nowhere'.")
        panel.locator("input").focus()
        write(lesson, str(folder / "handed-in"))
        wait_for(lesson, panel, "0 answers to the questions of 00 Welcome so far.")
        wait_for(lesson, panel, "two.json was left out.")
        panel.locator("select").focus()
        lesson.page.keyboard.press("Home")
        wait_for(lesson, panel, "In all lessons, 1 learner has 0 of 1 questions right.")
        wait_for(lesson, panel, "<b>Sorrel</b>")
        for size in (lab.PHONE, lab.DESK):
            assert lesson.cut_off(size) == []

    visit({page: look})
