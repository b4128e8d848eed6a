"""The checkout's own environment, ``.venv``: made, mended or found ready, in plain words.

Runs under the system's Python with nothing installed, so it imports the standard library only.
"""

from __future__ import annotations

import hashlib
import importlib.util
import os
import re
import shutil
import subprocess
import sys
from importlib.metadata import PackageNotFoundError, distribution
from pathlib import Path

from kitchenkit.__main__ import OLDEST

# What each command needs installed: the lock file that pins it, and names that show it is there.
LOCKS = {
    "open": "requirements.lock",
    "pages": "kitchenkit/lab/pages.lock",
    "test": "tests/requirements.lock",
}
# The commands whose needs a lock holds, so that none of them is set up again after it.
_HOLDS = {"open": ("open",), "pages": ("open", "pages"), "test": ("open", "pages", "test")}
_RUN_MODULES = (
    *("babel", "fonttools", "fpdf2", "ipywidgets", "jupyterlab", "matplotlib", "numpy", "pandas"),
    *("pint", "scipy", "tomlkit"),
)
MODULES = {
    "open": _RUN_MODULES,
    "pages": (*_RUN_MODULES, "voila"),
    "test": (
        *(*_RUN_MODULES, "axe-playwright-python", "hypothesis", "nbval", "playwright", "pypdf"),
        *("pytest", "pytest-xdist", "rdflib", "ruff", "voila"),
    ),
}
SIZE = {"open": "about 140 MB", "pages": "about 145 MB", "test": "about 210 MB"}

_LOG = "setup.log"

# A sign in the installer's noise -> what the owner can do; the first that fits is told.
_MENDS = (
    (r"No space left on device|not enough space", "The disk is full. Free some space."),
    (
        r"DO NOT MATCH THE HASHES",
        "A package that came is not the one that was checked, so it was not installed. "
        "Try another network; if it happens there too, tell the people who gave you this kit.",
    ),
    (
        r"ProxyError|Proxy Authentication|407 Proxy",
        "A proxy stands between this computer and the internet. Ask whoever runs your network for "
        "its address and set HTTPS_PROXY to it.",
    ),
    (
        r"CERTIFICATE_VERIFY_FAILED|SSLError",
        "The connection could not be verified. On a school or office network, ask whoever runs it "
        "for the certificate file and set PIP_CERT to its path. Check the computer's clock too.",
    ),
    (
        r"NewConnectionError|NameResolutionError|Failed to establish|name resolution"
        r"|timed out|ConnectionError|Connection(?:Reset| reset| refused)|Network is unreachable"
        r"|from versions: none",
        "The packages could not be fetched. Check that this computer is online.",
    ),
    (
        r"Permission denied|Access is denied|Read-only file system",
        "This folder may not be written to. Move the kit to a folder of your own.",
    ),
    (
        r"Requires-Python|requires a different Python|No matching distribution|is not a supported",
        "A package does not offer a version for this Python. Try Python 3.12 or 3.13.",
    ),
)


class SetupError(Exception):
    """The environment could not be made; the message says why and what to do."""


def python_for(command: str, top: Path | None) -> Path:
    """The Python that has what a command needs, after making the environment if need be.

    Parameters
    ----------
    command : {"open", "pages", "test"}
    top : Path or None
        The checkout, or None when the package was installed from a wheel.

    Raises
    ------
    SetupError
    """
    if top is None or (not _same(Path(sys.prefix), top / ".venv") and _installed(command)):
        if not _installed(command):
            extra = "kitchenkit" if command == "open" else f"kitchenkit[{command}]"
            raise SetupError(
                f"Some packages that this needs are missing. Install {extra} with pip."
            )
        return Path(sys.executable)
    return prepare(command, top)


def prepare(command: str, top: Path) -> Path:
    """Make ``.venv`` ready for a command and return its Python; quick when it is ready already.

    A mark is written last and names what was installed, so a changed lock file is followed. A
    set-up that broke off while packages were put in place may have left half of one behind: it
    starts again from an empty environment, with whatever was fetched before.
    """
    folder = top / ".venv"
    python = venv_python(folder)
    if python.exists() and _read(_mark(folder, command)) == _state(command, top):
        return python

    if any(_mark(folder, each).exists() for each in LOCKS):
        print(f"Adding what is new: of {SIZE[command]}, only what is not here yet.", flush=True)
    else:
        print("Setting up the kitchen. The first time takes a few minutes", end="")
        print(f" and fetches {SIZE[command]}; after that it starts at once.", flush=True)
    if _unfinished(folder).exists() or not _usable(python):
        _make(folder)
    _install(command, top, python)
    for done in _HOLDS[command]:
        _mark(folder, done).write_text(_state(done, top), encoding="utf-8")
    _unfinished(folder).unlink(missing_ok=True)
    print("The kitchen is ready.", flush=True)
    return python


def venv_python(folder: Path) -> Path:
    """The Python inside an environment."""
    if os.name == "nt":
        return folder / "Scripts" / "python.exe"
    return folder / "bin" / "python"


def is_this(python: Path) -> bool:
    """Whether a Python, named by its path, is the environment now running."""
    # The program itself may be a link that several environments share: compare their folders.
    return python == Path(sys.executable) or _same(Path(sys.prefix), python.parent.parent)


def mend_for(noise: str) -> str:
    """What to do about a failed installation, read from the installer's own words."""
    for sign, mend in _MENDS:
        if re.search(sign, noise, flags=re.IGNORECASE):
            return mend
    return "If it goes on failing, delete the folder .venv and try again."


def _same(a: Path, b: Path) -> bool:
    return a.exists() and b.exists() and a.samefile(b)


def _installed(command: str) -> bool:
    # By the names they are installed under: some are imported by another.
    try:
        for name in ("kitchenkit", *MODULES[command]):
            distribution(name)
    except PackageNotFoundError:
        return False
    return True


def _mark(folder: Path, command: str) -> Path:
    return folder / f"ready-{command}"


def _unfinished(folder: Path) -> Path:
    """Is there while packages are put in place, and stays if that breaks off."""
    return folder / "unfinished"


def _state(command: str, top: Path) -> str:
    """One line that changes whenever the environment must be brought up to date."""
    folder = top / ".venv"
    # An upgrade of the system's Python shows only in where the environment's own leads to.
    parts = [str(top), _read(folder / "pyvenv.cfg"), os.path.realpath(venv_python(folder))]
    parts += [_read(top / name) for name in (LOCKS[command], "pyproject.toml")]
    return hashlib.sha256("\0".join(parts).encode()).hexdigest()


def _read(path: Path) -> str:
    return path.read_text(encoding="utf-8") if path.is_file() else ""


def _usable(python: Path) -> bool:
    """Whether an environment that is there can be built on: its Python runs, and so does pip."""
    if not python.exists():
        return False
    check = f"import sys, pip._internal.cli.main; sys.exit(sys.version_info < {OLDEST})"
    try:
        return subprocess.run([python, "-c", check], capture_output=True).returncode == 0
    except OSError:
        return False


def _make(folder: Path) -> None:
    if not all(importlib.util.find_spec(name) for name in ("venv", "ensurepip")):
        raise SetupError(
            "This Python came without the part that makes environments.\n"
            "On Debian or Ubuntu install it with: sudo apt install python3-venv\n"
            "Elsewhere install a full Python from the Python website. Then try again."
        )
    if folder.exists():
        shutil.rmtree(folder)
    folder.mkdir(parents=True)
    _unfinished(folder).touch()
    _run([sys.executable, "-m", "venv", folder], folder / _LOG, "make its environment")


def _install(command: str, top: Path, python: Path) -> None:
    pip = [python, "-m", "pip", "install", "--no-input", "--disable-pip-version-check"]
    log = top / ".venv" / _LOG
    lock = top / LOCKS[command]
    _run([*pip, "--require-hashes", "-r", lock], log, "install the packages", cwd=top)
    own = ["--no-deps", "--no-build-isolation", "-e", "."]
    _run([*pip, *own], log, "install the kit itself", cwd=top)


def _run(words: list, log: Path, what: str, cwd: Path | None = None) -> None:
    """Run one step with its noise kept in a log, a count shown on a terminal while it works.

    The environment, where the log is, counts as unfinished from when the installer begins to put
    packages in place, not while it still fetches them.
    """
    environment = {**os.environ, "PIP_USER": "0", "PIP_PROGRESS_BAR": "off"}
    environment |= {"PIP_QUIET": "0", "PYTHONUNBUFFERED": "1"}  # its lines are read as they come
    counting = sys.stdout.isatty()
    fetched, noise = 0, []
    with (
        log.open("a", encoding="utf-8") as kept,
        subprocess.Popen(
            [str(word) for word in words],
            cwd=cwd,
            env=environment,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            encoding="utf-8",
            errors="replace",
        ) as step,
    ):
        for line in step.stdout:
            kept.write(line)
            noise.append(line)
            installing = line.startswith("Installing collected")
            if installing:
                _unfinished(log.parent).touch()
            if counting and line.startswith("Collecting "):
                fetched += 1
                print(f"\r  packages so far: {fetched} ", end="", flush=True)
            elif counting and installing:
                print("\r  putting them in place ... ", end="", flush=True)
    if counting:
        print("\r" + " " * 40, end="\r", flush=True)
    if step.returncode:
        tail = "".join(noise[-12:]).rstrip()
        raise SetupError(
            f"The kitchen could not {what}.\n{mend_for(''.join(noise))}\n"
            "Then run the same command again; what was fetched is not fetched twice.\n"
            f"\nThe installer's last words (all of them are in {log}):\n{tail}"
        )
