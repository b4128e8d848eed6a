"""The lock files: pinned, hashed, free of addresses, and in step with each other."""

import re

import pytest

from kitchenkit import environment, places

TOP = places.checkout()
ROOM = "kitchenkit/hub/room.lock"  # installed by hand, by no command of ours
LOCKS = sorted([*environment.LOCKS.values(), ROOM])


def pins(lock: str) -> dict[str, tuple[str, int]]:
    """Each pinned requirement, marker and all, with its version and how many hashes it has."""
    text = (TOP / lock).read_text(encoding="utf-8")
    body = "\n".join(line for line in text.splitlines() if not line.startswith("#"))
    found = {}
    for entry in re.split(r"\n(?=\S)", body.replace("\\\n", " ")):
        pin = re.match(r"([a-z0-9-]+)==([\w.!+]+)( ; [^-]+?)?(?=\s+--)", entry)
        assert pin, f"{lock}: not a pin: {entry[:80]}"
        name = pin[1] + (pin[3] or "")
        assert name not in found
        found[name] = pin[2], entry.count("--hash=sha256:")
    return found


@pytest.mark.parametrize("lock", LOCKS)
def test_no_line_holds_an_address(lock):
    text = (TOP / lock).read_text(encoding="utf-8")
    assert not re.findall(r"\S*://\S*|--(?:extra-)?index\S*|--find-links\S*|-i \S+", text)


@pytest.mark.parametrize("lock", LOCKS)
def test_every_pin_has_its_hashes(lock):
    found = pins(lock)
    assert len(found) > 50
    assert not [name for name, (_, hashes) in found.items() if not hashes]


def test_they_pin_the_same():
    run, pages, test = (pins(environment.LOCKS[name]) for name in ("open", "pages", "test"))
    assert run.items() <= pages.items() <= test.items()
    assert run.items() <= pins(ROOM).items()


@pytest.mark.parametrize("command", environment.LOCKS)
def test_all_that_a_command_needs_is_pinned(command):
    needed = {*environment.MODULES[command], "hatchling", "editables"}
    assert needed <= set(pins(environment.LOCKS[command]))


def test_what_the_project_states_is_what_the_launcher_looks_for():
    import tomllib

    project = tomllib.loads((TOP / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    stated = project["dependencies"]
    extras = project["optional-dependencies"]
    room = extras.pop("room")

    def names(requirements):
        return {re.match(r"[\w-]+", requirement)[0] for requirement in requirements}

    assert names(stated) == set(environment.MODULES["open"])
    assert extras.keys() | {"open"} == environment.MODULES.keys()
    for command, extra in extras.items():
        assert names(stated + extra) == set(environment.MODULES[command])
    assert names(room) == {"jupyterhub"} <= set(pins(ROOM))
