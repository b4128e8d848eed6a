"""Where the shipped data and lessons lie: inside an installed package, or in a checkout."""

from __future__ import annotations

import os
from pathlib import Path

PACKAGE = Path(__file__).resolve().parent
# What the launcher keeps beside a learner's copies: its record and the notebook server's own files.
STATE = ".kitchen"


def checkout() -> Path | None:
    """The checkout this package runs from, or None when it was installed from a wheel."""
    top = PACKAGE.parent
    inside = (top / "pyproject.toml").is_file() and (top / "lessons").is_dir()
    return top if inside and not (PACKAGE / "shipped").is_dir() else None


def shipped_folder(name: str) -> Path:
    """The folder of shipped ``"data"`` or ``"lessons"``.

    A wheel carries both inside the package; in a checkout they lie at the top, where people edit
    them.
    """
    inside = PACKAGE / "shipped" / name
    return inside if inside.is_dir() else PACKAGE.parent / name


# Set by the launcher, so that the lessons read the tables beside them, which their owner edits.
DATA_VARIABLE = "KITCHENKIT_DATA"


def data_folder() -> Path:
    """The data folder to open when none is named: the learner's own, else the shipped one."""
    return Path(os.environ.get(DATA_VARIABLE) or shipped_folder("data"))


def learner_folder() -> Path | None:
    """The learner's own folder, which holds their copies, or None in a plain copy of the kit."""
    data = os.environ.get(DATA_VARIABLE)
    return Path(data).parent if data else None
