"""The launcher's rules, with nothing installed: old Pythons, set-up, copies, ports, address."""

import ast
import json
import os
import re
import shutil
import socket
import subprocess
import sys
from datetime import datetime
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import pytest

from kitchenkit import __main__, copies, environment, launch, places, saving, server

NOW = datetime(2026, 1, 12, 18, 30, 5)
_RUN = environment._run


# --- an old Python is told so -------------------------------------------------------------------


@pytest.mark.parametrize("name", ["__init__.py", "__main__.py"])
def test_an_old_python_can_read_what_tells_it(name):
    source = (places.PACKAGE / name).read_text(encoding="utf-8")
    ast.parse(source, feature_version=(3, 4))
    assert source.isascii(), "an old Python refuses other letters"
    banned = (ast.JoinedStr, ast.AnnAssign, ast.NamedExpr)
    assert not [node for node in ast.walk(ast.parse(source)) if isinstance(node, banned)]


@pytest.mark.parametrize("version", [(2, 7, 18), (3, 5, 2), (3, 10, 13)])
def test_an_old_python_gets_a_plain_message(version, monkeypatch, capsys):
    monkeypatch.setattr(sys, "version_info", version)
    assert __main__.main() == 1
    told = capsys.readouterr().err
    assert f"Python {version[0]}.{version[1]}" in told
    assert "3.11 or newer" in told


@pytest.mark.parametrize("version", [(3, 11, 0), (3, 14, 1), (4, 0, 0)])
def test_a_new_enough_python_passes(version):
    assert __main__.too_old(version) is None


def test_the_oldest_python_is_the_one_that_the_project_states():
    text = (places.checkout() / "pyproject.toml").read_text(encoding="utf-8")
    assert f'requires-python = ">={__main__.OLDEST[0]}.{__main__.OLDEST[1]}"' in text


def test_the_launcher_needs_nothing_installed():
    """Isolated and without site-packages, the whole command line loads and answers."""
    code = (
        f"import sys; sys.path.insert(0, {str(places.PACKAGE.parent)!r})\n"
        "from kitchenkit import launch; launch.main(['--help'])"
    )
    ran = subprocess.run([sys.executable, "-I", "-S", "-c", code], capture_output=True, text=True)
    assert ran.returncode == 0, ran.stderr
    assert "open" in ran.stdout
    assert "test" in ran.stdout


# --- the environment ----------------------------------------------------------------------------


@pytest.fixture
def top(tmp_path):
    """A checkout with lock files and nothing set up."""
    for name in (*environment.LOCKS.values(), "pyproject.toml"):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text("one", encoding="utf-8")
    return tmp_path


@pytest.fixture
def steps(monkeypatch, top):
    """The steps that a set-up takes, noted instead of taken; the first makes a Python appear."""
    taken = []

    def take(words, log, what, cwd=None):
        taken.append(what)
        python = environment.venv_python(top / ".venv")
        python.parent.mkdir(parents=True, exist_ok=True)
        python.touch()

    monkeypatch.setattr(environment, "_run", take)
    monkeypatch.setattr(environment, "_usable", lambda python: python.exists())
    return taken


MAKE, PACKAGES, KIT = "make its environment", "install the packages", "install the kit itself"


def test_set_up_once_then_found_ready(top, steps, capsys):
    python = environment.prepare("open", top)
    assert steps == [MAKE, PACKAGES, KIT]
    assert "a few minutes" in capsys.readouterr().out
    assert environment.prepare("open", top) == python
    assert len(steps) == 3
    assert capsys.readouterr().out == ""


@pytest.mark.parametrize("changed", ["requirements.lock", "pyproject.toml"])
def test_a_changed_pin_is_followed_in_the_same_environment(top, steps, changed):
    environment.prepare("open", top)
    (top / changed).write_text("two", encoding="utf-8")
    environment.prepare("open", top)
    assert steps == [MAKE, PACKAGES, KIT, PACKAGES, KIT]


def test_a_set_up_that_broke_off_starts_from_an_empty_environment(top, steps, monkeypatch):
    def broken(*words, **more):
        raise environment.SetupError("no network")

    with monkeypatch.context() as patch:
        patch.setattr(environment, "_install", broken)
        with pytest.raises(environment.SetupError):
            environment.prepare("open", top)
    assert steps == [MAKE]
    half = top / ".venv/half-a-package"
    half.touch()
    environment.prepare("open", top)
    assert steps == [MAKE, MAKE, PACKAGES, KIT]
    assert not half.exists()
    environment.prepare("open", top)
    assert len(steps) == 4


@pytest.fixture
def installer(monkeypatch, steps):
    """Gives a function that sets what the installer of packages does from now on, as a program."""
    note, run = environment._run, _RUN

    def does(code: str) -> None:
        def take(words, log, what, cwd=None):
            note(words, log, what, cwd)
            if what == PACKAGES:
                run([sys.executable, "-c", code], log, what, cwd)

        monkeypatch.setattr(environment, "_run", take)

    return does


def test_an_addition_that_fails_while_it_is_fetched_leaves_what_there_was(top, steps, installer):
    environment.prepare("open", top)
    installer("print('Collecting voila'); raise SystemExit(1)")
    for _ in range(2):
        with pytest.raises(environment.SetupError):
            environment.prepare("pages", top)
    assert steps == [MAKE, PACKAGES, KIT, PACKAGES, PACKAGES]
    assert (top / ".venv/ready-open").exists()
    environment.prepare("open", top)
    assert len(steps) == 5, "it is ready still"


def test_an_addition_that_is_stopped_while_it_is_fetched_leaves_what_there_was(
    top, steps, monkeypatch
):
    environment.prepare("open", top)

    def stopped(*what, **more):
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr(environment, "_install", stopped)
        with pytest.raises(KeyboardInterrupt):
            environment.prepare("pages", top)
    environment.prepare("pages", top)
    assert steps == [MAKE, PACKAGES, KIT, PACKAGES, KIT]


def test_an_addition_that_fails_while_it_is_put_in_place_starts_anew(
    top, steps, installer, monkeypatch
):
    monkeypatch.setenv("PIP_QUIET", "2")  # the installer is to say what it does all the same
    environment.prepare("open", top)
    installer(
        "import os\n"
        "if os.environ['PIP_QUIET'] == '0': print('Installing collected packages: voila')\n"
        "raise SystemExit(1)"
    )
    with pytest.raises(environment.SetupError):
        environment.prepare("pages", top)
    installer("")
    environment.prepare("pages", top)
    assert steps == [MAKE, PACKAGES, KIT, PACKAGES, MAKE, PACKAGES, KIT]
    assert not (top / ".venv/unfinished").exists()


@pytest.mark.skipif(os.name != "posix", reason="links need rights there")
@pytest.mark.parametrize(("usable", "made"), [(True, []), (False, [MAKE])])
def test_an_upgrade_of_the_computers_python_is_noticed(top, steps, usable, made, monkeypatch):
    environment.prepare("open", top)
    python = environment.venv_python(top / ".venv")
    for version in ("older", "newer"):
        (top / version).touch()
    python.unlink()
    python.symlink_to(top / "older")
    environment.prepare("open", top)
    steps.clear()
    environment.prepare("open", top)
    assert steps == []
    python.unlink()
    python.symlink_to(top / "newer")
    monkeypatch.setattr(environment, "_usable", lambda python: usable)
    environment.prepare("open", top)
    assert steps == [*made, PACKAGES, KIT]


@pytest.mark.skipif(os.name != "posix", reason="links need rights there")
def test_an_environment_whose_python_is_gone_is_made_anew(top, steps):
    environment.prepare("open", top)
    python = environment.venv_python(top / ".venv")
    python.unlink()
    python.symlink_to(top / "gone")
    environment.prepare("open", top)
    assert steps == [MAKE, PACKAGES, KIT] * 2


def test_the_tests_environment_opens_lessons_too_but_not_the_reverse(top, steps):
    environment.prepare("open", top)
    environment.prepare("test", top)
    assert steps == [MAKE, PACKAGES, KIT, PACKAGES, KIT]
    (top / ".venv/ready-open").unlink()
    environment.prepare("test", top)
    environment.prepare("open", top)
    environment.prepare("pages", top)
    assert len(steps) == 7


def test_the_environment_of_pages_opens_lessons_too(top, steps):
    environment.prepare("open", top)
    environment.prepare("pages", top)
    environment.prepare("open", top)
    assert steps == [MAKE, PACKAGES, KIT, PACKAGES, KIT]


def test_an_environment_that_runs_nothing_is_made_anew(top):
    python = environment.venv_python(top / ".venv")
    assert not environment._usable(python)
    python.parent.mkdir(parents=True)
    python.touch(mode=0o755)
    assert not environment._usable(python)
    assert environment._usable(Path(sys.executable))


def test_a_python_without_venv_says_what_to_install(top, monkeypatch):
    monkeypatch.setitem(sys.modules, "ensurepip", None)
    with pytest.raises(environment.SetupError, match="sudo apt install python3-venv"):
        environment._make(top / ".venv")
    assert not (top / ".venv").exists()


def test_a_failed_step_keeps_its_noise_and_tells_a_mend(tmp_path):
    log = tmp_path / "setup.log"
    noise = "OSError: [Errno 28] No space left on device"
    code = f"print('Collecting a'); print({noise!r}); raise SystemExit(1)"
    with pytest.raises(environment.SetupError) as told:
        environment._run([sys.executable, "-c", code], log, "install the packages")
    assert "could not install the packages" in str(told.value)
    assert "disk is full" in str(told.value)
    assert noise in str(told.value)
    assert str(log) in str(told.value)
    assert noise in log.read_text(encoding="utf-8")


def test_a_step_that_works_is_silent(tmp_path, capfd):
    environment._run([sys.executable, "-c", "print('Collecting a')"], tmp_path / "log", "do it")
    assert capfd.readouterr() == ("", "")


@pytest.mark.parametrize(
    ("noise", "mend"),
    [
        ("Temporary failure in name resolution\nNo matching distribution found", "online"),
        ("ReadTimeoutError: Read timed out.", "online"),
        ("No matching distribution found for a==1 (from versions: none)", "online"),
        ("ProxyError('Cannot connect to proxy', NewConnectionError(...))", "proxy"),
        ("[SSL: CERTIFICATE_VERIFY_FAILED] certificate verify failed", "certificate"),
        ("THESE PACKAGES DO NOT MATCH THE HASHES", "not installed"),
        ("PermissionError: [WinError 5] Access is denied", "folder of your own"),
        ("ERROR: No matching distribution found for numpy==2.4.6", "Python 3.12"),
        ("something nobody foresaw", "delete the folder .venv"),
    ],
)
def test_each_failure_has_its_mend(noise, mend):
    assert mend in environment.mend_for(noise)


def test_an_installed_kit_uses_its_own_environment(monkeypatch, tmp_path):
    monkeypatch.setattr(environment, "_installed", lambda command: True)
    assert environment.python_for("open", None) == Path(sys.executable)
    assert environment.python_for("open", tmp_path) == Path(sys.executable)
    assert environment.is_this(Path(sys.executable))
    assert not environment.is_this(environment.venv_python(tmp_path / ".venv"))
    monkeypatch.setattr(environment, "_installed", lambda command: False)
    with pytest.raises(environment.SetupError, match="Install kitchenkit"):
        environment.python_for("open", None)


# --- the learner's copies -----------------------------------------------------------------------


def notebook(source: str, output: str = "") -> str:
    outputs = [{"output_type": "stream", "name": "stdout", "text": output}] if output else []
    cell = {
        "cell_type": "code",
        "execution_count": None,
        "id": "one",
        "metadata": {},
        "outputs": outputs,
        "source": source,
    }
    return json.dumps({"cells": [cell], "metadata": {}, "nbformat": 4, "nbformat_minor": 5})


@pytest.fixture
def shipped(tmp_path, monkeypatch):
    """Stands in for the shipped folders: one lesson and one table."""
    kit = tmp_path / "kit"
    for name in ("lessons/instructor", "lessons/.ipynb_checkpoints", "data"):
        (kit / name).mkdir(parents=True)
    (kit / "lessons/01-measure.ipynb").write_text(notebook("first"), encoding="utf-8")
    (kit / "lessons/instructor/key.ipynb").write_text(notebook("key"), encoding="utf-8")
    (kit / "lessons/.ipynb_checkpoints/01.ipynb").write_text("{}", encoding="utf-8")
    (kit / "data/pans.csv").write_text("key\nloaf\n", encoding="utf-8")
    monkeypatch.setattr(copies, "shipped_folder", lambda name: kit / name)
    return kit


@pytest.fixture
def mine(tmp_path):
    return tmp_path / "my lessons"


def held(folder: Path) -> dict[str, str]:
    """The files in a folder, without what the launcher and saving keep for themselves."""
    found = {p.relative_to(folder).as_posix(): p for p in folder.rglob("*") if p.is_file()}
    return {
        name: path.read_text(encoding="utf-8")
        for name, path in found.items()
        if not name.startswith(copies.STATE) and path.name != ".saving"
    }


def test_first_time_everything_is_copied(shipped, mine):
    done = copies.refresh(mine, NOW)
    assert held(mine) == {
        "01-measure.ipynb": notebook("first"),
        "data/pans.csv": "key\nloaf\n",
    }
    assert len(done.written) == 2
    assert done.told == []


def test_a_changed_copy_is_left_alone_while_the_kit_is_the_same(shipped, mine):
    copies.refresh(mine, NOW)
    (mine / "01-measure.ipynb").write_text(notebook("my answer"), encoding="utf-8")
    (mine / "data/pans.csv").write_text("key\nmy tin\n", encoding="utf-8")
    (mine / "my own.ipynb").write_text("anything", encoding="utf-8")
    before = held(mine)
    done = copies.refresh(mine, NOW)
    assert held(mine) == before
    assert done == copies.Refresh()


def test_a_newer_lesson_takes_the_place_of_one_that_was_only_run(shipped, mine):
    copies.refresh(mine, NOW)
    (mine / "01-measure.ipynb").write_text(notebook("first", output="384 g"), encoding="utf-8")
    (shipped / "lessons/01-measure.ipynb").write_text(notebook("better"), encoding="utf-8")
    done = copies.refresh(mine, NOW)
    assert held(mine)["01-measure.ipynb"] == notebook("better")
    assert done.written == [mine / "01-measure.ipynb"]
    assert done.told == []


@pytest.mark.parametrize("changed", [notebook("my answer"), "no notebook any more", "[1]"])
def test_work_stays_where_it_is_and_the_newer_lesson_is_put_beside(shipped, mine, changed):
    copies.refresh(mine, NOW)
    (mine / "01-measure.ipynb").write_text(changed, encoding="utf-8")
    (shipped / "lessons/01-measure.ipynb").write_text(notebook("better"), encoding="utf-8")
    done = copies.refresh(mine, NOW)
    assert held(mine)["01-measure.ipynb"] == changed
    assert held(mine)["newer/01-measure.ipynb"] == notebook("better")
    assert done.beside == [mine / "newer/01-measure.ipynb"]
    [line] = done.told
    assert "yours stays" in line
    assert "newer/01-measure.ipynb" in line
    assert line in held(mine)["what-came-in.txt"]
    assert copies.refresh(mine, NOW) == copies.Refresh()


def test_a_newer_lesson_gone_on_with_is_kept_when_a_still_newer_one_comes(shipped, mine):
    copies.refresh(mine, NOW)
    (mine / "01-measure.ipynb").write_text(notebook("my answer"), encoding="utf-8")
    (shipped / "lessons/01-measure.ipynb").write_text(notebook("better"), encoding="utf-8")
    copies.refresh(mine, NOW)
    beside = mine / "newer/01-measure.ipynb"
    beside.write_text(notebook("my better answer"), encoding="utf-8")
    (shipped / "lessons/01-measure.ipynb").write_text(notebook("best"), encoding="utf-8")
    copies.refresh(mine, NOW)
    assert beside.read_text(encoding="utf-8") == notebook("best")
    [kept] = saving.versions(beside)
    assert kept.path.read_text(encoding="utf-8") == notebook("my better answer")


def test_newer_rows_come_into_a_changed_table_and_no_row_of_mine_goes(shipped, mine):
    copies.refresh(mine, NOW)
    (mine / "data/pans.csv").write_text("key\nloaf\nmy tin\n", encoding="utf-8")
    (shipped / "data/pans.csv").write_text("key\nloaf\nround\n", encoding="utf-8")
    done = copies.refresh(mine, NOW)
    assert held(mine)["data/pans.csv"] == "key\nloaf\nround\nmy tin\n"
    assert done.merged == [mine / "data/pans.csv"]
    assert "data/pans.csv: 1 row came in: round." in done.told
    [kept] = saving.versions(mine / "data/pans.csv")
    assert kept.path.read_text(encoding="utf-8") == "key\nloaf\nmy tin\n"
    assert copies.refresh(mine, NOW) == copies.Refresh()


def test_a_copy_thrown_away_comes_back(shipped, mine):
    copies.refresh(mine, NOW)
    (mine / "data/pans.csv").unlink()
    assert copies.refresh(mine, NOW).written == [mine / "data/pans.csv"]


def test_a_recipe_thrown_away_stays_away(shipped, mine):
    recipe = shipped / "data/recipes/loaf.toml"
    recipe.parent.mkdir()
    recipe.write_text("name = 'loaf'", encoding="utf-8")
    copies.refresh(mine, NOW)
    (mine / "data/recipes/loaf.toml").unlink()
    recipe.write_text("name = 'better loaf'", encoding="utf-8")
    assert copies.refresh(mine, NOW) == copies.Refresh()
    assert "data/recipes/loaf.toml" not in held(mine)


def test_without_its_record_it_still_loses_nothing(shipped, mine):
    copies.refresh(mine, NOW)
    shutil.rmtree(mine / copies.STATE)
    (mine / "01-measure.ipynb").write_text(notebook("my answer"), encoding="utf-8")
    (mine / "data/pans.csv").write_text("key\nmy tin\n", encoding="utf-8")
    copies.refresh(mine, NOW)
    assert held(mine)["01-measure.ipynb"] == notebook("my answer")
    assert held(mine)["newer/01-measure.ipynb"] == notebook("first")
    assert held(mine)["data/pans.csv"] == "key\nloaf\nmy tin\n"


def test_a_copy_is_written_whole_or_not_at_all(shipped, mine, monkeypatch):
    copies.refresh(mine, NOW)
    (shipped / "lessons/01-measure.ipynb").write_text(notebook("better"), encoding="utf-8")

    def full(*words):
        raise OSError(28, "No space left on device")

    before = held(mine)
    with monkeypatch.context() as patch:
        patch.setattr("os.replace", full)
        with pytest.raises(saving.SavingError, match="No space"):
            copies.refresh(mine, NOW)
    assert held(mine) == before
    copies.refresh(mine, NOW)
    assert held(mine)["01-measure.ipynb"] == notebook("better")


def test_fresh_copies_are_trusted_and_changed_ones_are_not(shipped, mine):
    from nbformat import read
    from nbformat.sign import NotebookNotary

    shown = json.loads(notebook("first"))
    html = {"output_type": "display_data", "metadata": {}, "data": {"text/html": "<b>x</b>"}}
    shown["cells"][0]["outputs"] = [html]
    (shipped / "lessons/01-measure.ipynb").write_text(json.dumps(shown), encoding="utf-8")
    server.trust(copies.refresh(mine, NOW).written, mine)
    notary = NotebookNotary(data_dir=server.surroundings(mine)["JUPYTER_DATA_DIR"])
    path = mine / "01-measure.ipynb"
    assert notary.check_signature(read(path, as_version=4))
    path.write_text(path.read_text(encoding="utf-8").replace("<b>", "<i>"), encoding="utf-8")
    assert not notary.check_signature(read(path, as_version=4))
    notary.store.close()


# --- the server ---------------------------------------------------------------------------------


@pytest.fixture
def busy():
    """A port that another program holds."""
    with socket.create_server((server.HOST, 0)) as other:
        yield other.getsockname()[1]


def test_a_busy_port_is_passed_over(busy, monkeypatch):
    monkeypatch.setattr(server, "FIRST_PORT", busy)
    assert busy < server.choose_port() < busy + 50


def test_a_busy_port_that_was_asked_for_is_said(busy, monkeypatch, capsys, mine):
    monkeypatch.setattr(environment, "python_for", lambda *what: Path(sys.executable))
    assert launch.main(["open", "--port", str(busy), "--folder", str(mine)]) == 2
    assert f"Port {busy} is busy" in capsys.readouterr().err
    assert not mine.exists()


@pytest.mark.parametrize("port", ["0", "65536", "many"])
def test_a_port_that_cannot_be_is_refused(port, capsys):
    with pytest.raises(SystemExit) as stop:
        launch.main(["open", "--port", port])
    assert stop.value.code == 2
    assert "--port" in capsys.readouterr().err


def test_the_address_stays_on_this_computer_and_has_a_token(mine):
    mine.mkdir()
    (mine / "00-welcome.ipynb").touch()
    (mine / "01-measure.ipynb").touch()
    page = server.first_page(mine)
    parts = urlsplit(server.address(8765, page, "secret"))
    assert (parts.scheme, parts.hostname, parts.port) == ("http", "127.0.0.1", 8765)
    assert parts.path == "/doc/tree/00-welcome.ipynb"
    assert parse_qs(parts.query) == {"token": ["secret"]}
    assert server.first_page(mine, edit=True) == "/lab/tree/00-welcome.ipynb"
    given = server.options(mine, 8765, page, "secret")
    assert "--ServerApp.ip=127.0.0.1" in given
    assert "--IdentityProvider.token=secret" in given
    assert "--ServerApp.allow_remote_access=False" in given
    assert "--ServerApp.port_retries=50" in given


def test_no_settings_of_this_computer_let_others_in_or_move_the_address(mine):
    from jupyter_server.serverapp import ServerApp

    given = server.options(mine, 8765, "/lab", "secret")
    closed = {
        "base_url": "/",
        "certfile": "",
        "keyfile": "",
        "allow_origin": "",
        "allow_origin_pat": "",
        "disable_check_xsrf": "False",
        "allow_unauthenticated_access": "False",
    }
    for name, value in closed.items():
        assert f"--ServerApp.{name}={value}" in given
        assert name in ServerApp.class_traits(config=True)


def test_the_first_lesson_is_the_shipped_one_whatever_lies_beside_it(mine, monkeypatch):
    kit = mine / "kit"
    kit.mkdir(parents=True)
    for name in ("00-welcome (1).ipynb", "01-measure.ipynb"):
        (kit / name).touch()
    monkeypatch.setattr(server, "shipped_folder", lambda name: kit)
    assert server.first_page(mine) == "/lab"
    for name, page in (
        ("._00-welcome (1).ipynb", "/lab"),
        ("00-mine.ipynb", "/doc/tree/00-mine.ipynb"),
        ("01-measure.ipynb", "/doc/tree/01-measure.ipynb"),
        ("00-welcome (1).ipynb", "/doc/tree/00-welcome%20%281%29.ipynb"),
        ("00-welcome (1)-Copy1.ipynb", "/doc/tree/00-welcome%20%281%29.ipynb"),
    ):
        (mine / name).touch()
        assert server.first_page(mine) == page


@pytest.mark.parametrize(("user", "allowed"), [(0, True), (1000, False)])
def test_root_is_allowed_only_when_it_is_root(user, allowed, mine, monkeypatch):
    monkeypatch.setattr("os.geteuid", lambda: user, raising=False)
    given = server.options(mine, 8765, "/lab", "secret")
    assert ("--ServerApp.allow_root=True" in given) is allowed


@pytest.mark.parametrize(
    ("browser", "display", "opens"), [(True, ":0", 1), (True, "", 0), (False, ":0", 0)]
)
def test_the_address_is_on_a_line_of_its_own(browser, display, opens, monkeypatch, capsys):
    shown = []
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setenv("DISPLAY", display)
    monkeypatch.delenv("WAYLAND_DISPLAY", raising=False)
    monkeypatch.setattr(server.webbrowser, "open", shown.append)
    link = server.address(8765, "/lab", "secret")
    server.announce(link, browser)
    for thread in server.threading.enumerate():
        if thread.daemon and thread.name.endswith("(_show)"):
            thread.join(5)
    told = capsys.readouterr().out
    assert link in told.splitlines()
    assert shown == [link] * opens
    assert bool(re.search("copy the whole address", told, re.IGNORECASE)) is not bool(opens)


# --- the command line ---------------------------------------------------------------------------


def test_what_follows_test_goes_to_pytest_and_its_code_comes_back(monkeypatch):
    ran = []

    def run(words, cwd):
        ran.append((words, cwd))
        return subprocess.CompletedProcess(words, 5)

    monkeypatch.setattr(environment, "python_for", lambda *what: Path("python"))
    monkeypatch.setattr(launch.subprocess, "run", run)
    assert launch.main(["test", "-x", "--port", "tests/test_pans.py", "-h"]) == 5
    words = [Path("python"), "-m", "pytest", "-x", "--port", "tests/test_pans.py", "-h"]
    assert ran == [(words, places.checkout())]


def test_kept_work_and_another_port_are_said(shipped, mine, busy, monkeypatch, capsys):
    served = []
    monkeypatch.setattr(environment, "python_for", lambda *what: Path(sys.executable))
    monkeypatch.setattr(server, "FIRST_PORT", busy)
    monkeypatch.setattr(server, "serve", lambda *what: served.append(what))
    copies.refresh(mine, NOW)
    (mine / "01-measure.ipynb").write_text(notebook("my answer"), encoding="utf-8")
    (shipped / "lessons/01-measure.ipynb").write_text(notebook("better"), encoding="utf-8")
    assert launch.main(["open", "--no-browser", "--folder", str(mine)]) == 0
    told = capsys.readouterr().out
    assert f"Port {busy} is busy" in told
    assert str(mine) in told
    assert "yours stays" in told
    assert "what-came-in.txt" in told
    assert "Goodbye" in told
    [(folder, port, page, browser)] = served
    assert (folder, page, browser) == (mine, "/doc/tree/01-measure.ipynb", False)
    assert port > busy


@pytest.mark.parametrize("inside", ["", "lessons", "data/recipes"])
@pytest.mark.parametrize("command", ["open", "pages"])
def test_the_kits_own_folders_are_no_learners(inside, command, tmp_path, monkeypatch, capsys):
    (tmp_path / inside).mkdir(parents=True, exist_ok=True)
    monkeypatch.setattr(copies, "checkout", lambda: tmp_path)
    monkeypatch.setattr(environment, "python_for", lambda *what: Path(sys.executable))
    monkeypatch.setattr(server, "serve", lambda *what: None)
    monkeypatch.setattr(launch.pages, "serve", lambda *what: None)
    before = sorted(tmp_path.rglob("*"))
    assert launch.main([command, str(tmp_path / inside)]) == 1
    assert "belongs to the kit itself" in capsys.readouterr().err
    assert sorted(tmp_path.rglob("*")) == before
    assert launch.main([command, str(tmp_path / "my-lessons")]) == 0


def test_a_folder_that_holds_the_kit_may_be_a_learners(shipped, tmp_path, monkeypatch):
    """As one where the kit was installed into an environment of its own."""
    monkeypatch.setattr(copies, "checkout", lambda: None)
    monkeypatch.setattr(copies, "PACKAGE", tmp_path / ".venv/lib/kitchenkit")
    monkeypatch.setattr(environment, "python_for", lambda *what: Path(sys.executable))
    monkeypatch.setattr(server, "serve", lambda *what: None)
    assert launch.main(["open", str(tmp_path)]) == 0
    assert (tmp_path / "01-measure.ipynb").exists()


def test_companions_of_the_shipped_lessons_are_no_lessons(shipped, monkeypatch):
    monkeypatch.setattr(environment, "python_for", lambda *what: Path(sys.executable))
    monkeypatch.setattr(places, "shipped_folder", lambda name: shipped / name)
    monkeypatch.setattr(server, "serve", lambda *what: None)
    (shipped / "lessons/._01-measure.ipynb").write_bytes(b"\0\5\x16\7")
    (shipped / "lessons/.ipynb_checkpoints/01.ipynb").write_text(notebook("x"), encoding="utf-8")
    assert launch.main(["open", "--edit"]) == 0


def test_a_folder_that_cannot_be_written_is_said(shipped, tmp_path, monkeypatch, capsys):
    monkeypatch.setattr(environment, "python_for", lambda *what: Path(sys.executable))
    blocked = tmp_path / "file"
    blocked.touch()
    assert launch.main(["open", "--folder", str(blocked)]) == 1
    told = capsys.readouterr().err
    assert "could not be" in told
    assert str(blocked) in told


def test_stopping_a_set_up_is_plain(monkeypatch, capsys):
    def stopped(*what):
        raise KeyboardInterrupt

    monkeypatch.setattr(environment, "python_for", stopped)
    assert launch.main(["open"]) == 130
    assert "again to go on" in capsys.readouterr().err
