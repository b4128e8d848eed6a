"""Brings the learners' progress files together, for the class summary of the answer key.

Run by root, so a learner's folder is entered with the learner's own rights alone: whatever lies
there, a link or another's name, it opens nothing that the learner could not.
"""

from __future__ import annotations

import argparse
import grp
import os
import pwd
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from kitchenkit.errors import KitchenError
from kitchenkit.hub.seat import FOLDER
from kitchenkit.hub.settings import LEARNERS
from kitchenkit.progress import FILE, ProgressError, read_progress
from kitchenkit.saving import save
from kitchenkit.summary import file_content


class CollectError(KitchenError):
    """Progress files that cannot be collected; the message says why."""


def collect(into: Path, accounts: list[pwd.struct_passwd]) -> list[str]:
    """Copy each account's progress file into one folder, named by the account.

    Parameters
    ----------
    into : Path
        Made if it is not there; only its owner reads it.
    accounts : list of pwd.struct_passwd

    Returns
    -------
    list of str
        What became of each account, a line each.

    Raises
    ------
    CollectError
        If the folder cannot be made or written.
    """
    try:
        into.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise CollectError(f"{into} cannot be used ({error.strerror}).") from error
    return [f"{account.pw_name}: {_one(into, account)}" for account in accounts]


def _one(into: Path, account: pwd.struct_passwd) -> str:
    path = Path(account.pw_dir) / FOLDER / FILE
    try:
        with as_account(account):
            if not os.path.lexists(path):
                return "nothing answered yet"
            content = file_content(path)
        read_progress(content)
    except ProgressError as error:
        return f"left out. {error}"
    save(into / f"{account.pw_name}.json", content, keep=0)
    return "brought"


@contextmanager
def as_account(account: pwd.struct_passwd) -> Iterator[None]:
    """This process with the rights of an account alone, for a while; only root can take them.

    Parameters
    ----------
    account : pwd.struct_passwd
        For others than root nothing changes.
    """
    if os.geteuid() != 0:
        yield
        return
    groups = os.getgroups()
    os.setgroups([account.pw_gid])
    os.setegid(account.pw_gid)
    os.seteuid(account.pw_uid)
    try:
        yield
    finally:
        os.seteuid(0)
        os.setegid(0)
        os.setgroups(groups)


def members(group: str) -> list[pwd.struct_passwd]:
    """The accounts of a group, by name.

    Parameters
    ----------
    group : str

    Returns
    -------
    list of pwd.struct_passwd

    Raises
    ------
    CollectError
        If there is no such group.
    """
    try:
        found = grp.getgrnam(group)
    except KeyError:
        raise CollectError(f"There is no group {group!r} on this machine.") from None
    accounts = [one for one in pwd.getpwall() if one.pw_gid == found.gr_gid]
    accounts += [pwd.getpwnam(name) for name in found.gr_mem]
    return sorted({one.pw_name: one for one in accounts}.values(), key=lambda one: one.pw_name)


def main(arguments: list[str]) -> int:
    """Collect, tell what came, and return the exit code."""
    parser = argparse.ArgumentParser(
        prog="kitchenkit.hub.collect", description=collect.__doc__[:69]
    )
    parser.add_argument("folder", type=Path, metavar="FOLDER", help="where to put the files")
    parser.add_argument("--group", default=LEARNERS, help=f"of accounts; else {LEARNERS}")
    chosen = parser.parse_args(arguments)
    try:
        print("\n".join(collect(chosen.folder, members(chosen.group))))
    except KitchenError as error:
        print(error, file=sys.stderr)
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
