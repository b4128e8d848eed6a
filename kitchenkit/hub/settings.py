"""The room's settings: who may come in, what each seat starts, how much of the machine it gets."""

from __future__ import annotations

import ipaddress
import os
import sys
from pathlib import Path
from urllib.parse import urlsplit

from kitchenkit.errors import KitchenError
from kitchenkit.hub.seat import TEACHER_VARIABLE
from kitchenkit.language import ENGLISH, VARIABLE

STATE = Path("/var/lib/kitchen-room")
LEARNERS = "kitchen-learners"  # groups of system accounts
TEACHERS = "kitchen-teachers"
_ROLE = "teachers"  # the hub's own name for those of the group, and for what they may do
# To see who has a seat and to stop it. Nothing here opens a seat, starts one or changes the room.
_MAY = ["admin-ui", "list:users", "read:users:activity", "read:servers", "delete:servers"]

# Megabytes. Measured by tests/bench/room_load.py on 2026-11-25: 113 for a server, 118 for each
# lesson open in it, 180 for the hub and its proxy. A learner goes from lesson to lesson, so a seat
# is counted with nearly three; the rest is room for the system.
SEAT_MB = 450
_MACHINE_MB = 1500
# Of one process, far above any lesson: a loop that runs wild ends, and the room goes on.
_MOST_MB = 1500
# Seconds. A kernel that nobody has moved is ended, then a seat without kernels.
_KERNEL_IDLE = 90 * 60
_SEAT_IDLE = 30 * 60
_SLOW_START = 180  # a whole room comes in at once
_ONE_THREAD = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS")


class RoomError(KitchenError):
    """Settings that would leave the room open or cannot work; the message says what to write."""


def configure(
    c,
    address: str = "http://127.0.0.1:8000",
    certificate: str | os.PathLike | None = None,
    key: str | os.PathLike | None = None,
    state: str | os.PathLike = STATE,
    learners: str = LEARNERS,
    teachers: str = TEACHERS,
    seats: int | None = None,
    language: str = ENGLISH,
) -> None:
    """Fill in a JupyterHub configuration for a room of learners on one Linux machine.

    Each learner has a system account, signs in with its password, and works under it: nobody reads
    or stops what is another's. The hub runs as root, since only root can start a server as
    somebody else.

    Parameters
    ----------
    c : traitlets.config.Config
        What a configuration file calls ``c``.
    address : str
        Where browsers find the room. An address that other computers reach must be ``https``.
    certificate, key : path, optional
        Of TLS, in PEM files; both or neither.
    state : path
        A folder of root's own, for the hub's secret and its list of who is signed in.
    learners, teachers : str
        The groups of accounts that may come in. Teachers get the instructor's notebooks and may
        see who has a seat and stop it, but open none; who is one is found at each sign-in.
    seats : int, optional
        Most seats at one time; as many as fit into the memory when left out.
    language : str
        What the panels speak until a learner chooses, such as ``"es_US"``.

    Raises
    ------
    RoomError
        If passwords would cross the network in the clear, or the certificate is half given.
    """
    _check_address(address, certificate, key)
    state = Path(state)
    seats = seats or seats_for(_memory())

    c.JupyterHub.bind_url = address
    if certificate:
        c.JupyterHub.ssl_cert, c.JupyterHub.ssl_key = str(certificate), str(key)
    c.JupyterHub.db_url = f"sqlite:///{state / 'room.sqlite'}"
    c.JupyterHub.cookie_secret_file = str(state / "cookie-secret")
    c.ConfigurableHTTPProxy.pid_file = str(state / "proxy.pid")
    c.JupyterHub.implicit_spawn_seconds = 2  # a page of a seat that sleeps wakes it, unasked
    c.JupyterHub.cookie_max_age_days = 1  # shared computers: sign in anew each day

    c.JupyterHub.authenticator_class = "pam"
    c.PAMAuthenticator.allowed_groups = {learners, teachers}
    c.PAMAuthenticator.manage_groups = True
    c.PAMAuthenticator.post_auth_hook = _find_teachers(teachers)
    c.JupyterHub.load_roles = [{"name": _ROLE, "scopes": _MAY, "groups": [_ROLE]}]

    c.JupyterHub.spawner_class = "localprocess"
    c.JupyterHub.active_server_limit = seats
    c.JupyterHub.concurrent_spawn_limit = seats  # a whole class is late rather than turned away
    # -P: what lies in the learner's home, where it starts, is never taken for a part of it.
    c.Spawner.cmd = [sys.executable, "-P", "-m", "kitchenkit.hub.seat"]
    c.Spawner.args = [
        f"--MappingKernelManager.cull_idle_timeout={_KERNEL_IDLE}",
        "--MappingKernelManager.cull_connected=True",  # a page left open over lunch counts as idle
        f"--ServerApp.shutdown_no_activity_timeout={_SEAT_IDLE}",
    ]
    c.Spawner.start_timeout = c.Spawner.http_timeout = _SLOW_START
    c.Spawner.poll_interval = 10
    c.Spawner.mem_limit = f"{_MOST_MB}M"  # the seat itself holds each of its processes to it
    c.Spawner.env_keep = ["PATH", "LANG", "LC_ALL"]
    c.Spawner.environment = dict.fromkeys(_ONE_THREAD, "1") | {VARIABLE: language}
    c.Spawner.pre_spawn_hook = _mark_teacher


def seats_for(memory: int) -> int:
    """How many seats fit into a machine.

    Parameters
    ----------
    memory : int
        Of the machine, in bytes.

    Returns
    -------
    int
        At least 1.
    """
    return max(1, int((memory / 1e6 - _MACHINE_MB) / SEAT_MB))


def _memory() -> int:
    return os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES")


def _check_address(address: str, certificate, key) -> None:
    parts = urlsplit(address)
    if parts.scheme not in ("http", "https") or not parts.hostname:
        raise RoomError(f"{address!r} is no address. Write one like https://192.168.1.20:8000")
    if bool(certificate) != bool(key):
        raise RoomError("A certificate and its key come together: give both, or neither.")
    if parts.scheme == "http" and certificate:
        raise RoomError(f"With a certificate the address begins with https, and {address} does not")
    if parts.scheme == "https" and not certificate:
        raise RoomError(f"{address} needs a certificate and its key, as PEM files.")
    if parts.scheme == "http" and not _is_here(parts.hostname):
        raise RoomError(
            f"{address} would send passwords over the network for all to read. Give a certificate "
            "and a key, and an address that begins with https."
        )


def _is_here(host: str) -> bool:
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"


def _find_teachers(group: str):
    """What the hub asks at each sign-in: whether the account is a teacher's."""

    def find(authenticator, handler, found: dict) -> dict:
        import grp  # not on Windows, where there is no hub either
        import pwd

        theirs = os.getgrouplist(found["name"], pwd.getpwnam(found["name"]).pw_gid)
        found["groups"] = [_ROLE] if grp.getgrnam(group).gr_gid in theirs else []
        found["admin"] = bool(found["admin"])  # None would leave whom an earlier kit made one
        return found

    return find


def _mark_teacher(spawner) -> None:
    """Told anew at each start: who is no teacher any more gets no newer instructor's notebooks."""
    told = "1" if any(group.name == _ROLE for group in spawner.user.groups) else ""
    spawner.environment = {**spawner.environment, TEACHER_VARIABLE: told}
