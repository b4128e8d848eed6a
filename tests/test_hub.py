"""The room's settings, a seat and the collecting of progress; the load itself is in bench/."""

import ast
import asyncio
import json
import os
import re
import subprocess
import sys
import tempfile
from pathlib import Path
from types import FunctionType, SimpleNamespace

import pytest
from traitlets.config import Config

from kitchenkit import places, server
from kitchenkit.hub import seat, settings
from kitchenkit.progress import Answered, Progress
from kitchenkit.summary import class_summary

HUB = places.PACKAGE / "hub"
RIGHT = Answered("01-measure", "oats", tries=2, state="right", solved=True, at="2026-11-25T10:00Z")

as_root = pytest.mark.skipif(
    not hasattr(os, "geteuid") or os.geteuid() != 0, reason="only root can act for another account"
)
posix = pytest.mark.skipif(os.name != "posix", reason="a hub runs on Linux")


def configured(**chosen) -> Config:
    c = Config()
    settings.configure(c, **{"seats": 20, **chosen})
    return c


# The settings ----------------------------------------------------------------------------------


@posix
def test_the_shipped_file_is_the_room_as_it_comes():
    c = Config()
    text = (HUB / "jupyterhub_config.py").read_text(encoding="utf-8")
    exec(compile(text, "jupyterhub_config.py", "exec"), {"get_config": lambda: c})
    assert c.JupyterHub.bind_url == "http://127.0.0.1:8000"
    assert c.JupyterHub.active_server_limit >= 1


# What JupyterHub 6.1.1 can be told of all that the room tells it, and in which kind of value.
KINDS = {
    "JupyterHub": {
        "bind_url": str,
        "ssl_cert": str,
        "ssl_key": str,
        "db_url": str,
        "cookie_secret_file": str,
        "implicit_spawn_seconds": (int, float),
        "cookie_max_age_days": (int, float),
        "authenticator_class": str,
        "spawner_class": str,
        "active_server_limit": int,
        "concurrent_spawn_limit": int,
        "load_roles": list,
    },
    "PAMAuthenticator": {
        "allowed_groups": set,
        "manage_groups": bool,
        "post_auth_hook": FunctionType,
    },
    "ConfigurableHTTPProxy": {"pid_file": str},
    "Spawner": {
        "cmd": list,
        "args": list,
        "start_timeout": int,
        "http_timeout": int,
        "poll_interval": int,
        "mem_limit": str,
        "env_keep": list,
        "environment": dict,
        "pre_spawn_hook": FunctionType,
    },
}


class PlainConfig:
    """A hub's ``c`` without a hub: it takes any setting of any section, and keeps it."""

    def __getattr__(self, section: str) -> SimpleNamespace:
        made = self.__dict__[section] = SimpleNamespace()
        return made


@pytest.mark.parametrize("encrypted", [False, True])
def test_every_setting_is_one_that_a_hub_has_and_of_its_kind(encrypted):
    c = PlainConfig()
    secure = {"address": "https://192.168.1.20", "certificate": Path("a.crt"), "key": Path("a.key")}
    settings.configure(c, seats=20, **(secure if encrypted else {}))
    told = {section: vars(chosen) for section, chosen in vars(c).items()}
    assert set(told) == set(KINDS)
    for section, chosen in told.items():
        left_out = set() if encrypted else {"ssl_cert", "ssl_key"}
        assert set(chosen) == set(KINDS[section]) - left_out
        for name, value in chosen.items():
            assert isinstance(value, KINDS[section][name]), name
            assert isinstance(value, bool) == (KINDS[section][name] is bool), name
    spawner = told["Spawner"]
    assert re.fullmatch(r"\d+[KMGT]", spawner["mem_limit"])
    words = [*spawner["cmd"], *spawner["args"], *spawner["env_keep"]]
    words += [*spawner["environment"], *spawner["environment"].values()]
    assert {type(word) for word in words} == {str}
    assert told["JupyterHub"]["active_server_limit"] == 20


def test_the_installed_hub_knows_every_setting():
    """Whatever its version: a key that it does not know would be passed over in silence."""
    pytest.importorskip("jupyterhub", reason="the extra room is not installed")
    from jupyterhub.app import JupyterHub
    from jupyterhub.auth import Authenticator, PAMAuthenticator
    from jupyterhub.proxy import ConfigurableHTTPProxy
    from jupyterhub.spawner import LocalProcessSpawner, Spawner

    known = (JupyterHub, Authenticator, PAMAuthenticator, ConfigurableHTTPProxy, Spawner)
    known = {one.__name__: one for one in (*known, LocalProcessSpawner)}
    c = configured(address="https://192.168.1.20:8000", certificate="a.crt", key="a.key")
    assert set(c) == set(KINDS)
    for name in c:
        assert set(KINDS[name]) <= set(known[name].class_traits(config=True)), name
        assert set(c[name]) == set(KINDS[name])
    hub = JupyterHub(config=c)  # its own checks of each value
    assert hub.bind_url == "https://192.168.1.20:8000"
    assert hub.authenticator_class is PAMAuthenticator
    assert hub.spawner_class is LocalProcessSpawner
    assert LocalProcessSpawner(config=c, hub=None, user=None).mem_limit == 1500 * 1024**2


def test_nobody_comes_in_without_a_password_of_their_own():
    c = configured()
    assert c.JupyterHub.authenticator_class == "pam"
    assert c.PAMAuthenticator.allowed_groups == {"kitchen-learners", "kitchen-teachers"}
    assert not {"admin_groups", "admin_users"} & set(c.PAMAuthenticator)
    assert "allow_all" not in c.PAMAuthenticator
    assert "Authenticator" not in c
    assert c.JupyterHub.spawner_class == "localprocess"  # each under an account of its own


@pytest.mark.parametrize(
    ("chosen", "told"),
    [
        ({"address": "http://192.168.1.20:8000"}, "passwords"),
        ({"address": "http://0.0.0.0:8000"}, "passwords"),
        ({"address": "http://room.local"}, "passwords"),
        ({"address": "http://:8000"}, "no address"),
        ({"address": "192.168.1.20:8000"}, "no address"),
        ({"address": "https://192.168.1.20"}, "certificate"),
        ({"address": "https://192.168.1.20", "certificate": "room.crt"}, "come together"),
        ({"certificate": "room.crt", "key": "room.key"}, "begins with https"),
    ],
)
def test_a_room_that_would_leak_passwords_or_cannot_work_is_refused(chosen, told):
    with pytest.raises(settings.RoomError, match=told):
        configured(**chosen)


@pytest.mark.parametrize(
    "address", ["http://127.0.0.1:8000", "http://[::1]:80", "http://localhost"]
)
def test_this_computer_alone_needs_no_certificate(address):
    assert configured(address=address).JupyterHub.bind_url == address


def test_state_stays_in_one_folder(tmp_path):
    c = configured(state=tmp_path)
    held = [c.JupyterHub.cookie_secret_file, c.ConfigurableHTTPProxy.pid_file]
    assert all(Path(one).parent == tmp_path for one in held)
    assert c.JupyterHub.db_url.startswith(f"sqlite:///{tmp_path}")


def test_more_memory_seats_more():
    assert settings.seats_for(1_000_000_000) == 1  # too small for a room: one seat, not none
    found = [settings.seats_for(gigabytes * 1_000_000_000) for gigabytes in (4, 8, 16)]
    assert found == sorted(set(found))
    each = settings.SEAT_MB * 1_000_000
    assert settings.seats_for(8_000_000_000 + each) == found[1] + 1


def test_only_a_teacher_is_marked_and_the_mark_goes_when_they_are_none_any_more():
    c = configured()
    [role] = c.JupyterHub.load_roles
    groups = [SimpleNamespace(name="other"), *(SimpleNamespace(name=n) for n in role["groups"])]
    user = SimpleNamespace(groups=groups, admin=False)
    spawner = SimpleNamespace(environment={"OMP_NUM_THREADS": "1"}, user=user)
    mark = c.Spawner.pre_spawn_hook
    mark(spawner)
    assert spawner.environment == {"OMP_NUM_THREADS": "1", seat.TEACHER_VARIABLE: "1"}
    del user.groups[1:]
    mark(spawner)
    assert not spawner.environment[seat.TEACHER_VARIABLE]


@posix
def test_a_teacher_may_stop_a_seat_and_nothing_else_of_anothers(tmp_path, monkeypatch):
    """By the installed hub's own reckoning, from the groups of the system to what is allowed."""
    pytest.importorskip("jupyterhub", reason="the extra room is not installed")
    import grp
    import pwd

    from jupyterhub import orm, scopes
    from jupyterhub.app import JupyterHub
    from jupyterhub.user import User

    theirs = {"ana": [50], "tea": [50, 60]}
    numbers = {"kitchen-learners": 50, "kitchen-teachers": 60}
    monkeypatch.setattr(pwd, "getpwnam", lambda name: SimpleNamespace(pw_gid=50))
    monkeypatch.setattr(grp, "getgrnam", lambda name: SimpleNamespace(gr_gid=numbers[name]))
    monkeypatch.setattr(os, "getgrouplist", lambda name, gid: theirs[name])

    hub = JupyterHub(config=configured(state=tmp_path))

    async def comes_in(authenticator, handler, data):
        return data["username"]

    monkeypatch.setattr(hub.authenticator_class, "authenticate", comes_in)

    async def allowed(name: str) -> set:
        """What somebody may do to others after signing in, as the hub's handler puts it down."""
        found = await hub.authenticator.get_authenticated_user(None, {"username": name})
        made = orm.User.find(hub.db, name)
        assert found["admin"] is False
        User(made).sync_groups(found["groups"])
        return {scope for scope in scopes.get_scopes_for(made) if "!" not in scope}

    async def asked():
        await hub.init_role_creation()
        for name in theirs:
            hub.db.add(orm.User(name=name))
        hub.db.commit()
        for user in hub.db.query(orm.User):
            scopes.roles.assign_default_roles(hub.db, entity=user)
        await hub.init_role_assignment()
        found = [await allowed("ana"), await allowed("tea")]
        theirs["tea"].remove(60)
        return [*found, await allowed("tea")]

    hub.init_db()
    try:
        learner, teacher, teacher_no_more = asyncio.run(asked())
    finally:
        hub.db.close()
    assert teacher - learner == {
        "admin-ui",
        "list:users",
        "read:users:name",
        "read:users:activity",
        "read:servers",
        "delete:servers",
    }
    assert learner == teacher_no_more
    assert learner <= {"(no_scope)"}


# A seat ----------------------------------------------------------------------------------------


def test_a_seat_serves_the_lessons_as_the_kits_own_command_does(tmp_path):
    own = server.options(tmp_path, 8765, "/doc/tree/x.ipynb", "secret")
    shared = server.lesson_options(tmp_path, "/doc/tree/x.ipynb")
    assert set(shared) < set(own)
    kept_back = [one for one in own if one not in shared]
    assert all(
        re.search(
            r"\.(ip|port|port_retries|base_url|certfile|keyfile|token)=|remote|browser|hashed"
            "|origin|xsrf|unauthenticated",
            one,
        )
        for one in kept_back
    )


def test_a_seat_has_its_own_copies_and_a_teacher_the_instructors_too(tmp_path):
    page = seat.prepare(tmp_path / "learner")
    assert page == "/doc/tree/00-welcome.ipynb"
    assert (tmp_path / "learner/data/pans.csv").is_file()
    assert not (tmp_path / "learner/instructor").exists()
    seat.prepare(tmp_path / "teacher", teacher=True)
    assert (tmp_path / "teacher/instructor/answer-key.ipynb").is_file()


def test_a_seat_keeps_what_its_learner_wrote(tmp_path):
    seat.prepare(tmp_path)
    lesson = tmp_path / "01-measure.ipynb"
    changed = json.loads(lesson.read_text(encoding="utf-8"))
    changed["cells"][0]["source"] = "# Mine"
    lesson.write_text(json.dumps(changed), encoding="utf-8")
    seat.prepare(tmp_path)
    assert json.loads(lesson.read_text(encoding="utf-8"))["cells"][0]["source"] == "# Mine"


@posix
def test_nobody_else_reads_a_seats_folder(tmp_path):
    folder = tmp_path / "kitchen-lessons"
    seat.prepare(folder)
    assert folder.stat().st_mode & 0o077 == 0


def test_a_stray_file_of_the_learners_does_not_keep_them_out(tmp_path):
    """A seat starts in its learner's home, where a `copy.py` of their own may lie."""
    for name in ("kitchenkit", "json", "pathlib"):
        (tmp_path / f"{name}.py").write_text("raise SystemExit('taken for ours')", encoding="utf-8")
    python, *words = configured().Spawner.cmd
    words[words.index("-m") :] = ["-c", "import kitchenkit.hub.seat, json, pathlib"]
    subprocess.run([python, *words], cwd=tmp_path, check=True)


def test_a_page_left_in_view_does_not_keep_its_seat(monkeypatch):
    from jupyter_server.base.handlers import APIHandler
    from jupyter_server.services.kernels.handlers import MainKernelHandler
    from jupyter_server.services.sessions.handlers import SessionRootHandler

    def moved() -> list[bool]:
        """Whether the page's requests count as activity."""
        found = []
        for handler in (MainKernelHandler, SessionRootHandler):
            asked = handler.__new__(handler)  # as at its end, when somebody signed in has asked
            asked.application = SimpleNamespace(settings={})
            asked._jupyter_current_user = "ana"
            asked.get_argument = lambda *_: None
            asked.update_api_activity()
            found.append("api_last_activity" in asked.application.settings)
        return found

    served = []

    class App:
        contents_manager = SimpleNamespace(register_pre_save_hook=bool)

        @classmethod
        def initialize_server(cls, argv):
            return cls()

        def start(self):
            served.append(moved())

    monkeypatch.setattr(APIHandler, "_track_activity", True)
    monkeypatch.setitem(
        sys.modules, "jupyterhub.singleuser.extension", SimpleNamespace(JupyterHubSingleUser=App)
    )
    monkeypatch.setattr(seat, "hold_back", lambda: None)
    monkeypatch.setattr(seat, "prepare", lambda *_: "/doc/tree/00-welcome.ipynb")
    monkeypatch.setattr(server, "settle_in", lambda folder: None)
    assert moved() == [True, True]  # else this would ask in vain
    seat.main([])
    assert served == [[False, False]]


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="the bound is Linux's")
def test_a_loop_that_runs_wild_ends_by_itself():
    code = (
        "from kitchenkit.hub.seat import hold_back\n"
        "hold_back()\n"
        "try:\n    bytearray(400_000_000)\n"
        "except MemoryError:\n    print('held')\n"
    )
    told = {}
    for limit in ("200000000", "900000000", ""):
        environment = {**os.environ, "MEM_LIMIT": limit}
        words = [sys.executable, "-c", code]
        ran = subprocess.run(words, env=environment, capture_output=True, text=True, check=True)
        told[limit] = ran.stdout.strip()
    assert told == {"200000000": "held", "900000000": "", "": ""}


def test_the_launcher_needs_no_hub():
    """The room is an extra: a learner alone has nothing of it, and nothing of it is loaded."""
    others = [path for path in places.PACKAGE.rglob("*.py") if not path.is_relative_to(HUB)]
    for path in others:
        assert "kitchenkit.hub" not in path.read_text(encoding="utf-8"), path
    tops = set()
    for path in HUB.glob("*.py"):
        body = ast.parse(path.read_text(encoding="utf-8")).body
        tops |= {n.module for n in body if isinstance(n, ast.ImportFrom)}
        tops |= {name.name for n in body if isinstance(n, ast.Import) for name in n.names}
    assert not [name for name in tops if name.startswith("jupyterhub")]


# Progress, collected ---------------------------------------------------------------------------


@pytest.fixture
def collecting(tmp_path):
    """The module, a place for the files, and a maker of accounts with homes of their own."""
    pwd = pytest.importorskip("pwd", reason="a hub runs on Linux")
    from kitchenkit.hub import collect

    me = pwd.getpwuid(os.geteuid())

    def account(name: str, content: bytes | None = None):
        home = tmp_path / name
        (home / seat.FOLDER).mkdir(parents=True)
        if content is not None:
            (home / seat.FOLDER / "progress.json").write_bytes(content)
        return pwd.struct_passwd((name, "x", me.pw_uid, me.pw_gid, "", str(home), "/bin/sh"))

    return collect, tmp_path / "handed-in", account


def written(name: str) -> bytes:
    return Progress(learner=name, answers={RIGHT.place: RIGHT}).written().encode()


def test_collected_files_are_what_the_class_summary_reads(collecting):
    collect, into, account = collecting
    told = collect.collect(into, [account("ana", written("Ana")), account("bo", written("Bo"))])
    assert told == ["ana: brought", "bo: brought"]
    summary = class_summary(into)
    assert summary.names == ["Ana", "Bo"]
    assert not summary.refused
    assert into.stat().st_mode & 0o077 == 0


def test_what_is_no_progress_file_stays_behind(collecting, tmp_path):
    collect, into, account = collecting
    secret = tmp_path / "secret"
    secret.write_bytes(written("Somebody else"))
    linked = account("cy")
    (Path(linked.pw_dir) / seat.FOLDER / "progress.json").symlink_to(secret)
    told = collect.collect(into, [account("ana"), account("bo", b"root:x:0:0"), linked])
    assert told[0] == "ana: nothing answered yet"
    assert told[1].startswith("bo: left out. It is no JSON")
    assert told[2].startswith("cy: left out. It is a link")
    assert not list(into.glob("*.json"))


def test_a_file_from_before_is_told_and_stays(collecting):
    """Ana answered last week and started anew, Bo has left; the summary would count both."""
    collect, into, account = collecting
    ana, bo = account("ana", written("Ana")), account("bo", written("Bo"))
    assert collect.collect(into, [ana, bo]) == ["ana: brought", "bo: brought"]
    (Path(ana.pw_dir) / seat.FOLDER / "progress.json").unlink()
    (into / "notes.txt").touch()
    told = collect.collect(into, [ana, account("cy", written("Cy"))])
    assert told[:2] == ["ana: nothing answered yet", "cy: brought"]
    assert [line.partition(",")[0] for line in told[2:]] == [
        "ana.json: from before",
        "bo.json: from before",
    ]
    assert class_summary(into).names == ["Ana", "Bo", "Cy"]


@posix
def test_a_folder_that_was_open_to_others_is_shut(collecting):
    collect, into, account = collecting
    into.mkdir()
    into.chmod(0o755)
    collect.collect(into, [account("ana", written("Ana"))])
    assert into.stat().st_mode & 0o777 == 0o700


@as_root
def test_a_folder_of_somebody_elses_is_left_as_it_is(collecting):
    import pwd

    collect, into, account = collecting
    into.mkdir()
    into.chmod(0o755)
    os.chown(into, pwd.getpwnam("nobody").pw_uid, -1)
    collect.collect(into, [account("ana", written("Ana"))])
    assert into.stat().st_mode & 0o777 == 0o755


def test_a_name_without_an_account_keeps_nobodys_answers_back(collecting, monkeypatch, capsys):
    collect, into, account = collecting
    ana = account("ana", written("Ana"))
    group = SimpleNamespace(gr_gid=-1, gr_mem=["ana", "long-gone"])
    monkeypatch.setattr(collect.grp, "getgrnam", lambda name: group)
    monkeypatch.setattr(collect.pwd, "getpwnam", {"ana": ana}.__getitem__)
    assert collect.main([str(into)]) == 0
    told = capsys.readouterr().out.splitlines()
    assert told == ["ana: brought", "long-gone: in the group, but no account any more"]


@as_root
def test_root_reads_with_the_learners_rights_and_takes_its_own_back(collecting, tmp_path):
    import pwd

    collect, _, _ = collecting
    shut = tmp_path / "of-root"
    shut.write_bytes(b"secret")
    shut.chmod(0o600)
    nobody = pwd.getpwnam("nobody")
    groups = os.getgroups()
    with collect.as_account(nobody):
        assert (os.geteuid(), os.getegid()) == (nobody.pw_uid, nobody.pw_gid)
        assert 0 not in os.getgroups()
        with pytest.raises(PermissionError):
            shut.read_bytes()
    assert (os.geteuid(), os.getegid(), os.getgroups()) == (0, os.getgid(), groups)
    assert shut.read_bytes() == b"secret"


@as_root
def test_a_teacher_owns_what_is_collected_for_them(collecting):
    import pwd

    collect, _, account = collecting
    teacher = pwd.getpwnam("nobody")
    with tempfile.TemporaryDirectory() as home:  # tmp_path is shut to others
        os.chown(home, teacher.pw_uid, teacher.pw_gid)
        into = Path(home) / "handed-in"
        assert collect.collect(into, [account("ana", written("Ana"))], teacher) == ["ana: brought"]
        assert into.stat().st_uid == (into / "ana.json").stat().st_uid == teacher.pw_uid
        assert into.stat().st_mode & 0o077 == 0


def test_a_group_that_is_not_there_is_told(collecting):
    collect, into, _ = collecting
    with pytest.raises(collect.CollectError, match="no group 'none-such-group'"):
        collect.members("none-such-group")
    assert collect.main([str(into), "--group", "none-such-group"]) == 1
    assert collect.main([str(into), "--for", "none-such-account"]) == 1
    assert not into.exists()
