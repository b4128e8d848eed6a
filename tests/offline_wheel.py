"""The built kit on an empty machine without internet, from nothing but a folder of wheels.

Run by hand: ``.venv/bin/python tests/offline_wheel.py FOLDER``. An empty folder is filled first,
with what ``kitchenkit/lab/pages.lock`` pins, checked by its hashes; that alone needs internet. Then
the kit is built into it, put into a new environment by an installer that may ask no index, and its
lessons are opened from another folder, in the editor and as pages, while every connection beyond
this computer is refused and noted.
"""

from __future__ import annotations

import argparse
import os
import re
import signal
import subprocess
import sys
import tempfile
import time
import urllib.request
from pathlib import Path

TOP = Path(__file__).resolve().parent.parent
LESSON = "05-cost.ipynb"

# Put into the new environment: each of its Pythons obeys it, the kernels' too.
REFUSE = """
import os, socket, sys
def refuse(event, words):
    if event in ("socket.connect", "socket.sendto", "socket.getaddrinfo", "socket.bind"):
        host = words[0] if event == "socket.getaddrinfo" else words[1]
        host = host[0] if isinstance(host, tuple) else host
        if isinstance(host, bytes):
            host = host.decode()
        near = host is None or host in ("localhost", "::1") or str(host).startswith(("127.", "/"))
        if not near:
            with open(os.environ["ASKED"], "a") as asked:
                asked.write(f"{event} {host}\\n")
            raise OSError(f"no network here: {host}")
sys.addaudithook(refuse)
"""

# An address that is for documents only (RFC 5737).
BEYOND = """
import urllib.request
try:
    urllib.request.urlopen("http://192.0.2.1", timeout=2)
except OSError as error:
    assert "no network here" in str(error), error
else:
    raise SystemExit("it was reached")
"""


def run(words: list, **more) -> str:
    ran = subprocess.run([str(word) for word in words], capture_output=True, text=True, **more)
    if ran.returncode:
        raise SystemExit(f"{words}\n{ran.stdout}\n{ran.stderr}")
    return ran.stdout


def fill(wheels: Path) -> None:
    """Fetch what the lock pins, unless it is there, and build the kit beside it."""
    if not any(wheels.glob("*.whl")):
        lock = ["--require-hashes", "-r", TOP / "kitchenkit/lab/pages.lock"]
        run([sys.executable, "-m", "pip", "download", "--quiet", *lock, "-d", wheels])
    for old in wheels.glob("kitchenkit-*.whl"):
        old.unlink()
    run([sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", wheels], cwd=TOP)


def install(wheels: Path, place: Path) -> Path:
    """A new environment with the kit in it, and its Python."""
    run([sys.executable, "-m", "venv", place])
    python = place / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    quiet = ["--quiet", "--disable-pip-version-check", "--no-cache-dir"]
    only = ["--no-index", "--find-links", wheels]
    run([python, "-m", "pip", "install", *quiet, *only, "kitchenkit[pages]"])
    where = "import sysconfig; print(sysconfig.get_path('purelib'))"
    packages = Path(run([python, "-c", where]).strip())
    (packages / "refuse.py").write_text(REFUSE, encoding="utf-8")
    (packages / "refuse.pth").write_text("import refuse\n", encoding="utf-8")
    return python


def open_lessons(how: str, python: Path, elsewhere: Path, places: dict[str, str]) -> None:
    """A command of the README, its page fetched, a lesson run, and the command stopped."""
    mine = elsewhere / "mine"
    command = [python, "-m", "kitchenkit", how, "--no-browser", "--folder", mine]
    with subprocess.Popen(
        [str(word) for word in command],
        cwd=elsewhere,
        env=places,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    ) as opened:
        told, start = "", time.monotonic()
        for line in opened.stdout:
            told += line
            if "To stop" in line:
                break
        found = re.search(r"^http://\S+$", told, re.MULTILINE)
        if not found:
            raise SystemExit(f"no address was printed:\n{told}")
        print(f"{how}: ready after {time.monotonic() - start:.1f} s")
        near = urllib.request.build_opener(
            urllib.request.ProxyHandler({}), urllib.request.HTTPCookieProcessor()
        )
        with near.open(found[0], timeout=60) as page:
            assert page.status == 200
            assert b"jupyter-config-data" in page.read()
        words = ["-m", "nbconvert", "--to", "notebook", "--execute", "--log-level=ERROR"]
        run([python, *words, "--output", "ran", mine / LESSON], cwd=elsewhere, env=places)
        assert "image/svg+xml" in (mine / "ran.ipynb").read_text(encoding="utf-8")
        print(f"{LESSON} ran, with its pictures")
        opened.send_signal(signal.SIGINT)
        assert opened.wait(30) == 0


def main() -> None:
    """Fill, install, open, and tell what was asked of the network."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n", 1)[0])
    parser.add_argument("wheels", type=Path, metavar="FOLDER")
    wheels = parser.parse_args().wheels.resolve()
    wheels.mkdir(parents=True, exist_ok=True)
    fill(wheels)
    with tempfile.TemporaryDirectory() as place:
        elsewhere = Path(place).resolve() / "elsewhere"
        elsewhere.mkdir()
        asked = elsewhere / "asked.txt"
        python = install(wheels, Path(place) / "kitchen")
        places = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}
        places |= {"HOME": str(elsewhere), "ASKED": str(asked)}
        run([python, "-c", BEYOND], env=places)
        assert asked.read_text(encoding="utf-8").count("192.0.2.1") == 1, "the refusal is deaf"
        asked.unlink()
        for how in ("open", "pages"):
            open_lessons(how, python, elsewhere, places)
        beyond = asked.read_text(encoding="utf-8") if asked.exists() else ""
        size = sum(path.stat().st_size for path in wheels.iterdir()) / 1e6
        print(f"{len(list(wheels.glob('*.whl')))} wheels, {size:.0f} MB")
        if beyond:
            raise SystemExit(f"asked for beyond this computer:\n{beyond}")
        print("nothing was asked of the network")


if __name__ == "__main__":
    main()
