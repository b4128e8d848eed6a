"""The lessons' notebooks are clean, and the cleaner does what it says."""

import json

import nbformat
import pytest

from kitchenkit import notebooks

VIEW = "application/vnd.jupyter.widget-view+json"


def messy() -> str:
    cells = [
        {
            "cell_type": "markdown",
            "id": "chosen-by-hand",
            "metadata": {"collapsed": True},
            "source": "# A lesson",
        },
        {
            "cell_type": "code",
            "id": "0a1b2c3d",
            "metadata": {
                "tags": ["panel"],
                "jupyter": {"source_hidden": True},
                "execution": {"iopub.execute_input": "2026-01-01T00:00:00Z"},
            },
            "execution_count": 7,
            "source": "panel",
            "outputs": [
                {
                    "output_type": "execute_result",
                    "execution_count": 7,
                    "metadata": {},
                    "data": {VIEW: {"model_id": "abc"}, "text/html": "<p>384 g</p>"},
                },
                {"output_type": "stream", "name": "stdout", "text": "384\n"},
            ],
        },
        {
            "cell_type": "code",
            "id": "12345678-1234-1234-1234-123456789abc",
            "metadata": {},
            "execution_count": 8,
            "source": "panel",
            "outputs": [],
        },
    ]
    metadata = {
        "kernelspec": {"name": "mine", "display_name": "Mine", "language": "python"},
        "language_info": {"name": "python", "version": "3.11.1"},
        "widgets": {"application/vnd.jupyter.widget-state+json": {"state": {}}},
    }
    document = {"cells": cells, "metadata": metadata, "nbformat": 4, "nbformat_minor": 5}
    return json.dumps(document)


def test_every_lesson_is_clean(capsys):
    assert notebooks.main(["--check"]) == 0, capsys.readouterr().out


def test_what_a_run_leaves_goes_and_what_a_reader_needs_stays():
    text = notebooks.cleaned(messy())
    notebook = nbformat.reads(text, as_version=4)
    nbformat.validate(notebook)
    assert dict(notebook.metadata) == notebooks.METADATA
    title, panel, again = notebook.cells
    assert title.metadata == {}
    assert panel.metadata == {"tags": ["panel"], "jupyter": {"source_hidden": True}}
    assert (panel.execution_count, again.execution_count) == (1, 2)
    result, stream = panel.outputs
    assert result.data == {"text/html": "<p>384 g</p>"}
    assert result.execution_count == 1
    assert stream.text == "384\n"
    assert title.id == "chosen-by-hand"
    assert panel.id.startswith("code-")
    assert again.id == panel.id + "-2"


def test_cleaning_twice_changes_nothing_more():
    once = notebooks.cleaned(messy())
    assert notebooks.cleaned(once) == once


def test_made_anew_with_other_chance_ids_it_is_the_same_file():
    other = messy().replace("0a1b2c3d", "ffffffff")
    assert other != messy()
    assert notebooks.cleaned(other) == notebooks.cleaned(messy())


def test_a_notebook_from_before_cell_ids_gets_them():
    old = json.loads(messy())
    old["nbformat_minor"] = 4
    for cell in old["cells"]:
        del cell["id"]
    clean = nbformat.reads(notebooks.cleaned(json.dumps(old)), as_version=4)
    assert clean.nbformat_minor == 5
    assert len({cell.id for cell in clean.cells}) == 3


@pytest.mark.parametrize("check", [True, False])
def test_the_command(tmp_path, capsys, check):
    path = tmp_path / "lesson.ipynb"
    path.write_text(messy(), encoding="utf-8")
    code = notebooks.main([*(["--check"] if check else []), str(path)])
    assert code == int(check)
    assert str(path) in capsys.readouterr().out
    assert (path.read_text(encoding="utf-8") == messy()) is check
    assert notebooks.main(["--check", str(path)]) == int(check)
