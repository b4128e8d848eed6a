"""The commands people type: ``open`` the lessons, as ``pages`` too, ``class-folder``, ``test``."""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
from pathlib import Path

from kitchenkit import copies, environment, language, pages, places, server
from kitchenkit.errors import KitchenError


def main(arguments: list[str]) -> int:
    """Run one command and return its exit code."""
    try:
        if arguments[:1] == ["test"]:
            return _test(arguments[1:])
        chosen = _parser().parse_args(arguments)
        if chosen.command == "class-folder":
            return _class_folder(chosen.folder, chosen.dry_run)
        python = environment.python_for(chosen.command, places.checkout())
        if not environment.is_this(python):
            return _hand_over(python, arguments)
        return _open(chosen)
    except environment.SetupError as error:
        return _say(error, 1)
    except server.PortError as error:
        return _say(error, 2)
    except KitchenError as error:
        return _say(error, 1)
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
    paging = commands.add_parser("pages", help="the same as plain pages, without their code")
    paging.set_defaults(edit=False)
    for one in (opening, paging):
        one.add_argument("where", nargs="?", type=Path, metavar="FOLDER", help="as --folder")
        one.add_argument("--port", type=_port, help="the port to use; else a free one is found")
        one.add_argument("--no-browser", action="store_true", help="only print the address to open")
        one.add_argument(
            "--folder", type=Path, help="where your copies of the lessons are, or a class folder"
        )
        one.add_argument(
            "--language", choices=language.LANGUAGES, help="what the panels speak from now on"
        )
    opening.add_argument(
        "--edit", action="store_true", help="for contributors: the shipped lessons themselves"
    )
    making = commands.add_parser(
        "class-folder", help="a folder of your own for a class, or bring a newer kit into it"
    )
    making.add_argument("folder", type=Path, metavar="FOLDER")
    making.add_argument("--dry-run", action="store_true", help="only tell what would be done")
    commands.add_parser("test", help="check the whole kit; what follows it goes to pytest")
    return parser


def _port(text: str) -> int:
    number = int(text) if text.isdecimal() else 0
    if not 1 <= number <= 65535:
        raise argparse.ArgumentTypeError("a port is a number from 1 to 65535")
    return number


# On every core; a file's tests, and a lesson's cells, stay together and in order. The files come in
# their order too: those with few tests are not the short ones, and would run alone at the end.
_ALL_TESTS = ("-n", "auto", "--dist", "loadfile", "--no-loadscope-reorder")


def _test(rest: list[str]) -> int:
    top = places.checkout()
    if top is None:
        return _say("The tests are in the checkout of the project, not in what is installed.", 1)
    python = environment.python_for("test", top)
    return subprocess.run([python, "-m", "pytest", *(rest or _ALL_TESTS)], cwd=top).returncode


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
        lessons = [path for path in folder.rglob("*.ipynb") if path.name[0] != "."]
        server.trust(sorted(lessons), folder)
    else:
        default = top / "my-lessons" if top else Path.home() / "kitchen-lessons"
        folder = (chosen.folder or chosen.where or default).expanduser().resolve()
        copies.check_apart(folder)
        if copies.is_class_folder(folder):
            _open_class(folder)
        else:
            done = copies.refresh(folder)
            server.trust(done.written, folder)
            print(f"Your copies of the lessons are in {folder}")
            _tell(done, folder)
    if chosen.language and chosen.edit:
        os.environ[language.VARIABLE] = chosen.language  # nothing is kept beside what is shipped
    elif chosen.language:
        language.keep(chosen.language, folder)
    if chosen.port is None and port != server.FIRST_PORT:
        print(f"Port {server.FIRST_PORT} is busy, so port {port} is used.")
    print("Starting ...", flush=True)
    if chosen.command == "pages":
        pages.serve(folder, port, not chosen.no_browser)
    else:
        server.serve(folder, port, server.first_page(folder, chosen.edit), not chosen.no_browser)
    print("\nClosed. Goodbye.")
    return 0


def _class_folder(folder: Path, dry_run: bool) -> int:
    folder = folder.expanduser().resolve()
    done = copies.class_folder(folder, dry_run)
    if dry_run:
        print("Nothing is written; this is what would be done:")
        for path in (*done.written, *done.merged):
            print(f"  write {path.relative_to(folder)}")
    elif not (done.written or done.merged or done.told):
        print(f"Everything in {folder} is up to date.")
    else:
        count = len(done.written) + len(done.merged)
        print(f"{count} {'file' if count == 1 else 'files'} brought into {folder}")
    _tell(done, folder, dry_run)
    return 0


def _open_class(folder: Path) -> None:
    """A class folder changes only when its owner asks for it."""
    print(f"Your class folder is {folder}")
    waiting = copies.preview(folder, instructor=True)
    if waiting.written or waiting.merged:
        print("The kit here is newer. The command class-folder, with this folder, brings it in.")
    server.trust(copies.as_shipped(folder, instructor=True), folder)


def _tell(done: copies.Refresh, folder: Path, dry_run: bool = False) -> None:
    for line in done.told:
        print(f"  {line}")
    if done.told and not dry_run:
        print(f"This is written down in {folder / copies.REPORT}")


def _say(message: object, code: int) -> int:
    print(message, file=sys.stderr)
    return code
