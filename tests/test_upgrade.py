"""A learner's folder as the first release left it, opened with today's kit: no edit is lost.

``first-release.zip`` holds the folder that version 0.1.0 made of its lessons and data, with its
own record, and without the one picture, to stay small.
"""

import csv
import io
import json
import shutil
import zipfile
from datetime import datetime
from pathlib import Path

import pytest

import kitchenkit as kk
from kitchenkit import copies
from kitchenkit.places import shipped_folder

NOW = datetime(2026, 11, 25, 18, 30)
FIRST = Path(__file__).with_name("first-release.zip")
FIRST_LESSONS = ("00-welcome", "01-measure", "02-scale", "03-pans", "04-bake", "05-cost")


@pytest.fixture
def mine(tmp_path) -> Path:
    with zipfile.ZipFile(FIRST) as kept:
        kept.extractall(tmp_path)
    return tmp_path / "my-lessons"


def rows(path: Path) -> list[list[str]]:
    return list(csv.reader(io.StringIO(path.read_text(encoding="utf-8"), newline="")))


def put_rows(path: Path, table: list[list[str]]) -> None:
    out = io.StringIO(newline="")
    csv.writer(out, lineterminator="\n").writerows(table)
    path.write_text(out.getvalue(), encoding="utf-8")


def cells(path: Path) -> list[str]:
    found = json.loads(path.read_text(encoding="utf-8"))["cells"]
    return ["".join(cell["source"]) for cell in found]


def edit(path: Path, at: int, text: str) -> None:
    """Type into a lesson's cell, and run it, as its owner does."""
    notebook = json.loads(path.read_text(encoding="utf-8"))
    notebook["cells"][at]["source"] = [text]
    path.write_text(json.dumps(notebook), encoding="utf-8")


def shipped() -> dict[str, bytes]:
    return {name: path.read_bytes() for name, path in copies._shipped(instructor=False)}


def test_the_archive_is_what_the_first_release_made(mine):
    record = json.loads((mine / ".kitchen/copies.json").read_text(encoding="utf-8"))
    assert {name for name in record if name.endswith(".ipynb")} == {
        f"{lesson}.ipynb" for lesson in FIRST_LESSONS
    }
    assert not (mine / ".kitchen/brought-in").exists()


def test_what_was_never_edited_follows_the_kit_and_nothing_is_told(mine):
    lesson = mine / "01-measure.ipynb"
    ran = json.loads(lesson.read_text(encoding="utf-8"))
    for cell in ran["cells"]:
        cell.pop("outputs", None)  # running it is no edit
    lesson.write_text(json.dumps(ran), encoding="utf-8")
    done = copies.refresh(mine, NOW)
    assert done.told == done.beside == done.merged == []
    for name, content in shipped().items():
        assert (mine / name).read_bytes() == content, name
    assert copies.refresh(mine, NOW) == copies.Refresh()


def test_edits_are_kept_and_the_new_lessons_are_there(mine):
    edit(mine / "03-pans.ipynb", 0, "# Our own pans, for the winter class")
    old_lesson = (mine / "03-pans.ipynb").read_bytes()
    (mine / "notes.ipynb").write_text("my own", encoding="utf-8")
    tables = {name: rows(mine / "data" / f"{name}.csv") for name in ("pans", "ingredients")}
    my_pan = list(tables["pans"][1])
    my_pan[:2] = ["my-tin", "my own tin"]
    tables["pans"].append(my_pan)
    head, *body = tables["ingredients"]
    changed = next(row for row in body if row[0] == "rolled-oats")
    changed[head.index("measure_g")] = "93"
    for name, table in tables.items():
        put_rows(mine / "data" / f"{name}.csv", table)
    recipe = mine / "data/recipes/carrot-oat-base.toml"
    recipe.write_text(recipe.read_text(encoding="utf-8") + "\n# less salt next time\n", "utf-8")

    done = copies.refresh(mine, NOW)

    assert (mine / "03-pans.ipynb").read_bytes() == old_lesson
    assert cells(mine / "newer/03-pans.ipynb") == cells(shipped_folder("lessons") / "03-pans.ipynb")
    assert any("03-pans.ipynb" in line and "yours stays" in line for line in done.told)
    assert (mine / "notes.ipynb").read_text(encoding="utf-8") == "my own"
    assert "# less salt next time" in recipe.read_text(encoding="utf-8")
    for lesson in shipped_folder("lessons").glob("*.ipynb"):
        assert (mine / lesson.name).is_file()
    kit = kk.open_kit(mine / "data")
    assert kit.pans["my own tin"].name == "my own tin"
    assert kk.to_weight(kit, "rolled oats", "1 cup").m_as("g") == pytest.approx(93)
    assert set(kk.open_kit().ingredients) <= set(kit.ingredients)
    assert set(kk.open_kit().pans) <= set(kit.pans)
    assert copies.refresh(mine, NOW) == copies.Refresh()
    assert kk.open_kit(mine / "data").pans["my own tin"].name == "my own tin"


@pytest.mark.parametrize("record", ["", "{", "[1]", '{"01-measure.ipynb": 3}', "[" * 100_000])
def test_with_its_record_spoilt_whatever_differs_counts_as_edited(mine, record):
    before = {path.name: cells(path) for path in mine.glob("*.ipynb")}
    (mine / ".kitchen/copies.json").write_text(record, encoding="utf-8")
    copies.refresh(mine, NOW)
    for name, sources in before.items():
        assert cells(mine / name) == sources
        if sources != cells(shipped_folder("lessons") / name):
            assert (mine / "newer" / name).read_bytes() == shipped()[name]
    kk.open_kit(mine / "data")


def test_without_any_record_nothing_is_lost_either(mine):
    edit(mine / "00-welcome.ipynb", 0, "# Welcome to our class")
    shutil.rmtree(mine / ".kitchen")
    copies.refresh(mine, NOW)
    assert cells(mine / "00-welcome.ipynb")[0] == "# Welcome to our class"
    assert (mine / "newer/00-welcome.ipynb").is_file()
    kk.open_kit(mine / "data")
