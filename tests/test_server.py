"""The real server, started as the launcher does: who gets in, what it leaves, how it closes."""

import contextlib
import os
import re
import signal
import subprocess
import sys
import urllib.error
import urllib.request
from pathlib import Path

import pytest
from served import served

import kitchenkit
from kitchenkit import places, server


@pytest.fixture(scope="module")
def running(tmp_path_factory):
    """A running server, its lessons' folder and the address it printed.

    Between the choice of its port and its start other programs take that port and the next.
    """
    home = tmp_path_factory.mktemp("home")
    folder = home / "my lessons"
    code = (
        f"import sys; sys.path.insert(0, {str(places.PACKAGE.parent)!r})\n"
        "from pathlib import Path\n"
        "from kitchenkit import copies, server\n"
        f"folder = Path({str(folder)!r})\n"
        "copies.refresh(folder)\n"
        "sys.stderr = (folder / 'complaints.txt').open('w', buffering=1)\n"
        "page = server.first_page(folder)\n"
        "import socket\n"
        "port = server.choose_port()\n"
        "other = socket.create_server((server.HOST, port))\n"
        "hold = server.hold_port\n"
        "def held(app):\n"
        "    app.other = socket.create_server((server.HOST, app.port))\n"
        "    hold(app)\n"
        "    assert not server._free(app.port)\n"
        "server.hold_port = held\n"
        "server.serve(folder, port, page, browser=False)\n"
        "print('closed well')"
    )
    with served(code, home) as (process, printed):
        yield process, folder, printed


def fetch(link: str) -> tuple[int, str]:
    """The status and final address of a page; a browser's proxy plays no part."""
    opener = urllib.request.build_opener(
        urllib.request.ProxyHandler({}), urllib.request.HTTPCookieProcessor()
    )
    try:
        with opener.open(link, timeout=20) as answer:
            return answer.status, answer.url
    except urllib.error.HTTPError as error:
        with error:
            return error.code, link


def test_the_printed_address_opens_the_welcome_lesson(running):
    _, _, link = running
    status, url = fetch(link)
    assert status == 200
    assert "/doc/tree/00-welcome.ipynb" in url


def test_nobody_reads_warnings_above_the_address(running):
    assert (running[1] / "complaints.txt").read_text() == ""


def test_without_the_token_nobody_gets_in(running):
    _, _, link = running
    site = re.match(r"http://[^/]+", link)[0]
    _, url = fetch(link.partition("?")[0])
    assert "/login" in url
    assert fetch(f"{site}/api/contents")[0] == 403
    assert fetch(f"{site}/api/contents?token=a+token+of+another+program")[0] == 403


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="reads Linux's list of sockets")
def test_it_listens_to_this_computer_only(running):
    process, _, link = running
    assert_listens_here_only(process, int(re.search(r":(\d+)/", link)[1]))


def assert_listens_here_only(process: subprocess.Popen, port: int) -> None:
    own = set()
    for held in Path(f"/proc/{process.pid}/fd").iterdir():
        with contextlib.suppress(FileNotFoundError):  # a connection may end while we look
            own |= set(re.findall(r"socket:\[(\d+)\]", os.readlink(held)))
    listening = []
    for table in ("tcp", "tcp6"):
        rows = Path(f"/proc/net/{table}").read_text().splitlines()[1:]
        for cells in map(str.split, rows):
            if cells[3] == "0A" and cells[9] in own:  # 0A: listening
                listening.append(cells[1])
    assert f"0100007F:{port:04X}" in listening
    assert all(place.startswith("0100007F:") for place in listening), listening


@pytest.mark.skipif(os.name != "posix", reason="Ctrl-C cannot be sent to another program here")
def test_it_closes_at_once_and_leaves_nothing_behind(running):
    process, folder, _ = running
    process.send_signal(signal.SIGINT)
    told, _ = process.communicate(timeout=20)
    assert told.split() == ["closed", "well"]
    assert process.returncode == 0
    assert not list((folder / ".kitchen/running").glob("jpserver-*"))
    home = {path.name for path in folder.parent.iterdir()}
    assert home == {folder.name}, "it writes nothing outside the lessons' folder"


def test_a_saved_lesson_keeps_its_stills_and_not_its_live_panels():
    """A live panel is a reference into this run; opened tomorrow it would show an error."""
    view = "application/vnd.jupyter.widget-view+json"
    panel = {"data": {view: {"model_id": "1"}, "text/html": "<p>still</p>"}}
    bare = {"data": {view: {"model_id": "2"}, "text/plain": "a widget of the learner's own"}}
    model = {"type": "notebook", "content": {"cells": [{"outputs": [panel, bare]}, {}]}}
    server.leave_panels_out(model=model, path="x.ipynb")
    assert panel["data"] == {"text/html": "<p>still</p>"}
    assert view in bare["data"]
    server.leave_panels_out(model={"type": "file", "content": "text"}, path="x.csv")


def test_lessons_read_the_tables_beside_them(tmp_path, data_folder, monkeypatch):
    told = server.surroundings(tmp_path)
    assert told[places.DATA_VARIABLE] == str(tmp_path / "data")
    pans = data_folder / "pans.csv"
    lines = pans.read_text(encoding="utf-8").splitlines()
    row = lines[1].replace("loaf-8x4,", "tin-of-mine,").replace("loaf pan, 8 × 4 in", "my tin")
    pans.write_text("\n".join([*lines, row]) + "\n", encoding="utf-8")
    monkeypatch.setenv(places.DATA_VARIABLE, told[places.DATA_VARIABLE])
    assert "my tin" in kitchenkit.open_kit().pans
    monkeypatch.delenv(places.DATA_VARIABLE)
    assert "my tin" not in kitchenkit.open_kit().pans
