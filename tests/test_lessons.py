"""Every lesson follows the one skeleton, hides its code, and stores outputs that hold numbers."""

from __future__ import annotations

import re
from pathlib import Path

import nbformat
import pytest

from kitchenkit.exercises import questions
from kitchenkit.notebooks import lessons

HEADINGS = [
    "What you will be able to do",
    "What you need",
    "Take care",
    "Try it",
    "What to notice",
    "Check yourself",
    "Where the numbers come from",
    "Take home",
]
CORE = [path for path in lessons() if re.match(r"\d\d-", path.name)]


def _read(path: Path):
    return nbformat.read(path, as_version=4)


def _code(path: Path):
    return [cell for cell in _read(path).cells if cell.cell_type == "code"]


def _words(path: Path) -> str:
    return "\n".join(c.source for c in _read(path).cells if c.cell_type == "markdown")


def test_there_are_lessons():
    assert [path.stem for path in CORE][:4] == ["00-welcome", "01-measure", "02-scale", "03-pans"]


@pytest.mark.parametrize("path", CORE, ids=lambda path: path.stem)
class TestSkeleton:
    def test_headings_in_order(self, path):
        found = re.findall(r"^## (.+)$", _words(path), re.M)
        assert [heading for heading in found if heading in HEADINGS] == HEADINGS

    def test_one_title(self, path):
        assert len(re.findall(r"^# .+$", _words(path), re.M)) == 1

    def test_says_how_to_run_it_and_what_to_mind(self, path):
        words = _words(path)
        assert "▶▶" in words
        assert "Raw flour and raw eggs" in words
        assert "read every label" in words
        assert "local food rules" in words

    def test_code_is_short_and_hidden(self, path):
        for cell in _code(path):
            assert cell.metadata.get("jupyter", {}).get("source_hidden"), cell.id
            assert len(cell.source.splitlines()) <= 3, cell.id

    def test_a_formula_in_words_and_symbols(self, path):
        assert re.search(r"In words: \*.+\* In symbols: \$.+\$", _words(path))

    def test_a_panel(self, path):
        source = "\n".join(cell.source for cell in _code(path))
        assert re.search(r"kk\.\w+Panel\(kit[,)]", source)

    def test_every_question_of_the_lesson_is_asked(self, path, kit):
        source = "\n".join(cell.source for cell in _code(path))
        asked = re.findall(r'kk\.ask\(kit, "([^"]+)", "([^"]+)"\)', source)
        assert asked == [(path.stem, question.key) for question in questions(kit, path.stem)]

    def test_stored_outputs_hold_numbers(self, path):
        """A panel's still holds its sentence, its table and its picture."""
        panels = [cell for cell in _code(path) if cell.id.startswith("panel-")]
        assert panels
        for cell in panels:
            (output,) = cell.outputs
            page = output["data"]["text/html"]
            text = re.sub(r'src="[^"]*"', "", page)
            assert len(re.findall(r"\d[\d,.]*", text)) >= 6, cell.id
            assert "<table" in page
            assert re.search(r'<img alt="[^"]{20,}"', page)
            assert re.search(r"\d", output["data"]["text/plain"])

    def test_every_code_cell_but_the_first_shows_something(self, path):
        first, *rest = _code(path)
        assert not first.outputs
        assert all(cell.outputs for cell in rest)

    def test_no_error_and_no_warning_stored(self, path):
        for cell in _code(path):
            assert {output.output_type for output in cell.outputs} <= {"execute_result"}, cell.id


def test_the_welcome_page_lists_every_lesson():
    listed = re.findall(r"^- \[[^\]]+\]\(([^)]+)\)", _words(CORE[0]), re.M)
    assert listed == [path.name for path in CORE]


@pytest.mark.parametrize("path", CORE, ids=lambda path: path.stem)
def test_links_lead_somewhere(path):
    for target in re.findall(r"\]\(([^)#]+)\)", _words(path)):
        assert (path.parent / target).is_file(), target
