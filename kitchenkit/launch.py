"""The two commands a newcomer types: ``open`` the lessons, or ``test`` the kit."""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
from pathlib import Path

from kitchenkit import copies, environment, places, server


def main(arguments: list[str]) -> int:
    """Run one command and return its exit code."""
    try:
        if arguments[:1] == ["test"]:
            return _test(arguments[1:])
        chosen = _parser().parse_args(arguments)
        python = environment.python_for("open", places.checkout())
        if not environment.is_this(python):
            return _hand_over(python, arguments)
        return _open(chosen)
    except environment.SetupError as error:
        return _say(error, 1)
    except server.PortError as error:
        return _say(error, 2)
    except OSError as error:
        return _say(f"A file or folder could not be used: {error}", 1)
    except KeyboardInterrupt:
        return _say("\nStopped. Run the same command again to go on.", 130)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="kitchenkit", description="Hands-on lessons in budget baking."
    )
    commands = parser.add_subparsers(dest="command", required=True)
    opening = commands.add_parser("open", help="open the lessons in a browser")
    opening.add_argument("--port", type=_port, help="the port to use; else a free one is found")
    opening.add_argument("--no-browser", action="store_true", help="only print the address to open")
    opening.add_argument("--folder", type=Path, help="where your copies of the lessons are kept")
    opening.add_argument(
        "--edit", action="store_true", help="for contributors: the shipped lessons themselves"
    )
    commands.add_parser("test", help="check the whole kit; what follows it goes to pytest")
    return parser


def _port(text: str) -> int:
    number = int(text) if text.isdecimal() else 0
    if not 1 <= number <= 65535:
        raise argparse.ArgumentTypeError("a port is a number from 1 to 65535")
    return number


def _test(rest: list[str]) -> int:
    top = places.checkout()
    if top is None:
        return _say("The tests are in the checkout of the project, not in what is installed.", 1)
    python = environment.python_for("test", top)
    return subprocess.run([python, "-m", "pytest", *rest], cwd=top).returncode


def _hand_over(python: Path, arguments: list[str]) -> int:
    """Go on under the environment's own Python."""
    words = [str(python), "-m", "kitchenkit", *arguments]
    if os.name == "posix":
        os.execv(python, words)  # the same process: Ctrl-C reaches the right one
    try:
        return subprocess.run(words).returncode
    except KeyboardInterrupt:
        return 0  # the server got the same Ctrl-C and has said goodbye


def _open(chosen: argparse.Namespace) -> int:
    top = places.checkout()
    port = server.choose_port(chosen.port)
    if chosen.edit:
        if top is None:
            return _say("--edit works in a checkout of the project only.", 2)
        folder = places.shipped_folder("lessons")
        server.trust(sorted(folder.rglob("*.ipynb")), folder)
    else:
        default = top / "my-lessons" if top else Path.home() / "kitchen-lessons"
        folder = (chosen.folder or default).expanduser().resolve()
        done = copies.refresh(folder)
        server.trust(done.written, folder)
        print(f"Your copies of the lessons are in {folder}")
        if done.kept:
            print("The kit has newer versions of some that you had changed. Yours are kept here:")
            for path in done.kept:
                print(f"  {path}")
    if chosen.port is None and port != server.FIRST_PORT:
        print(f"Port {server.FIRST_PORT} is busy, so port {port} is used.")
    print("Starting ...", flush=True)
    server.serve(folder, port, server.first_page(folder, chosen.edit), not chosen.no_browser)
    print("\nClosed. Goodbye.")
    return 0


def _say(message: object, code: int) -> int:
    print(message, file=sys.stderr)
    return code
