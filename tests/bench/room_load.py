"""A whole room at once on this machine: what a seat costs, and how long a move takes.

Run by hand, with the extra ``room`` installed and the proxy on the path:
``.venv/bin/python tests/bench/room_load.py``. It starts the hub with the kit's own settings, save
that anybody with the one password of this run may come in and that all work under one account, on
loopback and in a folder that is thrown away. Each learner signs in, waits for the seat, opens a
lesson, runs its cells over the kernel's websocket and moves a slider as the page does; every answer
is compared with what the panel says in this process. The last moves are a drag: the page sends the
next one when the one before is done, and leaves out what was passed meanwhile.

Learners and hub share the processors, so the times are longer than with browsers of their own.
"""

from __future__ import annotations

import argparse
import asyncio
import contextlib
import html
import json
import os
import random
import secrets
import shutil
import signal
import socket
import statistics
import subprocess
import sys
import tempfile
import time
import uuid
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path

import httpx
import psutil
from jupyter_server.services.kernels.connection.base import (
    deserialize_msg_from_ws_v1,
    serialize_msg_to_ws_v1,
)
from tornado.httpclient import HTTPRequest
from tornado.websocket import websocket_connect

import kitchenkit as kk

LESSON = "04-bake.ipynb"
SLIDER = "Depth of the raw batter (cm)"
VALUES = [round(0.5 + 0.1 * step, 1) for step in range(27)]  # deeper, a cup would be too small
DRAG = 20  # of the moves, the last ones
PROTOCOL = "v1.kernel.websocket.jupyter.org"
PATIENCE = 240  # seconds for a seat, a lesson or the hub
SLOWEST = 30  # seconds for one move

SETTINGS = """
from kitchenkit.hub.settings import configure

c = get_config()
configure(c, address={address!r}, state={state!r}, seats={seats})
# For this run alone: one password for all, one account, homes in a folder that is thrown away.
c.JupyterHub.authenticator_class = "shared-password"
c.SharedPasswordAuthenticator.user_password = {password!r}
c.Authenticator.allow_all = True
c.JupyterHub.spawner_class = "simple"
c.SimpleLocalProcessSpawner.home_dir_template = {homes!r} + "/{{username}}"
c.JupyterHub.hub_port = {hub_port}
c.ConfigurableHTTPProxy.api_url = "http://127.0.0.1:{proxy_port}"
c.JupyterHub.log_level = 30
"""


@dataclass
class Seat:
    """What one learner met."""

    name: str
    ready: float = 0.0
    lesson: float = 0.0
    moves: list[float] = field(default_factory=list)
    dragged: float = 0.0
    drag_sent: int = 0
    last: float = 0.0
    errors: list[str] = field(default_factory=list)
    server: float = 0.0
    kernel: float = 0.0


# The learner's page ----------------------------------------------------------------------------


class Page:
    """An open lesson: its kernel's websocket, and the state of its widgets as a page keeps it."""

    def __init__(self, socket_):
        self.socket = socket_
        self.session = uuid.uuid4().hex
        self.models: dict[str, dict] = {}
        self.idle: set[str] = set()
        self.replies: dict[str, dict] = {}

    async def send(self, kind: str, content: dict, channel: str = "shell") -> str:
        header = {"msg_id": uuid.uuid4().hex, "msg_type": kind, "session": self.session}
        header |= {"username": "", "version": "5.3", "date": datetime.now(UTC).isoformat()}
        parts = [json.dumps(part).encode() for part in (header, {}, {}, content)]
        await self.socket.write_message(serialize_msg_to_ws_v1(parts, channel), binary=True)
        return header["msg_id"]

    async def hear(self) -> None:
        """Take in one message."""
        frame = await self.socket.read_message()
        if frame is None:
            raise ConnectionError("the kernel's websocket closed")
        _, parts = deserialize_msg_from_ws_v1(frame)
        header, parent, _, content = (json.loads(part) for part in parts[:4])
        kind, of = header["msg_type"], parent.get("msg_id", "")
        if kind == "comm_open":
            self.models[content["comm_id"]] = dict(content["data"].get("state", {}))
        elif kind == "comm_msg" and content["data"].get("method") == "update":
            self.models[content["comm_id"]].update(content["data"]["state"])
        elif kind == "status" and content["execution_state"] == "idle":
            self.idle.add(of)
        elif kind == "execute_reply":
            self.replies[of] = content
        elif kind == "error":
            raise RuntimeError(f"{content['ename']}: {content['evalue']}")

    async def until(self, done, patience: float) -> None:
        async with asyncio.timeout(patience):
            while not done():
                await self.hear()

    async def run(self, code: str) -> None:
        asked = await self.send("execute_request", {"code": code, "store_history": True})
        await self.until(lambda: asked in self.idle and asked in self.replies, PATIENCE)
        if self.replies[asked]["status"] != "ok":
            raise RuntimeError(f"a cell failed: {self.replies[asked]}")

    def panel_of(self, label: str) -> tuple[str, set[str]]:
        """The control with a label, and the models of the panel that it belongs to."""
        [control] = [k for k, state in self.models.items() if state.get("description") == label]
        for key, state in self.models.items():
            if "kk-panel" in (state.get("_dom_classes") or ()):
                inside = self._inside(key)
                if control in inside:
                    return control, inside
        raise LookupError(f"no panel holds {label!r}")

    def _inside(self, key: str) -> set[str]:
        held = {key}
        for child in self.models[key].get("children") or ():
            held |= self._inside(child.removeprefix("IPY_MODEL_"))
        return held

    async def put(self, control: str, value: float) -> str:
        data = {"method": "update", "state": {"value": value}, "buffer_paths": []}
        return await self.send("comm_msg", {"comm_id": control, "data": data})


def what_the_panel_says() -> dict[float, tuple[str, str]]:
    """For each value of the slider, the picture and the sentence that must come back."""
    panel = kk.BakePanel(kk.open_kit())
    said = {}
    for value in VALUES:
        panel.controls["depth"].value = value
        said[value] = panel.chart.svg(), f'role="status">{html.escape(panel.sentence)}</p>'
    return said


# One learner -----------------------------------------------------------------------------------


async def learner(seat: Seat, address: str, password: str, chosen, said, gate) -> None:
    """All that one learner does; what goes wrong is kept in the seat's errors."""
    dice = random.Random(seat.name)
    try:
        async with httpx.AsyncClient(
            base_url=address, follow_redirects=True, timeout=60, trust_env=False
        ) as client:
            await _sit_down(client, seat, password)
            page = await _open_lesson(client, seat, address)
            await gate.wait()
            await _move(page, seat, chosen, said, dice)
            page.socket.close()
    except Exception as error:  # the others go on; the report counts it
        seat.errors.append(f"{type(error).__name__}: {error}"[:300])
    finally:
        if not gate.broken and seat.errors:
            await gate.abort()


async def _sit_down(client, seat: Seat, password: str) -> None:
    await client.get("/hub/login")
    start = time.perf_counter()
    answer = await client.post(
        "/hub/login",
        params={"next": "/hub/spawn"},
        data={"username": seat.name, "password": password, "_xsrf": client.cookies["_xsrf"]},
    )
    while True:
        if answer.status_code == 200 and answer.url.path.startswith(f"/user/{seat.name}/doc/"):
            break
        if answer.status_code not in (200, 424, 503) or time.perf_counter() - start > PATIENCE:
            raise RuntimeError(f"no seat: {answer.status_code} at {answer.url.path}")
        await asyncio.sleep(1)
        answer = await client.get(f"/user/{seat.name}/")
    seat.ready = time.perf_counter() - start


async def _open_lesson(client, seat: Seat, address: str) -> Page:
    start = time.perf_counter()
    top = f"/user/{seat.name}"
    assert (await client.get(f"{top}/doc/tree/{LESSON}")).status_code == 200
    token = next(k.value for k in client.cookies.jar if k.name == "_xsrf" and k.path == f"{top}/")
    lesson = (await client.get(f"{top}/api/contents/{LESSON}")).raise_for_status().json()
    asked = {"path": LESSON, "name": LESSON, "type": "notebook", "kernel": {"name": "python3"}}
    headers = {"X-XSRFToken": token}
    made = await client.post(f"{top}/api/sessions", json=asked, headers=headers)
    kernel = made.raise_for_status().json()["kernel"]["id"]
    request = httpx.Request("GET", f"{address}{top}/api/kernels/{kernel}/channels")
    client.cookies.set_cookie_header(request)
    socket_ = await websocket_connect(
        HTTPRequest(
            f"{str(request.url).replace('http', 'ws', 1)}?session_id={uuid.uuid4().hex}",
            headers={"Cookie": request.headers["Cookie"], "Origin": address},
            connect_timeout=60,
        ),
        subprotocols=[PROTOCOL],
        max_message_size=50_000_000,
    )
    assert socket_.selected_subprotocol == PROTOCOL
    page = Page(socket_)
    asked = await page.send("kernel_info_request", {})
    await page.until(lambda: asked in page.idle, PATIENCE)
    for cell in lesson["content"]["cells"]:
        if cell["cell_type"] == "code":
            await page.run(cell["source"])
    seat.lesson = time.perf_counter() - start
    return page


async def _move(page: Page, seat: Seat, chosen, said, dice) -> None:
    control, inside = page.panel_of(SLIDER)

    def shows(value: float) -> bool:
        texts = [str(page.models[key].get("value")) for key in inside]
        return all(any(wanted in text for text in texts) for wanted in said[value])

    at = page.models[control]["value"]
    for _ in range(chosen.moves - DRAG):
        at = dice.choice([value for value in VALUES if value != at])
        start = time.perf_counter()
        asked = await page.put(control, at)
        await page.until(lambda: asked in page.idle, SLOWEST)  # noqa: B023, awaited at once
        seat.moves.append(time.perf_counter() - start)
        if not shows(at):
            seat.errors.append(f"after {at} the panel shows something else")
        await asyncio.sleep(dice.uniform(0.5, 1.5) * chosen.pause)
    await _drag(page, seat, control, dice)
    if not shows(seat.last):
        seat.errors.append(f"the drag ended at {seat.last}, and the panel shows something else")


async def _drag(page: Page, seat: Seat, control: str, dice) -> None:
    """As the page's throttle: one move on its way at a time, and only the newest waits."""
    first = dice.randrange(len(VALUES) - DRAG)
    path = VALUES[first : first + DRAG]
    seat.last = path[-1]
    waiting: list[float] = []
    on_its_way = ""

    async def hand() -> None:
        for value in path:
            waiting[:] = [value]
            await asyncio.sleep(0.03)

    moving = asyncio.create_task(hand())
    while waiting or not moving.done() or on_its_way:
        if on_its_way:
            await page.until(lambda: on_its_way in page.idle, SLOWEST)  # noqa: B023
            on_its_way = ""
        elif waiting:
            released = time.perf_counter()
            on_its_way = await page.put(control, waiting.pop())
            seat.drag_sent += 1
        else:
            await asyncio.sleep(0.005)
    seat.dragged = time.perf_counter() - released


# The room --------------------------------------------------------------------------------------


def free_port() -> int:
    with socket.create_server(("127.0.0.1", 0)) as trial:
        return trial.getsockname()[1]


def weigh(seat: Seat, hub: psutil.Process) -> None:
    """Proportional memory (a shared page counts once, in parts) of a seat and of its kernels."""
    for process in hub.children(recursive=True):
        with contextlib.suppress(psutil.NoSuchProcess):  # it ended while we looked; no seat does
            words = process.cmdline()
            if "kitchenkit.hub.seat" in words and process.environ()["JUPYTERHUB_USER"] == seat.name:
                seat.server = process.memory_full_info().pss / 1e6
                seat.kernel = sum(k.memory_full_info().pss for k in process.children(True)) / 1e6


async def room(chosen, address: str, password: str, hub: psutil.Process) -> list[Seat]:
    """All learners at once, each a little after the one before; moves begin when all are in."""
    seats = [Seat(f"learner-{number + 1:02d}") for number in range(chosen.learners)]
    gate = asyncio.Barrier(len(seats) + 1)
    said = what_the_panel_says()

    async def come(number: int) -> None:
        await asyncio.sleep(number * chosen.stagger)
        await learner(seats[number], address, password, chosen, said, gate)

    coming = [asyncio.create_task(come(number)) for number in range(len(seats))]
    try:
        await gate.wait()
        print("All are in and every lesson is up; the moves begin.", flush=True)
    except asyncio.BrokenBarrierError:
        print("Somebody did not get in.", flush=True)
    busy = psutil.cpu_times()
    start = time.perf_counter()
    await asyncio.gather(*coming)
    spent = psutil.cpu_times()
    idle = (spent.idle - busy.idle) / (time.perf_counter() - start) / psutil.cpu_count()
    print(f"Processors {100 * (1 - idle):.0f} % busy while they moved.")
    for seat in seats:
        weigh(seat, hub)
    return seats


def report(seats: list[Seat], hub: psutil.Process) -> int:
    """Print the figures; the exit code is 1 if anything went wrong."""
    moves = [1000 * one for seat in seats for one in seat.moves]
    drags = [1000 * seat.dragged for seat in seats if seat.dragged]
    print(f"{len(seats)} learners, {len(moves)} single moves, {len(drags)} drags of {DRAG} steps")
    for name, values, unit in (
        ("sign-in to page", [seat.ready for seat in seats if seat.ready], "s"),
        ("lesson up after that", [seat.lesson for seat in seats if seat.lesson], "s"),
        ("a move, sent to shown", moves, "ms"),
        ("end of a drag to shown", drags, "ms"),
        ("steps sent of a drag", [seat.drag_sent for seat in seats if seat.drag_sent], ""),
        ("memory of a server", [seat.server for seat in seats if seat.server], "MB"),
        ("memory of its kernel", [seat.kernel for seat in seats if seat.kernel], "MB"),
    ):
        if values:
            high = statistics.quantiles(values, n=20)[-1] if len(values) > 1 else values[0]
            middle, most = statistics.median(values), max(values)
            print(f"{name:24} median {middle:7.1f}  95 % {high:7.1f}  most {most:7.1f} {unit}")
    own = [hub, *(one for one in hub.children() if "configurable-http-proxy" in str(one.cmdline()))]
    print(f"hub and proxy {sum(one.memory_full_info().pss for one in own) / 1e6:.0f} MB")
    wrong = [(seat.name, error) for seat in seats for error in seat.errors]
    for name, error in wrong:
        print(f"WRONG {name}: {error}")
    print(f"{len(wrong)} errors")
    return 1 if wrong else 0


def main() -> int:
    """Start the hub, fill the room, report, and stop everything that was started."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--learners", type=int, default=20)
    parser.add_argument("--moves", type=int, default=60, help=f"each; the last {DRAG} a drag")
    parser.add_argument("--pause", type=float, default=1.0, help="seconds between moves")
    parser.add_argument("--stagger", type=float, default=0.0, help="seconds between sign-ins")
    chosen = parser.parse_args()
    if not shutil.which("configurable-http-proxy"):
        print("The proxy, configurable-http-proxy, is not on the path.", file=sys.stderr)
        return 2
    with tempfile.TemporaryDirectory() as folder:
        ports = {"address": f"http://127.0.0.1:{free_port()}"}
        ports |= {"hub_port": free_port(), "proxy_port": free_port()}
        password = secrets.token_urlsafe()
        settings = Path(folder) / "settings.py"
        settings.write_text(
            SETTINGS.format(
                **ports, state=folder, homes=folder, password=password, seats=chosen.learners
            )
        )
        command = [sys.executable, "-m", "jupyterhub", "-f", str(settings)]
        with (Path(folder) / "log").open("w") as log:
            started = subprocess.Popen(command, cwd=folder, stdout=log, stderr=log, env=os.environ)
        code = 1
        try:
            wait_for(ports["address"], started)
            hub = psutil.Process(started.pid)
            seats = asyncio.run(room(chosen, ports["address"], password, hub))
            code = report(seats, hub)
        finally:
            started.send_signal(signal.SIGINT)  # it stops its seats and its proxy
            try:
                started.wait(60)
            except subprocess.TimeoutExpired:
                started.kill()
            if code:
                print((Path(folder) / "log").read_text()[-8000:])
    return code


def wait_for(address: str, started: subprocess.Popen) -> None:
    """Until the hub answers."""
    for _ in range(PATIENCE):
        try:
            if httpx.get(f"{address}/hub/health", trust_env=False).status_code == 200:
                return
        except httpx.TransportError:
            pass
        if started.poll() is not None:
            break
        time.sleep(1)
    raise RuntimeError("the hub did not start")


if __name__ == "__main__":
    sys.exit(main())
