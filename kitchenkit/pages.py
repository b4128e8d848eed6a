"""The lessons as pages without code: words and live panels, for a projector or a first visit."""

from __future__ import annotations

import logging
import os
import secrets
import signal
from pathlib import Path

from kitchenkit import server
from kitchenkit.places import PACKAGE

TEMPLATE = "lesson"  # in lab/nbconvert/templates
ONLY_IN_THE_EDITOR = "lab-only"  # tags a cell about buttons that a page has not got
_IDLE = 30 * 60  # seconds after which panels that nobody looks at are stopped
_EXTENSIONS = (
    "@jupyter-widgets/jupyterlab-manager",
    "@voila-dashboards/widgets-manager8",
    "kitchenkit-names",
)
_WELCOME = "/"
_CHANGED = (
    "This lesson was changed outside the kit, so it does not run by itself. If you trust it, open "
    "it with the command open, run it there and save it; then it comes up here too."
)


def settings(folder: Path, port: int, token: str) -> dict[str, dict]:
    """The server's settings; it reads no others.

    Parameters
    ----------
    folder : Path
        The copies of the lessons.
    port : int
    token : str
        What lets a browser in.

    Returns
    -------
    dict of dict
        By class and name.
    """
    # Nothing but this server may answer a page, and no other page may frame it.
    only_from_here = (
        f"default-src 'self' data: blob: 'unsafe-inline'; connect-src 'self' ws://{server.HOST}:*; "
        "object-src 'none'; frame-ancestors 'self'; form-action 'self'"
    )
    return {
        "Voila": {
            "ip": server.HOST,
            "port": port,
            "token": token,
            "root_dir": str(folder),
            "open_browser": False,
            "connection_dir_root": server.surroundings(folder)["JUPYTER_RUNTIME_DIR"],
            "log_level": logging.ERROR,
            "tornado_settings": {
                "allow_remote_access": False,  # under no name but this computer's own
                "headers": {"Content-Security-Policy": only_from_here},
            },
        },
        "VoilaConfiguration": {
            "template": TEMPLATE,
            "allow_template_override": "NO",
            "allow_theme_override": "NO",
            "extension_allowlist": list(_EXTENSIONS),
            "extra_labextensions_path": [str(PACKAGE / "lab" / "extensions")],
            "file_allowlist": [],  # a lesson brings its pictures with it
            "show_tracebacks": True,  # the kit's own errors are one plain sentence
            "prelaunch_hook": _prepare,
        },
        "KernelManager": {"transport_encryption": "auto"},
        "MappingKernelManager": {"cull_idle_timeout": _IDLE, "cull_interval": 60},
    }


def surroundings(folder: Path) -> dict[str, str]:
    """Environment variables as for the lessons in the editor, and where the pages' template is.

    Parameters
    ----------
    folder : Path

    Returns
    -------
    dict of str
    """
    return {**server.surroundings(folder), "JUPYTER_PATH": str(PACKAGE / "lab")}


def serve(folder: Path, port: int, browser: bool = True) -> None:
    """Run the server until it is stopped; print the address, and open a browser at it.

    Parameters
    ----------
    folder : Path
        The copies of the lessons.
    port : int
    browser : bool
    """
    os.environ.update(surroundings(folder))
    Path(os.environ["JUPYTER_RUNTIME_DIR"]).mkdir(parents=True, exist_ok=True)
    token = secrets.token_urlsafe(24)
    app = _application(folder, port, token)
    logging.getLogger("tornado").setLevel(logging.ERROR)
    # Ctrl-C closes at once: a learner is asked nothing, and no kernel is left running.
    signal.signal(signal.SIGINT, app._handle_signal_stop)

    def announce() -> None:
        server.announce(server.address(app.port, _WELCOME, token), browser)

    from tornado.ioloop import IOLoop, PeriodicCallback

    IOLoop.current().add_callback(announce)
    if os.name == "nt":
        # There Ctrl-C does not wake a loop that waits for a request, and is only seen at the next.
        PeriodicCallback(lambda: None, 1000).start()
    app.start()


def _application(folder: Path, port: int, token: str):
    from tornado.web import authenticated
    from traitlets.config import Config
    from voila.app import Voila  # slow, and only now are its settings in place
    from voila.handler import BaseVoilaHandler

    lesson = server.first_page(folder).rpartition("/")[2]

    class Welcome(BaseVoilaHandler):
        """The welcome lesson lists the others; its address is shown without the token."""

        @authenticated
        def get(self):
            self.redirect(f"/voila/render/{lesson}")

    class Pages(Voila):
        """Serves lessons, and no list of files."""

        def init_handlers(self) -> list:
            settings = {"voila_configuration": self.voila_configuration}
            return [(r"/(?:voila/tree.*)?", Welcome, settings), *super().init_handlers()]

    app = Pages.instance(config=Config(settings(folder, port, token)), config_file_paths=[])
    app.initialize([])
    app.log.addFilter(lambda record: "executing cell" not in record.msg)  # the page tells it
    return app


def _prepare(handler, notebook, cwd):
    """Make a lesson ready for a page, or turn it away."""
    from tornado.web import HTTPError

    cells = notebook.cells
    if not all(cell.metadata.get("trusted") for cell in cells if cell.cell_type == "code"):
        raise HTTPError(403, _CHANGED)
    notebook.cells = [c for c in cells if ONLY_IN_THE_EDITOR not in c.metadata.get("tags", [])]
    # The page sends this mark back when it is left; only then may it have its panels stopped.
    handler.xsrf_token  # noqa: B018
