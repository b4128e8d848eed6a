"""The notebook server as a learner needs it: on this computer only, quiet, with a plain address."""

from __future__ import annotations

import contextlib
import logging
import os
import secrets
import shutil
import signal
import socket
import sys
import threading
import warnings
import webbrowser
from pathlib import Path
from urllib.parse import quote

from kitchenkit.places import DATA_VARIABLE, PACKAGE, STATE, shipped_folder

HOST = "127.0.0.1"  # loopback: nobody else on the network reaches it
FIRST_PORT = 8765
_TRIES = 50


class PortError(Exception):
    """The port asked for is taken; the message says what to do."""


def choose_port(wanted: int | None = None) -> int:
    """A free port: the one wanted, else the first free one from `FIRST_PORT` on.

    Raises
    ------
    PortError
        If the wanted port, or every one that was tried, is busy.
    """
    if wanted is not None:
        if _free(wanted):
            return wanted
        raise PortError(
            f"Port {wanted} is busy: another program uses it, or may alone use it.\n"
            "Choose another number, or leave --port out and a free one is found."
        )
    for port in range(FIRST_PORT, FIRST_PORT + _TRIES):
        if _free(port):
            return port
    raise PortError(
        f"Ports {FIRST_PORT} to {FIRST_PORT + _TRIES - 1} are all busy. "
        "Close some programs, or choose another number with --port."
    )


def first_page(folder: Path, edit: bool = False) -> str:
    """The path of the page to open: the first lesson, shown alone unless it is to be edited.

    The first shipped one that is there, since a copy of it may come before it in the alphabet.
    """
    there = _notebooks(folder)
    lessons = [name for name in _notebooks(shipped_folder("lessons")) if name in there] or there
    mode = "lab" if edit else "doc"
    return f"/{mode}/tree/{quote(lessons[0])}" if lessons else "/lab"


def _notebooks(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.glob("*.ipynb") if path.name[0] != ".")


def address(port: int, page: str, token: str) -> str:
    """What to type into a browser; the token in it keeps everybody else out."""
    return f"http://{HOST}:{port}{page}?token={token}"


def options(folder: Path, port: int, page: str, token: str) -> list[str]:
    """The server's options. Given as arguments, they outrank any settings file."""
    return [
        f"--ServerApp.ip={HOST}",
        f"--ServerApp.port={port}",
        f"--ServerApp.port_retries={_TRIES}",  # another program may take it just now
        "--ServerApp.base_url=/",
        "--ServerApp.certfile=",
        "--ServerApp.keyfile=",
        "--ServerApp.allow_remote_access=False",
        "--ServerApp.allow_origin=",
        "--ServerApp.allow_origin_pat=",
        "--ServerApp.disable_check_xsrf=False",
        "--ServerApp.allow_unauthenticated_access=False",
        f"--IdentityProvider.token={token}",
        "--PasswordIdentityProvider.hashed_password=",
        "--ServerApp.open_browser=False",
        *lesson_options(folder, page),
    ]


def lesson_options(folder: Path, page: str) -> list[str]:
    """The options that make a page of lessons, whoever starts the server and lets people in."""
    chosen = [
        f"--ServerApp.root_dir={folder}",
        f"--ServerApp.default_url={page}",
        "--KernelManager.transport_encryption=auto",
        "--LanguageServerManager.autodetect=False",  # else it asks other programs for their folders
        "--LabApp.custom_css=True",
        "--LabApp.news_url=None",
        "--LabApp.check_for_updates_class=jupyterlab.NeverCheckForUpdate",
        "--LabApp.extension_manager=readonly",
        f"--LabApp.extra_labextensions_path={PACKAGE / 'lab' / 'extensions'}",
        "--Application.log_level=ERROR",
    ]
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        chosen.append("--ServerApp.allow_root=True")
    return chosen


def surroundings(folder: Path) -> dict[str, str]:
    """Environment variables that keep the server's files in `folder` and give our defaults.

    So a learner's lessons neither depend on nor change other notebook settings of this computer.
    """
    state = folder / STATE
    return {
        "JUPYTER_CONFIG_DIR": str(state / "settings"),
        "JUPYTER_CONFIG_PATH": str(PACKAGE / "lab"),
        "JUPYTER_DATA_DIR": str(state / "data"),
        "JUPYTER_RUNTIME_DIR": str(state / "running"),
        "IPYTHONDIR": str(state / "ipython"),
        **({DATA_VARIABLE: str(folder / "data")} if (folder / "data").is_dir() else {}),
    }


def settle_in(folder: Path) -> None:
    """Put the surroundings in place, for a server started next in this process."""
    os.environ.update(surroundings(folder))
    styles = Path(os.environ["JUPYTER_CONFIG_DIR"]) / "custom"  # the one place it is looked for
    shutil.copytree(PACKAGE / "lab" / "custom", styles, dirs_exist_ok=True)


def can_show() -> bool:
    """Whether a window can open here. On a bare terminal a text browser would take it over."""
    if sys.platform in ("win32", "darwin"):
        return True
    return bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))


def trust(notebooks: list[Path], folder: Path) -> None:
    """Sign notebooks fresh from the kit, so that the pictures and tables stored in them show."""
    from nbformat import read
    from nbformat.sign import NotebookNotary

    signatures = Path(surroundings(folder)["JUPYTER_DATA_DIR"])
    signatures.mkdir(parents=True, exist_ok=True)
    notary = NotebookNotary(data_dir=str(signatures))
    for path in notebooks:
        if path.suffix == ".ipynb":
            notary.sign(read(path, as_version=4))


def leave_panels_out(model: dict, **_) -> None:
    """Save a lesson with its stills and without its live panels, which only this run can show.

    Parameters
    ----------
    model : dict
        What the notebook server is about to write; changed in place.
    """
    from kitchenkit.notebooks import WIDGET_VIEW  # needs what is not there before the set-up

    if model.get("type") == "notebook" and model.get("content"):
        for cell in model["content"].get("cells", []):
            for output in cell.get("outputs", []):
                if "text/html" in output.get("data", {}):
                    output["data"].pop(WIDGET_VIEW, None)


def serve(folder: Path, port: int, page: str, browser: bool = True) -> None:
    """Run the server until it is stopped; print the address, and open a browser at it."""
    settle_in(folder)
    os.environ.pop("JUPYTER_TOKEN", None)
    from jupyterlab.labapp import LabApp  # slow, and only here are its settings in place

    token = secrets.token_urlsafe(24)
    # Said of pages that ask for no token by themselves; by our options the server asks for them.
    warnings.filterwarnings("ignore", "Extension endpoints without")
    app = LabApp.initialize_server(argv=options(folder, port, page, token))
    app.contents_manager.register_pre_save_hook(leave_panels_out)
    app.log.addFilter(lambda record: record.levelno != logging.CRITICAL)  # "shutting down" and such
    hold_port(app)
    # Ctrl-C closes at once: a learner is asked nothing, and no kernel is left running.
    signal.signal(signal.SIGINT, lambda *_: app.stop(from_signal=True))
    app.io_loop.add_callback(announce, address(app.port, page, token), browser)
    app.start()


def hold_port(app) -> None:
    """Take a server's port now, or another that is free.

    The server has only looked whether it is free, and takes it when it starts: of two that are
    started together, the second would then end without a word.

    Parameters
    ----------
    app : ServerApp
        Set up and not started yet; its `port` is what it got.

    Raises
    ------
    PortError
        If none is free.
    """
    from tornado.netutil import bind_sockets

    held = None
    while held is None:
        try:
            held = bind_sockets(app.port, HOST)
        except OSError:
            app.port = choose_port()
    app.http_server.listen = lambda *_, **__: app.http_server.add_sockets(held)


def announce(link: str, browser: bool) -> None:
    """Print the address of a server that is up, and open a browser at it."""
    print(f"\nThe lessons are open at this address:\n\n{link}\n", flush=True)
    if browser and can_show():
        threading.Thread(target=_show, args=(link,), daemon=True).start()
        print("A browser should open by itself; if none does, copy the address into one.")
    else:
        print("Copy the whole address into a browser on this computer.")
    print("Leave this window open while you work. To stop, press Ctrl and C here.", flush=True)


def _show(link: str) -> None:
    with contextlib.suppress(OSError, webbrowser.Error):  # the address is on the screen already
        webbrowser.open(link)


def _free(port: int) -> bool:
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as trial:
        if os.name == "posix":  # elsewhere this flag would let two programs share a port
            trial.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            trial.bind((HOST, port))
        except OSError:
            return False
    return True
