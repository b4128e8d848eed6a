"""Pages without code: who gets in, what they show of a notebook, how they close."""

import json
import os
import re
import signal
import sys
import urllib.request
from pathlib import Path

import pytest
from served import served
from test_server import assert_listens_here_only, fetch

from kitchenkit import copies, launch, pages, places, server


def test_its_settings_keep_it_on_this_computer(tmp_path):
    given = pages.settings(tmp_path, 8765, "secret")
    assert given["Voila"]["ip"] == "127.0.0.1"
    assert given["Voila"]["token"] == "secret"
    assert given["Voila"]["tornado_settings"]["allow_remote_access"] is False
    assert given["MappingKernelManager"]["cull_idle_timeout"] == 1800
    assert pages.surroundings(tmp_path).items() >= server.surroundings(tmp_path).items()


def test_the_command_serves_the_same_copies(tmp_path, monkeypatch, capsys):
    asked, served = [], []

    def python_for(command, top):
        asked.append(command)
        return Path(sys.executable)

    monkeypatch.setattr(launch.environment, "python_for", python_for)
    monkeypatch.setattr(pages, "serve", lambda *what: served.append(what))
    assert launch.main(["pages", "--no-browser", "--folder", str(tmp_path / "mine")]) == 0
    assert asked == ["pages"]
    [(folder, port, browser)] = served
    assert (folder, browser) == (tmp_path / "mine", False)
    assert port >= server.FIRST_PORT
    assert (folder / "00-welcome.ipynb").is_file()
    assert (folder / "data/pans.csv").is_file()
    assert "Goodbye" in capsys.readouterr().out


@pytest.fixture(scope="module")
def running(tmp_path_factory):
    """A running server, its lessons' folder and the address it printed.

    Between the choice of its port and its start another program takes that port.
    """
    home = tmp_path_factory.mktemp("home")
    folder = home / "my lessons"
    done = copies.refresh(folder)
    server.trust(done.written, folder)
    welcome = json.loads((folder / "00-welcome.ipynb").read_text(encoding="utf-8"))
    welcome["cells"][0]["source"] = "# Not from here"
    (folder / "elsewhere.ipynb").write_text(json.dumps(welcome), encoding="utf-8")
    (folder / "private.svg").write_text("<svg xmlns='http://www.w3.org/2000/svg'/>")
    code = (
        f"import sys; sys.path.insert(0, {str(places.PACKAGE.parent)!r})\n"
        "from pathlib import Path\n"
        "from kitchenkit import pages, server\n"
        "import socket\n"
        "port = server.choose_port()\n"
        "other = socket.create_server((server.HOST, port))\n"
        f"pages.serve(Path({str(folder)!r}), port, browser=False)\n"
        "print('closed well')"
    )
    with served(code, home) as (process, printed):
        yield process, folder, printed


@pytest.fixture
def get(running):
    """Ask for a page with the token, as a browser that was let in; its status and text."""
    site, _, token = running[2].partition("/?token=")
    opener = urllib.request.build_opener(urllib.request.ProxyHandler({}))

    def get(path: str, **headers) -> tuple[int, str]:
        request = urllib.request.Request(
            site + path, headers={"Authorization": f"token {token}", **headers}
        )
        try:
            with opener.open(request, timeout=30) as answer:
                return answer.status, answer.read().decode()
        except urllib.error.HTTPError as error:
            with error:
                return error.code, error.read().decode()

    return get


def test_the_printed_address_opens_the_welcome_lesson_and_hides_its_token(running):
    status, url = fetch(running[2])
    assert status == 200
    assert url.endswith("/voila/render/00-welcome.ipynb")


def test_without_the_token_nobody_gets_in(running):
    site = re.match(r"http://[^/]+", running[2])[0]
    for path in ("", "/voila/render/00-welcome.ipynb", "/voila/tree"):
        assert "/login" in fetch(site + path)[1]
        assert "/login" in fetch(f"{site}{path}?token=a+token+of+another+program")[1]
    assert fetch(f"{site}/voila/api/contents")[0] == 403


def test_under_another_name_nobody_gets_in(get):
    assert get("/voila/tree", Host="kitchen.example")[0] == 403
    assert get("/voila/tree")[0] == 200


def test_files_of_the_folder_are_not_given_out(get):
    for name in ("private.svg", "data/pans.csv", "00-welcome.ipynb", ".kitchen/brought-in"):
        assert get(f"/voila/files/{name}")[0] in (403, 404)


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="reads Linux's list of sockets")
def test_it_listens_to_this_computer_only(running):
    process, _, link = running
    assert_listens_here_only(process, int(re.search(r":(\d+)/", link)[1]))


def test_a_page_holds_the_words_and_no_code(get):
    status, text = get("/voila/render/00-welcome.ipynb")
    assert status == 200
    assert "<title>Welcome to the kitchen</title>" in text
    assert '<html lang="en">' in text
    assert "open_kit" not in text
    assert 'id="cell-id=able"' in text
    assert "how-it-runs" not in text, "it is about buttons that are not here"
    assert not re.findall(r'(?:src|href)="(?:https?:)?//', text)


def test_a_lesson_from_elsewhere_is_not_run(get):
    status, text = get("/voila/render/elsewhere.ipynb")
    assert status == 403
    assert "changed outside the kit" in text
    assert "Not from here" not in text


def test_a_page_that_is_not_there_says_so(get):
    status, text = get("/voila/render/99-nothing.ipynb")
    assert status == 404
    assert "There is no such lesson here" in text


def test_a_mistake_in_a_table_is_told_with_its_mend(running, get):
    pans = running[1] / "data/pans.csv"
    whole = pans.read_text(encoding="utf-8")
    lines = whole.splitlines()
    try:
        pans.write_text("\n".join([*lines, lines[1]]) + "\n", encoding="utf-8")
        status, text = get("/voila/render/00-welcome.ipynb")
    finally:
        pans.write_text(whole, encoding="utf-8")
    assert status == 200
    assert "pans.csv" in text
    assert "to mend in the data" in text
    assert "most recent call last" not in text


@pytest.mark.skipif(os.name != "posix", reason="Ctrl-C cannot be sent to another program here")
def test_it_closes_at_once_and_leaves_nothing_behind(running):
    process, folder, _ = running
    process.send_signal(signal.SIGINT)
    told, _ = process.communicate(timeout=20)
    assert told.split() == ["closed", "well"], told
    assert process.returncode == 0
    assert not list((folder / ".kitchen/running").iterdir())
    home = {path.name for path in folder.parent.iterdir()}
    fonts = {".cache", ".config"}  # where matplotlib remembers this computer's fonts
    assert home - fonts == {folder.name}, "it writes nothing outside the lessons' folder"
