"""The licence that each pinned package states: free to use in a class, and none unknown."""

import re
from importlib.metadata import PackageNotFoundError, distribution, metadata

import pytest

from kitchenkit.environment import LOCKS
from kitchenkit.places import checkout

TOP = checkout()
LOCKED = sorted(
    {
        name
        for lock in LOCKS.values()
        for name in re.findall(r"^([a-z0-9][a-z0-9.-]*)==", (TOP / lock).read_text(), re.M)
    }
)
FREE = re.compile(
    r"MIT|BSD|ISC|Apache|PSF|Python Software Foundation|Zlib|CC0|HPND|Unlicense|public domain", re.I
)
# Those that ask whoever changes them to share the change; they are used as they are.
SHARED_ALIKE = {
    "certifi": "MPL 2.0",
    "fpdf2": "LGPL-3.0",
    "fqdn": "MPL-2.0",
    "hypothesis": "MPL-2.0",
    "pathspec": "MPL 2.0",
}


def licence(name: str) -> str:
    """What a package says of itself: its expression, classifiers, field or licence file."""
    told = metadata(name)
    kinds = [c.split(" :: ")[-1] for c in told.get_all("Classifier") or [] if "License ::" in c]
    text = told["License"] or distribution(name).read_text("licenses/LICENSE") or ""
    return told["License-Expression"] or ", ".join(kinds) or text[:80]


@pytest.mark.parametrize("name", LOCKED)
def test_each_is_free_to_use(name):
    try:
        told = licence(name)
    except PackageNotFoundError:
        pytest.skip("pinned for another system")
    if name in SHARED_ALIKE:
        assert SHARED_ALIKE[name] in told
    else:
        assert FREE.search(told), told
        assert not re.search(r"GPL|MPL|Mozilla|Affero|Commercial|Proprietary", told), told


def test_there_is_something_to_look_at():
    assert len(LOCKED) > 80
    assert set(SHARED_ALIKE) <= set(LOCKED)
