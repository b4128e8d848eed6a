"""A shelf of named things, found by whatever a cook calls them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from difflib import get_close_matches
from functools import lru_cache

from kitchenkit.errors import KitchenError, brief


@lru_cache(maxsize=4000)  # a table's names come up in row after row
def plain(name: str) -> str:
    """A name without case, odd spaces or hyphens, so that spellings meet."""
    return " ".join(name.replace("-", " ").replace("_", " ").casefold().split())


class Shelf(Mapping):
    """A mapping by key that also answers to names and other names, in any case.

    Parameters
    ----------
    what : str
        What it holds, for its messages: ``"ingredient"``.
    items : iterable
        Things with ``key`` and ``name``, and perhaps ``also`` (other names).
    """

    def __init__(self, what: str, items=()):
        self._what = what
        self._by_key = {item.key: item for item in items}
        self._by_name = {}
        for item in self._by_key.values():
            for name in (item.key, item.name, *getattr(item, "also", ())):
                self._by_name.setdefault(plain(name), item)

    def __getitem__(self, name: str):
        """The thing of that key or name.

        Raises
        ------
        KitchenError
            If there is none; the message offers the nearest names.
        """
        found = self._by_name.get(plain(name)) if isinstance(name, str) else None
        if found is None:
            near = get_close_matches(plain(str(name)[:100]), self._by_name, n=3, cutoff=0.5)
            hint = f" Did you mean {', '.join(near)}?" if near else ""
            raise KitchenError(f"There is no {self._what} called {brief(name)}.{hint}")
        return found

    def __contains__(self, name) -> bool:
        return isinstance(name, str) and plain(name) in self._by_name

    def get(self, name, default=None):
        """The thing of that key or name, or `default`."""
        try:
            return self[name]
        except KitchenError:
            return default

    def __iter__(self) -> Iterator[str]:
        return iter(self._by_key)

    def __len__(self) -> int:
        return len(self._by_key)

    def __repr__(self) -> str:
        return f"{self._what}s: {', '.join(self._by_key) or 'none'}"
