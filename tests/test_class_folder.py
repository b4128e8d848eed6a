"""A class folder: an edit survives every upgrade, conflicts are shown, links are not followed."""

import json
import os
import shutil
import signal
import subprocess
import sys
from datetime import datetime
from pathlib import Path

import pytest

import kitchenkit
from kitchenkit import copies, environment, launch, places, saving, server
from kitchenkit.copies import REPORT, ClassFolderError, class_folder, is_class_folder, preview
from kitchenkit.places import shipped_folder

NOW = datetime(2026, 11, 25, 18, 30, 5)


@pytest.fixture
def shipped(tmp_path, monkeypatch):
    """A kit of one's own to make newer: the shipped data, two lessons, one for instructors."""
    kit = tmp_path / "kit"
    shutil.copytree(shipped_folder("data"), kit / "data")
    (kit / "lessons/instructor").mkdir(parents=True)
    for name in ("01-measure", "02-scale", "instructor/key"):
        (kit / f"lessons/{name}.ipynb").write_text(notebook(name), encoding="utf-8")
    monkeypatch.setattr(copies, "shipped_folder", lambda name: kit / name)
    return kit


def notebook(source: str) -> str:
    cell = {"cell_type": "markdown", "id": "one", "metadata": {}, "source": source}
    return json.dumps({"cells": [cell], "metadata": {}, "nbformat": 4, "nbformat_minor": 5})


@pytest.fixture
def mine(tmp_path):
    return Path(os.path.realpath(tmp_path)) / "my class"


def edit(path, *pairs):
    text = path.read_text(encoding="utf-8")
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new, 1)
    path.write_text(text, encoding="utf-8")


def held(folder):
    """Every file's bytes, without locks."""
    return {
        p.relative_to(folder).as_posix(): p.read_bytes()
        for p in folder.rglob("*")
        if p.is_file() and p.name != ".saving"
    }


LOAF = 'loaf-8x4,"loaf pan, 8 × 4 in",loaf,box,7.875'


def test_it_holds_lessons_data_and_what_is_for_instructors(shipped, mine):
    done = class_folder(mine, now=NOW)
    assert {"01-measure.ipynb", "instructor/key.ipynb", "data/pans.csv"} <= set(held(mine))
    assert "data/recipes/carrot-oat-base.toml" in held(mine)
    assert done.told == []
    assert is_class_folder(mine)
    assert not (mine / REPORT).exists()
    assert kitchenkit.open_kit(mine / "data").pans["loaf-8x4"]
    assert class_folder(mine, now=NOW) == copies.Refresh()


def test_an_edit_survives_an_upgrade_and_the_rest_follows(shipped, mine):
    class_folder(mine, now=NOW)
    edit(mine / "data/pans.csv", (LOAF, LOAF.replace("7.875", "7.75")))
    own = mine / "data/my notes.txt"
    own.write_text("mine")
    edit(shipped / "data/pans.csv", ("3.875,7,3.125", "3.875,7,3"))
    (shipped / "lessons/02-scale.ipynb").write_text(notebook("better"), encoding="utf-8")
    done = class_folder(mine, now=NOW)
    pans = (mine / "data/pans.csv").read_text(encoding="utf-8")
    assert LOAF.replace("7.875", "7.75") + ",3.875,7,3," in pans
    assert own.read_text() == "mine"
    assert (mine / "02-scale.ipynb").read_text() == notebook("better")
    assert done.merged == [mine / "data/pans.csv"]
    assert done.written == [mine / "02-scale.ipynb"]
    [before] = saving.versions(mine / "data/pans.csv")
    assert "7.75,3.875,7,3.125" in before.path.read_text(encoding="utf-8")


def test_a_conflict_is_shown_on_screen_and_in_a_file_and_mine_stays(shipped, mine, capsys):
    class_folder(mine, now=NOW)
    edit(mine / "data/pans.csv", (LOAF, LOAF.replace("7.875", "7.75")))
    edit(shipped / "data/pans.csv", (LOAF, LOAF.replace("7.875", "8")))
    assert launch.main(["class-folder", str(mine), "--dry-run"]) == 0
    line = "data/pans.csv: loaf-8x4, top_length: yours, '7.75', stays; the newer table says '8'."
    assert line in capsys.readouterr().out
    assert not (mine / REPORT).exists()
    assert launch.main(["class-folder", str(mine)]) == 0
    told = capsys.readouterr().out
    assert line in told
    assert str(mine / REPORT) in told
    assert line in (mine / REPORT).read_text(encoding="utf-8")
    assert "7.75" in (mine / "data/pans.csv").read_text(encoding="utf-8")
    launch.main(["class-folder", str(mine)])
    assert "up to date" in capsys.readouterr().out


def test_the_report_has_the_newest_on_top(shipped, mine):
    class_folder(mine, now=NOW)
    for n, word in enumerate(("first", "second")):
        (mine / "01-measure.ipynb").write_text(notebook("mine"), encoding="utf-8")
        (shipped / "lessons/01-measure.ipynb").write_text(notebook(word), encoding="utf-8")
        class_folder(mine, now=NOW.replace(day=25 + n))
    report = (mine / REPORT).read_text(encoding="utf-8")
    assert report.index("2026-11-26") < report.index("2026-11-25")
    assert (mine / "newer/01-measure.ipynb").read_text() == notebook("second")
    assert (mine / "01-measure.ipynb").read_text() == notebook("mine")


def test_a_dry_run_writes_nothing(shipped, mine, capsys):
    assert launch.main(["class-folder", str(mine), "--dry-run"]) == 0
    assert "write data/pans.csv" in capsys.readouterr().out.replace("\\", "/")
    assert not mine.exists()
    class_folder(mine, now=NOW)
    edit(shipped / "data/pans.csv", (LOAF, LOAF.replace("7.875", "8")))
    (shipped / "data/new.csv").write_text("key\na\n")
    before = held(mine)
    done = class_folder(mine, dry_run=True)
    assert held(mine) == before
    assert set(done.written) == {mine / "data/pans.csv", mine / "data/new.csv"}


def test_an_edited_recipe_stays_and_the_newer_one_is_no_second_recipe(shipped, mine):
    class_folder(mine, now=NOW)
    name = "data/recipes/carrot-oat-base.toml"
    edit(mine / name, ("servings = 16", "servings = 12"))
    edit(shipped / name, ("1.03 g/ml", "1.02 g/ml"))
    done = class_folder(mine, now=NOW)
    assert done.beside == [mine / "data/recipes/newer/carrot-oat-base.toml"]
    kit = kitchenkit.open_kit(mine / "data")
    assert kit.recipes["carrot-oat-base"].servings == 12
    assert list(kit.recipes) == ["carrot-oat-base"]


def test_a_table_that_is_no_table_any_more_is_kept_and_the_newer_one_put_beside(shipped, mine):
    class_folder(mine, now=NOW)
    (mine / "data/pans.csv").write_bytes(b'key,"loaf\n')
    edit(shipped / "data/pans.csv", (LOAF, LOAF.replace("7.875", "8")))
    done = class_folder(mine, now=NOW)
    assert (mine / "data/pans.csv").read_bytes() == b'key,"loaf\n'
    assert done.beside == [mine / "data/newer/pans.csv"]
    assert "could not be merged" in done.told[0]


def test_a_kit_that_is_older_again_loses_nothing_either(shipped, mine):
    class_folder(mine, now=NOW)
    edit(mine / "data/pans.csv", (LOAF, LOAF.replace("7.875", "7.75")))
    old = (shipped / "data/pans.csv").read_bytes()
    edit(shipped / "data/pans.csv", ("3.875,7,3.125", "3.875,7,3"))
    class_folder(mine, now=NOW)
    (shipped / "data/pans.csv").write_bytes(old)
    class_folder(mine, now=NOW)
    assert "7.75,3.875,7,3.125" in (mine / "data/pans.csv").read_text(encoding="utf-8")


# --- where it may be ----------------------------------------------------------------------------


@pytest.mark.parametrize("inside", ["", "data", "lessons/mine", "kitchenkit", "tests/x", ".git"])
def test_not_in_the_kit_itself(inside, capsys):
    top = places.checkout()
    before = sorted(p.name for p in top.iterdir())
    assert launch.main(["class-folder", str(top / inside)]) == 1
    assert "belongs to the kit itself" in capsys.readouterr().err
    assert sorted(p.name for p in top.iterdir()) == before


def test_not_around_the_kit_and_not_inside_an_installed_one(tmp_path, monkeypatch):
    with pytest.raises(ClassFolderError, match="holds the kit"):
        class_folder(places.checkout().parent)
    monkeypatch.setattr(copies, "checkout", lambda: None)
    monkeypatch.setattr(copies, "PACKAGE", tmp_path / "kitchenkit")
    with pytest.raises(ClassFolderError, match="belongs to the kit"):
        class_folder(tmp_path / "kitchenkit/shipped/data")


def test_not_among_other_things_and_not_a_file(shipped, tmp_path):
    other = tmp_path / "documents"
    other.mkdir()
    (other / "letter.txt").write_text("dear")
    with pytest.raises(ClassFolderError, match="holds other things"):
        class_folder(other)
    assert held(other) == {"letter.txt": b"dear"}
    with pytest.raises(ClassFolderError, match="is a file"):
        class_folder(other / "letter.txt")
    (tmp_path / "empty").mkdir()
    (tmp_path / "empty/.listing").touch()  # as some systems leave in each folder they show
    assert class_folder(tmp_path / "empty").written


# --- links and hostile names --------------------------------------------------------------------

needs_links = pytest.mark.skipif(os.name != "posix", reason="links need rights there")


@needs_links
@pytest.mark.parametrize(
    "link", ["data", "data/pans.csv", "data/recipes", "01-measure.ipynb", "newer", "instructor"]
)
def test_a_link_is_not_followed_and_is_told(shipped, mine, tmp_path, link):
    class_folder(mine, now=NOW)
    outside = tmp_path / "outside"
    place = mine / link
    if place.is_dir():
        place.rename(outside)
    elif place.exists():
        outside.mkdir()
        place.rename(outside / "theirs")
        place.symlink_to(outside / "theirs")
    else:
        outside.mkdir()
    if not place.is_symlink():
        place.symlink_to(outside)
    (mine / "02-scale.ipynb").write_text(notebook("mine"), encoding="utf-8")
    before = held(outside)
    for path in (shipped / "lessons").rglob("*.ipynb"):
        path.write_text(notebook("better " + path.stem), encoding="utf-8")
    edit(shipped / "data/pans.csv", (LOAF, LOAF.replace("7.875", "8")))
    edit(shipped / "data/recipes/carrot-oat-base.toml", ("1.03 g/ml", "1.02 g/ml"))
    done = class_folder(mine, now=NOW)
    assert held(outside) == before
    assert any("is a link" in line for line in done.told)
    assert place.is_symlink()


@needs_links
def test_its_own_records_are_not_kept_through_a_link(shipped, mine, tmp_path):
    outside = tmp_path / "outside"
    outside.mkdir()
    mine.mkdir()
    (mine / ".kitchen").symlink_to(outside)
    with pytest.raises(ClassFolderError, match="link to another place"):
        class_folder(mine)
    (mine / ".kitchen").unlink()
    class_folder(mine)
    shutil.rmtree(mine / ".kitchen/brought-in")
    (mine / ".kitchen/brought-in").symlink_to(outside)
    edit(shipped / "data/pans.csv", (LOAF, LOAF.replace("7.875", "8")))
    class_folder(mine)
    assert held(outside) == {}


@needs_links
def test_the_report_does_not_go_through_a_link(shipped, mine, tmp_path):
    outside = tmp_path / "outside.txt"
    outside.write_text("theirs")
    class_folder(mine, now=NOW)
    (mine / REPORT).symlink_to(outside)
    (mine / "01-measure.ipynb").write_text(notebook("mine"), encoding="utf-8")
    (shipped / "lessons/01-measure.ipynb").write_text(notebook("better"), encoding="utf-8")
    class_folder(mine, now=NOW)
    assert outside.read_text() == "theirs"


@needs_links
def test_the_folder_itself_may_be_reached_by_a_link(shipped, mine, tmp_path):
    real = tmp_path / "real"
    real.mkdir()
    mine.symlink_to(real)
    class_folder(mine)
    assert (real / "data/pans.csv").is_file()


@needs_links
def test_a_link_in_the_kit_is_not_copied(shipped, mine, tmp_path):
    (tmp_path / "secret").write_text("secret")
    (shipped / "data/secret.csv").symlink_to(tmp_path / "secret")
    class_folder(mine)
    assert "data/secret.csv" not in held(mine)


@pytest.mark.parametrize(
    "name",
    [
        "<b>bold<b>.csv" if os.name == "posix" else "b.csv",
        "=cmd.csv",
        "%00.csv",
        "a" * 120 + ".csv",
        "naïve ☃.csv",
        "-rf.csv",
        "..csv",
        "con.csv.txt",
    ],
)
def test_odd_names_stay_in_their_folder(shipped, mine, tmp_path, name):
    (shipped / "data" / name).write_text("key\na\n", encoding="utf-8")
    before = {p for p in tmp_path.rglob("*") if mine not in p.parents and p != mine}
    class_folder(mine, now=NOW)
    (mine / "data" / name).write_text("key\nmine\n", encoding="utf-8")
    (shipped / "data" / name).write_text("key\na\nb\n", encoding="utf-8")
    class_folder(mine, now=NOW)
    assert "mine" in (mine / "data" / name).read_text(encoding="utf-8")
    after = {p for p in tmp_path.rglob("*") if mine not in p.parents and p != mine}
    assert after == before


# --- killed in the middle -----------------------------------------------------------------------

UPGRADE = """
import os, signal, sys
from pathlib import Path
from kitchenkit import copies
kit, mine, at = Path(sys.argv[1]), Path(sys.argv[2]), int(sys.argv[3])
copies.shipped_folder = lambda name: kit / name
count, real = 0, os.replace
def replace(*words):
    global count
    count += 1
    if count == at:
        os.kill(os.getpid(), signal.SIGKILL)
    real(*words)
os.replace = replace
copies.class_folder(mine)
"""


@pytest.mark.skipif(os.name != "posix", reason="needs a kill that cannot be caught")
def test_killed_at_every_file_it_can_be_run_again(shipped, mine, tmp_path):
    class_folder(mine, now=NOW)
    edit(mine / "data/pans.csv", (LOAF, LOAF.replace("7.875", "7.75")))
    (mine / "01-measure.ipynb").write_text(notebook("mine"), encoding="utf-8")
    old = held(mine)
    for path in (shipped / "lessons").rglob("*.ipynb"):
        path.write_text(notebook("better " + path.stem), encoding="utf-8")
    edit(shipped / "data/pans.csv", ("3.875,7,3.125", "3.875,7,3"), ("8.5,4.5,7.75", "9,4.5,8"))
    start = tmp_path / "start"
    shutil.copytree(mine, start)
    class_folder(mine, now=NOW)
    wanted = {k: v for k, v in held(mine).items() if "earlier-versions" not in k and k != REPORT}
    killed = 0
    for at in range(1, 60):
        shutil.rmtree(mine)
        shutil.copytree(start, mine)
        run = [sys.executable, "-c", UPGRADE, str(tmp_path / "kit"), str(mine), str(at)]
        env = {**os.environ, "PYTHONPATH": str(places.PACKAGE.parent)}
        done = subprocess.run(run, env=env, capture_output=True)
        if done.returncode == 0:
            break
        assert done.returncode == -signal.SIGKILL, done.stderr
        killed += 1
        for name, content in held(mine).items():
            if name in wanted and not name.endswith(".part"):
                assert content in (old.get(name), wanted[name]), name
        class_folder(mine, now=NOW)
        found = {k: v for k, v in held(mine).items() if "earlier-versions" not in k and k != REPORT}
        assert found == wanted
    assert killed >= 8
    assert done.returncode == 0


# --- opened -------------------------------------------------------------------------------------


@pytest.mark.parametrize("how", ["FOLDER", "--folder"])
def test_opening_serves_it_and_changes_nothing_but_says_what_waits(
    shipped, mine, how, monkeypatch, capsys
):
    served = []
    monkeypatch.setattr(environment, "python_for", lambda *what: Path(sys.executable))
    monkeypatch.setattr(server, "serve", lambda *what: served.append(what))
    class_folder(mine, now=NOW)
    words = ["open", *(["--folder"] if how == "--folder" else []), str(mine)]
    assert launch.main(words) == 0
    assert "newer" not in capsys.readouterr().out
    (shipped / "lessons/01-measure.ipynb").write_text(notebook("better"), encoding="utf-8")
    before = {k: v for k, v in held(mine).items() if not k.startswith(".kitchen/data")}
    assert launch.main(words) == 0
    told = capsys.readouterr().out
    assert f"Your class folder is {mine}" in told
    assert "The kit here is newer" in told
    assert {k: v for k, v in held(mine).items() if not k.startswith(".kitchen/data")} == before
    assert [what[0] for what in served] == [mine, mine]
    assert server.surroundings(mine)[places.DATA_VARIABLE] == str(mine / "data")


def test_only_copies_as_they_were_shipped_are_trusted(shipped, mine):
    class_folder(mine)
    (mine / "01-measure.ipynb").write_text(notebook("mine"), encoding="utf-8")
    trusted = {p.name for p in copies.as_shipped(mine, instructor=True)}
    assert "01-measure.ipynb" not in trusted
    assert {"02-scale.ipynb", "key.ipynb"} <= trusted


def test_a_learners_folder_has_nothing_for_instructors(shipped, mine):
    copies.refresh(mine, NOW)
    assert "01-measure.ipynb" in held(mine)
    assert not [name for name in held(mine) if "instructor" in name]
    assert preview(mine) == copies.Refresh()


def test_it_needs_nothing_installed(tmp_path):
    """Isolated and without site-packages, a class folder is made and brought up to date."""
    code = (
        f"import sys; sys.path.insert(0, {str(places.PACKAGE.parent)!r})\n"
        f"from kitchenkit import launch; words = ['class-folder', {str(tmp_path / 'mine')!r}]\n"
        "sys.exit(launch.main(words) or launch.main(words))"
    )
    ran = subprocess.run([sys.executable, "-I", "-S", "-c", code], capture_output=True, text=True)
    assert ran.returncode == 0, ran.stderr
    assert "files brought into" in ran.stdout
    assert "up to date" in ran.stdout
