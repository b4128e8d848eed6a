"""Times of day of a class."""

from __future__ import annotations

import re
from dataclasses import dataclass

from kitchenkit.errors import KitchenError, brief
from kitchenkit.language import tr


@dataclass(frozen=True)
class Clock:
    """Minutes of a class as times of day, said in the way that its start was written.

    Parameters
    ----------
    start : str
        ``"18:00"``, ``"6:30 pm"`` or ``"6:30 p. m."``.

    Raises
    ------
    KitchenError
        If it is no time of day.
    """

    start: str = "18:00"

    def __post_init__(self):
        _read_time(self.start)  # a wrong start is told at once

    def at(self, minutes: float) -> str:
        """The time of day so many minutes after the start.

        Parameters
        ----------
        minutes : float
            Below 0 before the start.
        """
        start, twelve = _read_time(self.start)
        hour, minute = divmod(round(start + minutes) % 1440, 60)
        if twelve:
            half = tr("pm") if hour >= 12 else tr("am")
            return f"{(hour - 1) % 12 + 1}:{minute:02d} {half}"
        return f"{hour:02d}:{minute:02d}"


def _read_time(said: str) -> tuple[int, bool]:
    """Minutes after midnight, and whether it counts to twelve."""
    tidy = " ".join(str(said)[:40].split()).lower().replace(".", "")
    found = re.fullmatch(r"(\d{1,2})(?:[:h](\d\d))?\s*(?:([ap])\s?m)?", tidy, re.A)
    hour, minute = (int(found[1]), int(found[2] or 0)) if found else (99, 0)
    twelve = bool(found and found[3])
    if (1 <= hour <= 12 if twelve else hour <= 23) and minute <= 59:
        hour = hour % 12 + 12 * (found[3] == "p") if twelve else hour
        return hour * 60 + minute, twelve
    raise KitchenError(
        tr("{said} is no time of day. Write it like 18:00 or 6:00 pm.", said=brief(said))
    )
