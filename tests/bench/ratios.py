"""How much the kit adds to what it stands on: one table of ratios, each with its limit.

Run by hand: ``.venv/bin/python tests/bench/ratios.py``, or with the names of some rows after it:
``import``, ``open``, ``memory``, ``slider``. It ends with 1 if a ratio is over its limit.

``import``
    Every name that the lessons use, against the other projects' modules that the kit asks for by
    name meanwhile. Fresh processes in turn.
``open``
    A kernel is started and runs a lesson's cells, without a page, until the last one is done;
    against one that only imports the other projects' modules that the lesson's kit asks for, and
    displays nothing. Fresh kernels in turn. The learners' lessons only, not the instructor's
    notebooks.
``memory``
    What those two kernels hold of their own then, which no other program shares with them, after
    what is no longer used has been let go.
``slider``
    One move of a panel's control to a finished picture, against a bare redraw of the same figure
    by the drawing library with its own settings; the median of paired rounds. The last column has
    the same against a redraw that leaves letters text, which is how the kit saves time.

All but the memory count processor time, since other programs on the machine hardly change it, and
the first two take the least of several runs, which is the one least disturbed; the seconds on the
clock, of the same two runs, are shown beside them.
"""

from __future__ import annotations

import argparse
import ast
import contextlib
import json
import os
import statistics
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

import psutil
from jupyter_client.manager import start_new_kernel

from kitchenkit.places import PACKAGE, shipped_folder

LIMITS = {"import": 1.10, "open": 1.30, "memory": 1.15, "slider": 1.25}
ROUNDS = 5
_PATIENCE = 120  # seconds for a cell

# Notes which other projects' modules the kit asks for by name; the modules they bring by
# themselves are then loaded by both sides alike.
_RECORD = """
import builtins, sys
asked, load = {}, builtins.__import__
def noting(name, globals=None, locals=None, fromlist=(), level=0):
    found = load(name, globals, locals, fromlist, level)
    if level == 0 and (globals or {}).get("__name__", "").startswith("kitchenkit"):
        for full in (name, *(f"{name}.{one}" for one in fromlist or ())):
            if full in sys.modules and full.split(".")[0] not in own:
                asked[full] = None
    return found
own = {*sys.stdlib_module_names, "kitchenkit"}
builtins.__import__ = noting
"""


@dataclass(frozen=True)
class Row:
    """A ratio of what the kit takes to what it stands on, both in one unit."""

    kind: str
    name: str
    ours: float
    bare: float
    unit: str
    ratio: float
    clock: str = ""

    @property
    def over(self) -> bool:
        return self.ratio > LIMITS[self.kind]


def lessons() -> list[Path]:
    """The learners' lessons, in teaching order."""
    return sorted(shipped_folder("lessons").glob("*.ipynb"))


def cells(lesson: Path) -> list[str]:
    """The sources of a lesson's code cells."""
    found = json.loads(lesson.read_text(encoding="utf-8"))["cells"]
    return ["".join(cell["source"]) for cell in found if cell["cell_type"] == "code"]


def names(sources: list[str]) -> list[str]:
    """The public names of the kit that cells use, in order."""
    used = {}
    for node in ast.walk(ast.parse("\n".join(sources))):
        if isinstance(node, ast.Attribute) and getattr(node.value, "id", None) == "kk":
            used[node.attr] = None
    return list(used)


def asked_for(code: str, places: dict[str, str]) -> str:
    """The import lines of what the kit asks for of others while a piece of code runs."""
    told = "\nimport sys; print(*asked, sep='\\n', file=sys.__stdout__)"
    ran = subprocess.run(
        [sys.executable, "-c", _RECORD + code + told],
        env=places,
        capture_output=True,
        text=True,
        check=True,
    )
    return "\n".join(f"import {name}" for name in ran.stdout.split())


def in_turn(run, ours: str, bare: str, rounds: int) -> tuple[list, list]:
    """Results of two pieces of code, run in turn after one of each that does not count."""
    run(ours), run(bare)  # these write the compiled files that an installed kit has
    pairs = [(run(ours), run(bare)) for _ in range(rounds)]
    return [one for one, _ in pairs], [two for _, two in pairs]


def process(code: str, places: dict[str, str]) -> tuple[float, float]:
    """Processor seconds and clock seconds of a fresh Python that runs a piece of code."""
    start = time.perf_counter()
    child = psutil.Popen([sys.executable, "-c", code], env=places)
    spent = 0.0
    if hasattr(os, "wait4"):
        _, status, used = os.wait4(child.pid, 0)
        child.returncode = os.waitstatus_to_exitcode(status)
        spent = used.ru_utime + used.ru_stime
    else:  # its last tick may be missed here
        while child.poll() is None:
            with contextlib.suppress(psutil.Error):
                spent = sum(child.cpu_times()[:2])
            time.sleep(0.002)
    if child.returncode:
        raise SystemExit(f"this did not run:\n{code}")
    return spent, time.perf_counter() - start


def kernel(sources: list[str], places: dict[str, str]) -> tuple[float, float, float]:
    """Processor seconds, clock seconds and megabytes of a fresh kernel that runs some cells."""
    start = time.perf_counter()
    manager, client = start_new_kernel(
        env=places, cwd=places["HOME"], extra_arguments=["--log-level=ERROR"]
    )
    try:
        for source in sources:
            reply = client.execute_interactive(
                source, timeout=_PATIENCE, output_hook=lambda _: None
            )
            if reply["content"]["status"] != "ok":
                raise SystemExit(f"this did not run:\n{source}\n{reply['content']}")
        clock = time.perf_counter() - start
        seen = psutil.Process(manager.provisioner.pid)
        spent = sum(seen.cpu_times()[:2])
        client.execute_interactive("import gc; gc.collect()", output_hook=lambda _: None)
        return spent, clock, seen.memory_full_info().uss / 2**20
    finally:
        client.stop_channels()
        manager.shutdown_kernel(now=True)


def import_row(places: dict[str, str], rounds: int) -> Row:
    """The import of all names that lessons use."""
    used = names([source for lesson in lessons() for source in cells(lesson)])
    ours = "import kitchenkit as kk\n" + "\n".join(f"kk.{name}" for name in used)
    bare = asked_for(ours, places)
    kit, others = in_turn(lambda code: process(code, places), ours, bare, rounds)
    best, least = min(kit), min(others)
    clock = f"{best[1]:.2f} / {least[1]:.2f}"
    return Row("import", f"{len(used)} names", best[0], least[0], "s", best[0] / least[0], clock)


def lesson_rows(lesson: Path, places: dict[str, str], rounds: int) -> list[Row]:
    """A lesson's cells run in a kernel without a page till the last is idle; what it holds then."""
    sources = cells(lesson)
    # As a notebook runs them: the value of a cell's last line is displayed.
    code = "from IPython.core.interactiveshell import InteractiveShell\n"
    code += "shell = InteractiveShell.instance()\nown |= {'IPython'}\n"
    code += "import io, contextlib\nwith contextlib.redirect_stdout(io.StringIO()):\n"
    code += "".join(f"    shell.run_cell({source!r}).raise_error()\n" for source in sources)
    bare = asked_for(code, places)
    kit, others = in_turn(lambda code: kernel(code, places), sources, [bare], rounds)
    best, least = min(kit), min(others)
    clock = f"{best[1]:.2f} / {least[1]:.2f}"
    held, hold = (statistics.median(run[2] for run in runs) for runs in (kit, others))
    return [
        Row("open", lesson.stem, best[0], least[0], "s", best[0] / least[0], clock),
        Row("memory", lesson.stem, held, hold, "MB", held / hold),
    ]


def slider_rows() -> list[Row]:
    """Every panel's move."""
    from slider_update import MOVES, rounds

    import kitchenkit as kk

    kit, made = kk.open_kit(), []
    for name, (control, low, high) in MOVES.items():
        seen = rounds(getattr(kk, name)(kit), control, low, high)
        ratio = statistics.median(move / svg for move, svg, *_ in seen)
        as_text = statistics.median(move / same for move, _, same, _ in seen)
        moves, svgs, *_ = zip(*seen, strict=True)
        move, svg = 1000 * statistics.median(moves), 1000 * statistics.median(svgs)
        made.append(Row("slider", name, move, svg, "ms", ratio, f"as text {as_text:.2f}"))
    return made


def main() -> int:
    """Print the table, row by row as it comes, and say what is over its limit."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n", 1)[0])
    parser.add_argument("rows", nargs="*", metavar="ROW", help=" ".join(LIMITS))
    parser.add_argument("--rounds", type=int, default=ROUNDS)
    parser.add_argument("--lesson", help="only lessons that begin so, such as 05")
    chosen = parser.parse_args()
    wanted = chosen.rows or list(LIMITS)
    if set(wanted) - set(LIMITS):
        parser.error(f"rows are: {', '.join(LIMITS)}")
    rows: list[Row] = []

    def show(more: list[Row]) -> None:
        for row in more:
            if row.kind in wanted:
                rows.append(row)
                sign = "  over" if row.over else ""
                print(
                    f"{row.kind:8}{row.name:20}{row.ours:9.2f}{row.bare:9.2f} {row.unit:3}"
                    f"{row.ratio:7.2f}{LIMITS[row.kind]:7.2f}  {row.clock}{sign}",
                    flush=True,
                )

    print(f"{'':8}{'':20}{'kit':>9}{'bare':>9}    {'ratio':>7}{'limit':>7}  clock, s")
    with tempfile.TemporaryDirectory() as home:
        places = {
            **{name: value for name, value in os.environ.items() if name != "KITCHENKIT_DATA"},
            "PYTHONPATH": str(PACKAGE.parent),
            "PYTHONDONTWRITEBYTECODE": "",
            "PYTHONPYCACHEPREFIX": str(Path(home) / "compiled"),
            "HOME": home,
            "IPYTHONDIR": str(Path(home) / "ipython"),
        }
        if "import" in wanted:
            show([import_row(places, chosen.rounds)])
        if {"open", "memory"} & set(wanted):
            for lesson in lessons():
                if lesson.name.startswith(chosen.lesson or ""):
                    show(lesson_rows(lesson, places, chosen.rounds))
    if "slider" in wanted:
        show(slider_rows())
    over = [f"{row.kind} {row.name}" for row in rows if row.over]
    print(f"over the limit: {', '.join(over)}" if over else "all within their limits")
    return bool(over)


if __name__ == "__main__":
    sys.exit(main())
