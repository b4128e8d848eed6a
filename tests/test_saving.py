"""A save is whole or not there at all, whoever dies in the middle; earlier versions come back."""

import os
import signal
import subprocess
import sys
import threading
import time
from datetime import datetime
from pathlib import Path

import pytest

from kitchenkit import saving
from kitchenkit.places import PACKAGE
from kitchenkit.saving import ChangedError, SavingError, bring_back, remove, save, versions

NOW = datetime(2026, 11, 25, 10, 11, 12)


@pytest.fixture
def path(tmp_path):
    return tmp_path / "data" / "pans.csv"


def names(path):
    return [version.name for version in versions(path)]


def loose(folder):
    """What a folder holds besides the lock: no half-written file may be among it."""
    return sorted(p.name for p in folder.iterdir() if p.name != ".saving")


def test_a_first_save_makes_folder_and_file_and_no_version(path):
    assert save(path, "key\nloaf × 2\r\n", now=NOW) == path
    assert path.read_bytes() == "key\nloaf × 2\r\n".encode()
    assert versions(path) == []
    assert loose(path.parent) == ["pans.csv"]


def test_what_was_replaced_is_kept_under_the_time(path):
    save(path, b"one")
    save(path, b"two", now=NOW)
    assert path.read_bytes() == b"two"
    [kept] = versions(path)
    assert kept.path == path.parent / "earlier-versions/pans.csv/2026-11-25T10-11-12.csv"
    assert kept.until == NOW
    assert kept.path.read_bytes() == b"one"


def test_versions_of_one_second_are_numbered_and_in_order(path):
    for n in range(15):
        save(path, f"{n}", now=NOW)
    assert names(path)[:2] == ["2026-11-25T10-11-12-14.csv", "2026-11-25T10-11-12-13.csv"]
    assert [v.path.read_text() for v in versions(path)] == [str(n) for n in range(13, 3, -1)]


def test_ten_are_kept_and_the_oldest_go(path):
    for n in range(30):
        save(path, f"{n}", now=NOW.replace(minute=n))
    assert [v.path.read_text() for v in versions(path)] == [str(n) for n in range(28, 18, -1)]


def test_a_clock_set_back_does_not_lose_what_was_just_replaced(path):
    for n in range(11):
        save(path, f"{n}", now=NOW.replace(minute=n))
    save(path, b"now", now=NOW.replace(year=2020))
    assert b"10" in [v.path.read_bytes() for v in versions(path)]
    assert len(versions(path)) == 10


def test_the_same_content_is_no_new_version(path):
    save(path, b"one")
    save(path, b"one")
    assert versions(path) == []


def test_none_are_kept_when_none_are_wanted(path):
    save(path, b"one", keep=0)
    save(path, b"two", keep=0)
    assert versions(path) == []
    assert loose(path.parent) == ["pans.csv"]


def test_bring_back_and_back_again(path):
    save(path, b"one")
    save(path, b"two", now=NOW)
    [first] = versions(path)
    bring_back(path, first, now=NOW.replace(minute=12))
    assert path.read_bytes() == b"one"
    newest = versions(path)[0]
    assert newest.path.read_bytes() == b"two"
    bring_back(path, newest.name)
    assert path.read_bytes() == b"two"


def test_a_deleted_file_comes_back(path):
    save(path, b"one")
    save(path, b"two", now=NOW)
    path.unlink()
    bring_back(path, "2026-11-25T10-11-12.csv")
    assert path.read_bytes() == b"one"


def test_a_removed_file_is_kept_as_a_version(path):
    save(path, b"one")
    remove(path, now=NOW)
    assert not path.exists()
    assert names(path) == ["2026-11-25T10-11-12.csv"]
    bring_back(path, "2026-11-25T10-11-12.csv")
    assert path.read_bytes() == b"one"


def test_only_what_was_read_is_removed(path):
    save(path, b"one")
    with pytest.raises(ChangedError):
        remove(path, expecting=b"two")
    assert path.read_bytes() == b"one"
    remove(path, expecting=b"one")
    with pytest.raises(SavingError, match=r"no pans\.csv to remove"):
        remove(path)


@pytest.mark.parametrize("name", ["", "..", "../../pans.csv", "/etc/passwd", "2026.csv", "*"])
def test_only_a_version_comes_back(path, name):
    save(path, b"one")
    save(path, b"two")
    with pytest.raises(SavingError, match="no earlier version"):
        bring_back(path, name)
    assert path.read_bytes() == b"two"


def test_files_of_others_among_the_versions_are_left_alone(path):
    save(path, b"one")
    save(path, b"two", now=NOW)
    folder = path.parent / "earlier-versions/pans.csv"
    for stray in ("notes.txt", "2026-40-40T10-11-12.csv", ".2026.part"):
        (folder / stray).write_text("mine")
    (folder / "2026-11-25T10-11-13.csv").mkdir()
    assert names(path) == ["2026-11-25T10-11-12.csv"]
    for n in range(15):
        save(path, f"{n}")
    assert (folder / "notes.txt").read_text() == "mine"


# --- somebody else's changes --------------------------------------------------------------------


def test_a_file_changed_elsewhere_is_not_overwritten(path):
    save(path, b"one")
    path.write_bytes(b"typed in a spreadsheet")
    with pytest.raises(ChangedError, match="changed elsewhere"):
        save(path, b"two", expecting=b"one")
    assert path.read_bytes() == b"typed in a spreadsheet"
    assert versions(path) == []
    save(path, b"two", expecting=b"typed in a spreadsheet")
    assert path.read_bytes() == b"two"


def test_a_file_that_should_not_be_there_yet(path):
    save(path, b"one", expecting=None)
    with pytest.raises(ChangedError):
        save(path, b"two", expecting=None)
    path.unlink()
    with pytest.raises(ChangedError):
        save(path, b"two", expecting=b"one")


def test_two_writers_take_turns(path):
    """Each adds one to what it read; without the lock some would be lost."""
    save(path, b"0", keep=0)

    def add():
        for _ in range(20):
            while True:
                held = path.read_bytes()
                try:
                    save(path, str(int(held) + 1), keep=0, expecting=held)
                    break
                except ChangedError:
                    continue

    writers = [threading.Thread(target=add) for _ in range(4)]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()
    assert path.read_bytes() == b"80"


def test_a_writer_that_waits_too_long_says_so(path, monkeypatch):
    save(path, b"one")
    monkeypatch.setattr(saving, "_WAIT", 0.1)
    with saving._alone(path.parent), pytest.raises(SavingError, match="Another program is saving"):
        save(path, b"two")
    save(path, b"two")
    assert path.read_bytes() == b"two"


def test_a_disk_without_locks_is_still_written_to_and_nothing_swept(path, monkeypatch):
    save(path, b"one")
    stray = path.with_name(".pans.csv.0123abcd.part")
    stray.touch()

    def none(handle):
        raise OSError(95, "Operation not supported")

    monkeypatch.setattr(saving, "_try_lock", none)
    save(path, b"two")
    assert path.read_bytes() == b"two"
    assert stray.exists()


# --- faults -------------------------------------------------------------------------------------


@pytest.mark.parametrize("step", ["replace", "fsync"])
def test_a_full_disk_changes_nothing_and_leaves_nothing(path, monkeypatch, step):
    save(path, b"one")
    before = loose(path.parent)

    def full(*words):
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(os, step, full)
        with pytest.raises(SavingError, match=r"No space left.*Nothing has changed"):
            save(path, b"two", keep=0)
    assert path.read_bytes() == b"one"
    assert loose(path.parent) == before


def test_a_file_open_in_a_spreadsheet_is_said(path, monkeypatch):
    save(path, b"one")

    def held(*words):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(os, "replace", held)
    with pytest.raises(SavingError, match="Close it in other programs"):
        save(path, b"two")
    assert path.read_bytes() == b"one"


def test_a_reader_bars_a_save_for_a_moment_only(path, monkeypatch):
    """On Windows a file that is open somewhere cannot be replaced."""
    save(path, b"one", keep=0)
    tries, replace = [], os.replace

    def barred(*words):
        tries.append(words)
        if len(tries) < 3:
            raise PermissionError(13, "Access is denied")
        replace(*words)

    monkeypatch.setattr(os, "replace", barred)
    monkeypatch.setattr(saving, "_BARRED", 10.0)
    save(path, b"two", keep=0)
    assert path.read_bytes() == b"two"
    assert len(tries) == 3
    tries.clear()
    monkeypatch.setattr(saving, "_BARRED", 0.0)
    with pytest.raises(SavingError, match="Close it in other programs"):
        save(path, b"three", keep=0)
    assert len(tries) == 1


def test_a_name_that_cannot_be_is_said(tmp_path):
    with pytest.raises(SavingError, match="could not be saved"):
        save(tmp_path / "pans\0.csv", b"one")
    with pytest.raises(SavingError, match="could not be saved"):
        save(tmp_path / ("a" * 400), b"one")
    (tmp_path / "folder").mkdir()
    with pytest.raises(SavingError):
        save(tmp_path / "folder", b"one")


@pytest.mark.skipif(os.name != "posix", reason="links need rights there")
class TestLinks:
    def test_a_link_is_replaced_not_followed(self, path, tmp_path):
        outside = tmp_path / "outside.csv"
        outside.write_bytes(b"theirs")
        path.parent.mkdir()
        path.symlink_to(outside)
        save(path, b"mine")
        assert outside.read_bytes() == b"theirs"
        assert not path.is_symlink()
        assert path.read_bytes() == b"mine"

    @pytest.mark.parametrize("level", ["earlier-versions", "earlier-versions/pans.csv"])
    def test_versions_are_not_written_through_a_link(self, path, tmp_path, level):
        outside = tmp_path / "outside"
        (outside / "pans.csv").mkdir(parents=True)
        save(path, b"one")
        link = path.parent / level
        link.parent.mkdir(exist_ok=True)
        link.symlink_to(outside)
        with pytest.raises(SavingError, match="is a link"):
            save(path, b"two")
        assert path.read_bytes() == b"one"
        assert [p for p in outside.rglob("*") if p.is_file()] == []

    def test_who_may_read_it_stays(self, path):
        save(path, b"one")
        path.chmod(0o640)
        save(path, b"two")
        assert path.stat().st_mode & 0o777 == 0o640


# --- killed in the middle -----------------------------------------------------------------------

OLD, NEW, AFTER = b"old " * 5_000, b"new, and longer " * 5_000, b"after"

# Every step of a save that touches the disk counts; at the step asked for the program is killed.
STOPPING = """
import os, signal, sys
from kitchenkit import saving
path, at = sys.argv[1], int(sys.argv[2])
count = 0
def counted(name, real, after):
    def step(*words, **more):
        global count
        count += 1
        if after:
            real(*words, **more)
        if count == at:
            os.kill(os.getpid(), signal.SIGKILL)
        return None if after else real(*words, **more)
    return step
for name in ("replace", "fsync"):
    for_after = at % 2 == 0
    setattr(os, name, counted(name, getattr(os, name), for_after))
real_open = os.open
os.open = counted("open", real_open, False)
saving.save(path, sys.stdin.buffer.read())
"""
# Saves again and again until it is killed from outside.
BUSY = """
import sys
from kitchenkit import saving
path, old, new = sys.argv[1], b"old " * 5_000, b"new, and longer " * 5_000
print("ready", flush=True)
while True:
    saving.save(path, new)
    saving.save(path, old)
"""


def environment():
    return {**os.environ, "PYTHONPATH": str(PACKAGE.parent)}


def check_whole(path: Path):
    """The file and each version are the old or the new whole; one more save sweeps up."""
    assert path.read_bytes() in (OLD, NEW)
    for version in versions(path):
        assert version.path.read_bytes() in (OLD, NEW, AFTER)
    save(path, AFTER)
    assert path.read_bytes() == AFTER
    save(path, OLD)
    assert loose(path.parent) == ["earlier-versions", "pans.csv"]
    folder = path.parent / "earlier-versions/pans.csv"
    assert not [p for p in folder.iterdir() if p.suffix == ".part"]


@pytest.mark.skipif(os.name != "posix", reason="needs a kill that cannot be caught")
class TestKilled:
    def test_at_every_step(self, path):
        save(path, OLD)
        killed = 0
        for at in range(1, 26):
            run = [sys.executable, "-c", STOPPING, str(path), str(at)]
            done = subprocess.run(run, input=NEW, env=environment(), capture_output=True)
            if done.returncode == 0:
                break
            assert done.returncode == -signal.SIGKILL, done.stderr
            killed += 1
            check_whole(path)
        assert killed >= 8, "lock, version, file and folder each take steps"
        assert done.returncode == 0, "more steps than were tried"

    def test_fifty_times_at_chance_moments(self, path):
        save(path, OLD)
        for n in range(50):
            run = subprocess.Popen(
                [sys.executable, "-c", BUSY, str(path)], env=environment(), stdout=subprocess.PIPE
            )
            assert run.stdout.readline() == b"ready\n"
            time.sleep(0.003 + 0.0007 * n)
            run.kill()
            run.wait()
            run.stdout.close()
            check_whole(path)
