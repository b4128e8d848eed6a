"""Brings the learners' progress files together, for the class summary of the answer key.

Run by root, yet a learner's folder is read with the learner's own rights alone, and the teacher's
is written with the teacher's: whatever lies there, a link or another's file, nobody gets more.
Start it with ``python -P``, else a folder that root happens to stand in is looked through for code.
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

_BROUGHT = "brought"


class CollectError(KitchenError):
    """Progress files that cannot be collected; the message says why."""


def collect(
    into: Path, accounts: list[pwd.struct_passwd], keeper: pwd.struct_passwd | None = None
) -> list[str]:
    """Copy each account's progress file into one folder, named by the account.

    Parameters
    ----------
    into : Path
        Made if it is not there. The keeper's own is for their eyes alone from then on.
    accounts : list of pwd.struct_passwd
    keeper : pwd.struct_passwd, optional
        Whose the folder is, a teacher; whoever runs this when left out.

    Returns
    -------
    list of str
        What became of each account, a line each; then which files from before are still there.

    Raises
    ------
    CollectError
        If the folder cannot be made.
    SavingError
        If a file cannot be written.
    """
    keeper = keeper or pwd.getpwuid(os.geteuid())
    try:
        with as_account(keeper):
            into.mkdir(mode=0o700, parents=True, exist_ok=True)
            if into.stat().st_uid == keeper.pw_uid:
                into.chmod(0o700)  # one that was there may be open to others
    except OSError as error:
        raise CollectError(f"{into} cannot be used ({error.strerror}).") from error
    became = {account.pw_name: _one(into, account, keeper) for account in accounts}
    told = [f"{name}: {what}" for name, what in became.items()]
    brought = {f"{name}.json" for name, what in became.items() if what == _BROUGHT}
    return told + _from_before(into, brought, keeper)


def _from_before(into: Path, brought: set[str], keeper: pwd.struct_passwd) -> list[str]:
    """Which files this run did not write, though the class summary counts them all the same."""
    with as_account(keeper):
        found = [path for path in into.rglob("*.json") if path.is_file()]
    return [
        f"{name}: from before, not brought today. The class summary still counts it; delete it if "
        "it should not."
        for name in sorted(path.relative_to(into).as_posix() for path in found)
        if name not in brought
    ]


def _one(into: Path, account: pwd.struct_passwd, keeper: pwd.struct_passwd) -> str:
    path = Path(account.pw_dir) / FOLDER / FILE
    try:
        with as_account(account):
            if not os.path.lexists(path):
                return "nothing answered yet"
            content = file_content(path)
        read_progress(content)
    except ProgressError as error:
        return f"left out. {error}"
    with as_account(keeper):
        save(into / f"{account.pw_name}.json", content, keep=0)
    return _BROUGHT


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
    os.setgroups(os.getgrouplist(account.pw_name, account.pw_gid))
    os.setegid(account.pw_gid)
    os.seteuid(account.pw_uid)
    try:
        yield
    finally:
        os.seteuid(0)
        os.setegid(0)
        os.setgroups(groups)


def members(group: str) -> tuple[list[pwd.struct_passwd], list[str]]:
    """The accounts of a group, by name, and the names in it that have no account any more.

    Parameters
    ----------
    group : str

    Returns
    -------
    list of pwd.struct_passwd
    list of str

    Raises
    ------
    CollectError
        If there is no such group.
    """
    try:
        found = grp.getgrnam(group)
    except KeyError:
        raise CollectError(f"There is no group {group!r} on this machine.") from None
    accounts = {one.pw_name: one for one in pwd.getpwall() if one.pw_gid == found.gr_gid}
    gone = []
    for name in found.gr_mem:
        try:
            accounts[name] = pwd.getpwnam(name)
        except KeyError:
            gone.append(name)
    return [accounts[name] for name in sorted(accounts)], sorted(gone)


def _account(name: str) -> pwd.struct_passwd:
    try:
        return pwd.getpwnam(name)
    except KeyError:
        raise CollectError(f"There is no account {name!r} on this machine.") from None


def main(arguments: list[str]) -> int:
    """Collect, tell what came, and return the exit code."""
    parser = argparse.ArgumentParser(
        prog="kitchenkit.hub.collect", description=collect.__doc__[:69]
    )
    parser.add_argument("folder", type=Path, metavar="FOLDER", help="where to put the files")
    parser.add_argument("--for", dest="keeper", metavar="TEACHER", help="whose the folder is")
    parser.add_argument("--group", default=LEARNERS, help=f"of accounts; else {LEARNERS}")
    chosen = parser.parse_args(arguments)
    try:
        keeper = _account(chosen.keeper) if chosen.keeper else None
        accounts, gone = members(chosen.group)
        told = collect(chosen.folder, accounts, keeper)
        told += [f"{name}: in the group, but no account any more" for name in gone]
        print("\n".join(told))
    except KitchenError as error:
        print(error, file=sys.stderr)
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
