"""One learner's seat: what the hub starts under the learner's own account.

Brings the learner's copies of the lessons up to date, then serves them as the kit's own command
does; who may come in is the hub's to say.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

from kitchenkit import copies, server

FOLDER = "kitchen-lessons"  # in the account's home
TEACHER_VARIABLE = "KITCHENKIT_TEACHER"
_NICE = 5  # the hub and its proxy come first


def main(arguments: list[str]) -> None:
    """Serve one seat until the hub, or idleness, ends it.

    Parameters
    ----------
    arguments : list of str
        More options for the notebook server, from the hub's settings.
    """
    hold_back()
    folder = Path.home() / FOLDER
    page = prepare(folder, bool(os.environ.get(TEACHER_VARIABLE)))
    server.settle_in(folder)
    from jupyterhub.singleuser.extension import JupyterHubSingleUser  # only now are its settings in

    app = JupyterHubSingleUser.initialize_server(
        argv=[*server.lesson_options(folder, page), *arguments]
    )
    app.contents_manager.register_pre_save_hook(server.leave_panels_out)
    count_kernels_alone()
    app.start()


def prepare(folder: Path, teacher: bool = False) -> str:
    """Make or refresh a folder of lessons, and sign what is fresh from the kit.

    Parameters
    ----------
    folder : Path
        Nobody but its owner reads it afterwards.
    teacher : bool
        Whether what is for instructors comes too.

    Returns
    -------
    str
        The path of the page to open.
    """
    copies.refresh(folder, instructor=teacher)
    folder.chmod(0o700)
    server.trust(copies.as_shipped(folder, instructor=teacher), folder)
    return server.first_page(folder)


def count_kernels_alone() -> None:
    """Let a seat sleep whose page is left in view.

    Such a page asks for the list of kernels and the like every few seconds, and each request would
    count as something that the learner does. What a kernel does still counts.
    """
    from jupyter_server.base.handlers import APIHandler

    APIHandler._track_activity = False


def hold_back() -> None:
    """Keep one seat from taking the machine: its processes' memory is bounded, its turn is later.

    The bound is what the hub names in ``MEM_LIMIT``, in bytes. It holds for each process by itself;
    a bound for all of one learner's together needs the system's control groups.
    """
    import resource  # not on Windows, where there is no hub either

    os.nice(_NICE)
    limit = os.environ.get("MEM_LIMIT", "")
    if limit.isdecimal():
        resource.setrlimit(resource.RLIMIT_DATA, (int(limit), int(limit)))


if __name__ == "__main__":
    main(sys.argv[1:])
