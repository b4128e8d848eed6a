"""Keeps the lessons' notebooks clean: ``python -m kitchenkit.notebooks [--check] [NOTEBOOK ...]``.

What running a notebook leaves in it and the next run would change (times, widget state, chance
ids, the order of runs, the version of Python) goes; what a reader or a test needs (outputs, tags,
hidden code) stays. Without names it takes every notebook in ``lessons/``. With ``--check`` it
changes nothing and ends with exit code 1 when a notebook is not clean.
"""

from __future__ import annotations

import argparse
import hashlib
import re
import sys
from pathlib import Path

import nbformat

from kitchenkit.places import shipped_folder

METADATA = {
    "kernelspec": {"display_name": "Python 3 (ipykernel)", "language": "python", "name": "python3"},
    "language_info": {"name": "python"},
}
_CELL_METADATA = ("deletable", "editable", "jupyter", "tags")
WIDGET_VIEW = "application/vnd.jupyter.widget-view+json"
_CHANCE_ID = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){0,3}(-[0-9a-f]{12})?")


def cleaned(text: str) -> str:
    """The clean form of a notebook, from and to the text of its file. Cleaning it again is no-op.

    A cell id that a person chose is kept; one made by chance becomes a digest of the cell, so that
    making a notebook anew changes only the cells that changed.
    """
    notebook = nbformat.reads(text, as_version=4)
    notebook.nbformat_minor = 5
    notebook.metadata = nbformat.from_dict(METADATA)
    taken, count = set(), 0
    for cell in notebook.cells:
        kept = {name: cell.metadata[name] for name in _CELL_METADATA if name in cell.metadata}
        cell.metadata = nbformat.from_dict(kept)
        cell.id = _cell_id(cell, taken)
        if cell.cell_type == "code":
            # Numbered as by one run from the top; nbval refuses outputs without a number.
            count += bool(cell.source.strip())
            cell.execution_count = count if cell.source.strip() else None
            for output in cell.outputs:
                if "execution_count" in output:
                    output.execution_count = cell.execution_count
                output.get("data", {}).pop(WIDGET_VIEW, None)
    return nbformat.writes(notebook) + "\n"


def _cell_id(cell: nbformat.NotebookNode, taken: set[str]) -> str:
    wanted = cell.get("id", "")
    if not wanted or wanted in taken or _CHANCE_ID.fullmatch(wanted):
        digest = hashlib.sha256(f"{cell.cell_type}\n{cell.source}".encode()).hexdigest()
        wanted = f"{cell.cell_type}-{digest[:8]}"
        same = 1
        while wanted in taken:
            same += 1
            wanted = f"{cell.cell_type}-{digest[:8]}-{same}"
    taken.add(wanted)
    return wanted


def main(arguments: list[str] | None = None) -> int:
    """Clean or check the notebooks named, or all; return the exit code."""
    parser = argparse.ArgumentParser(prog="python -m kitchenkit.notebooks", description=__doc__)
    parser.add_argument("--check", action="store_true", help="change nothing, only tell")
    parser.add_argument("notebooks", nargs="*", type=Path)
    chosen = parser.parse_args(arguments)
    unclean = 0
    for path in chosen.notebooks or lessons():
        before = path.read_text(encoding="utf-8")
        after = cleaned(before)
        if after == before:
            continue
        unclean += 1
        if chosen.check:
            print(f"{path} is not clean")
        else:
            path.write_text(after, encoding="utf-8", newline="\n")
            print(f"{path} cleaned")
    return 1 if unclean and chosen.check else 0


def lessons() -> list[Path]:
    """Every notebook of the lessons, in teaching order."""
    found = shipped_folder("lessons").rglob("*.ipynb")
    return sorted(path for path in found if ".ipynb_checkpoints" not in path.parts)


if __name__ == "__main__":
    sys.exit(main())
