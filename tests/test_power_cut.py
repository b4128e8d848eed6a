"""The power goes off at every step of every way in which the kit writes a file.

Each way runs in a child that dies at its first step that touches the disk, then at the second, and
so on. What was written and not yet forced to the disk is lost with it, by half. Then each file must
hold all of the old or all of the new, and the same thing done again must end as it should.
"""

import json
import os
import re
import shutil
import subprocess
import sys

import pytest

from kitchenkit.places import PACKAGE, shipped_folder

# Who may write a file otherwise than through `kitchenkit.saving`, and why that does no harm.
OTHERWISE = {
    "saving.py": "is the one way",
    "editing.py": "into a folder for the moment, to try an edit before it is saved",
    "environment.py": "marks of a set-up; one that broke off starts again from nothing",
    "notebooks.py": "a contributor's tool, on files that are under version control",
    "server.py": "the style sheet among a learner's settings, put there anew at each opening",
}
WRITING = (
    r"\.write_(text|bytes)\(|\bopen\([^)]*[\"'][wax]|O_WRONLY|O_RDWR|shutil\.(copy|move)|\.touch\("
    r"|os\.(replace|rename)\(|\.(replace|rename)\((path|self\.path|target)|\.to_csv\(|\.output\(\w"
)

# Each way: what is there before, and what is then done. `folder` is a learner's folder with the
# shipped data in it; what takes long is done before the power can go.
WAYS = {
    "a lesson and a table brought up to date": (
        "bring(folder, 'old'); copies.refresh(folder, NOW)",
        "bring(folder, 'new'); after = lambda: copies.refresh(folder, NOW)",
    ),
    "an answer": (
        "file.put(Answered('01-measure', 'oats', tries=1, typed='80'))",
        "after = lambda: file.put(Answered('01-measure', 'oats', tries=2, typed='81'))",
    ),
    "a name": (
        "file.put(Answered('01-measure', 'oats', tries=1, typed='80'))",
        "after = lambda: file.introduce('Tansy', own=True)",
    ),
    "a row in a form": (
        "",
        "after = table()",
    ),
    "a recipe in a form": (
        "",
        "after = recipe()",
    ),
    "a row taken back": (
        "table()(NOW)",
        "path = folder / 'data/pans.csv'\n"
        "kept = saving.versions(path)[-1]\n"
        "after = lambda: saving.bring_back(path, kept, now=NOW)",
    ),
    "a recipe removed": (
        "first, second = (folder / f'data/recipes/{key}.toml' for key in (BASE, 'second'))\n"
        "second.write_text(first.read_text().replace(base.name, 'second batter'))",
        "after = lambda: second.exists() and EditedRecipe('second', folder / 'data').remove(NOW)",
    ),
    "a language chosen": (
        "language.keep('es_US', folder)",
        "after = lambda: language.keep('es_ES', folder)",
    ),
    "a handout": (
        "",
        "sheet = kk.freezer_labels([Label('Muffins', '2026-11-25', '2026-12-25')])\n"
        "whole = folder / 'to-print/labels.html'\n"
        "after = lambda: whole.exists() or save_printout(sheet, 'labels', 'html', folder)",
    ),
    "a recipe sent out": (
        "kk.write_recipe(base.scale(2), folder / 'base.json')",
        "after = lambda: kk.write_recipe(base, folder / 'base.json')",
    ),
    "a class folder's mark": (
        "",
        "place = folder / 'class'\nplace.mkdir(exist_ok=True)\n"
        "after = lambda: saving.save(place / '.kitchen/class-folder', 'A class folder\\n', keep=0)",
    ),
}

CUT = """
import json, os, re, shutil, signal, sys, traceback
from datetime import datetime
from pathlib import Path
import kitchenkit as kk
from kitchenkit import copies, editing, language, saving
from kitchenkit.editing import EditedRecipe, EditedTable
from kitchenkit.labels import Label
from kitchenkit.printouts import save_printout
from kitchenkit.progress import Answered, ProgressFile

NOW = datetime(2026, 11, 25, 18, 30)
BASE = "carrot-oat-base"
top, before, doing = Path(sys.argv[1]), sys.argv[2], sys.argv[3]
start, folder = top / "start", top / "mine"
base = kk.open_kit().recipes[BASE]
editing.folder_faults = lambda *_: []  # slow, and writes nothing into the folder

def bring(folder, age):
    kit = top / "kit"
    for name in ("lessons", "data"):
        (kit / name).mkdir(parents=True, exist_ok=True)
    cell = {"cell_type": "markdown", "id": "a", "metadata": {}, "source": age * 30_000}
    held = {"cells": [cell], "metadata": {}, "nbformat": 4, "nbformat_minor": 5}
    (kit / "lessons/01-measure.ipynb").write_text(json.dumps(held))
    (kit / "data/notes.csv").write_text("key,words\\none," + age * 30_000 + "\\n")
    copies.shipped_folder = lambda name: kit / name

# A person who comes back after the cut sees whether the edit is there, and else makes it again.
def table():
    made = EditedTable("pans", folder / "data")
    if any(row.texts["key"] == "my-tin" for row in made.rows):
        return lambda: None
    texts = dict(made.rows[0].texts)
    made.add({**texts, "key": "my-tin", "name": "my own tin"})
    return made.save

def recipe():
    made = EditedRecipe(BASE, folder / "data")
    made.change({**made.texts, "note": "less salt"})
    return made.save

def seen():
    '''Every file whole in memory, without locks, half files and the record of what came in.'''
    found = {}
    for path in sorted(folder.rglob("*")):
        if path.is_file() and path.name != ".saving" and path.suffix != ".part":
            content = re.sub(rb'"at": "[^"]*"', b"", path.read_bytes())  # the time of an answer
            found[path.relative_to(folder).as_posix()] = content
    return found

def arm(at):
    '''Die at the step asked for; what is not yet forced to the disk is lost by half.'''
    count, loose = 0, {}
    real = {name: getattr(os, name) for name in ("open", "replace", "fsync", "mkdir", "unlink")}
    def cut():
        for handle in loose.values():
            os.ftruncate(handle, os.fstat(handle).st_size // 2)
        os.kill(os.getpid(), signal.SIGKILL)
    def step(name):
        def steps(*words, **more):
            nonlocal count
            if name != "fsync" and not str(words[0]).startswith(str(folder)):
                return real[name](*words, **more)  # a trial elsewhere, for the moment
            count += 1
            if count == at:
                cut()
            done = real[name](*words, **more)
            if name == "open" and words[1] & os.O_WRONLY:
                loose[done] = os.dup(done)
            if name == "fsync" and words[0] in loose:
                os.close(loose.pop(words[0]))
            if count == -at:
                cut()
            return done
        return steps
    for name in real:
        setattr(os, name, step(name))

def child(at):
    pid = os.fork()
    if not pid:
        try:
            if at:
                arm(at)
            after()
            os._exit(0)
        except BaseException:
            traceback.print_exc()
            os._exit(1)
    _, status = os.waitpid(pid, 0)
    code = os.waitstatus_to_exitcode(status)
    assert code in (0, -signal.SIGKILL), code
    return code == 0

def again():
    shutil.rmtree(folder, ignore_errors=True)
    shutil.copytree(start, folder)

again()
file = ProgressFile(folder / "progress.json")
exec(before)
shutil.rmtree(start)
shutil.copytree(folder, start)
exec(doing)
old = seen()
assert child(0)
new = seen()
# Names of earlier versions tell when; what they hold counts.
plain = lambda files: {k: v for k, v in files.items() if "earlier-versions" not in k}
cuts, torn, unlike = 0, [], []
for way in (1, -1):  # before a step, and just after it
    for at in range(1, 200):
        again()
        exec(doing)
        if child(way * at):
            break
        cuts += 1
        for name, content in seen().items():
            if content not in (old.get(name), new.get(name), *old.values()):
                torn.append([way * at, name])
        exec(doing)
        assert child(0)
        if plain(seen()) != plain(new):
            unlike.append(way * at)
print(json.dumps([cuts, torn, unlike, plain(old) != plain(new)]))
"""


@pytest.mark.skipif(not hasattr(os, "fork"), reason="no program is split and killed so here")
@pytest.mark.parametrize("way", WAYS)
def test_each_file_is_all_old_or_all_new(way, tmp_path):
    shutil.copytree(shipped_folder("data"), tmp_path / "start/data")
    ran = subprocess.run(
        [sys.executable, "-c", CUT, str(tmp_path), *WAYS[way]],
        env={**os.environ, "PYTHONPATH": str(PACKAGE.parent)},
        capture_output=True,
        text=True,
    )
    assert ran.returncode == 0, ran.stderr
    cuts, torn, unlike, differs = json.loads(ran.stdout)
    assert differs, "nothing was written"
    assert cuts >= 6, "lock, new file, its content and its name each take a step"
    assert torn == []
    assert unlike == []


@pytest.mark.parametrize(
    "path", sorted(PACKAGE.rglob("*.py")), ids=lambda path: path.relative_to(PACKAGE).as_posix()
)
def test_nothing_else_writes_a_file(path):
    writes = re.search(WRITING, path.read_text(encoding="utf-8"))
    of_its_own = path.relative_to(PACKAGE).as_posix() in OTHERWISE
    assert not writes or of_its_own, f"{writes[0]}: save it with kitchenkit.saving"
