"""The list of sources a lesson closes with."""

from __future__ import annotations

import html


class Sources:
    """Citations in words, each with how it was read.

    Parameters
    ----------
    kit : Kit
    *keys : str
        Keys in sources.csv.

    Raises
    ------
    KitchenError
        If a key is not there.
    """

    def __init__(self, kit, *keys: str):
        self.citations = [kit.cite(key) for key in keys]

    def __repr__(self) -> str:
        return "\n".join(self.citations)

    def _repr_html_(self) -> str:
        items = "".join(f"<li>{html.escape(citation)}</li>" for citation in self.citations)
        return f"<ul>{items}</ul>"
