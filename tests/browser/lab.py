"""The lessons as a learner meets them: the launcher's own server, and its pages in Chromium."""

from __future__ import annotations

import contextlib
import os
import queue
import re
import shutil
import signal
import subprocess
import sys
import threading
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlsplit, urlunsplit

import nbformat
from playwright.sync_api import Browser, BrowserContext, Locator, Page, Playwright, expect
from playwright.sync_api import TimeoutError as TooLate

from kitchenkit.copies import class_folder
from kitchenkit.places import PACKAGE, shipped_folder

DESK = {"width": 1280, "height": 900}
PHONE = {"width": 390, "height": 844}
PATIENCE = 60  # seconds: a busy machine is slow, a broken page waits for ever
_ANSWER = 30  # seconds for one thing on a page that is up
_ARGUMENTS = (
    "--no-sandbox",  # a container's root may not make one
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


def find_chromium(playwright: Playwright) -> str | None:
    """The system's Chromium, else the one that Playwright may have brought, else None."""
    for name in ("chromium", "chromium-browser"):
        if found := shutil.which(name):
            return found
    brought = playwright.chromium.executable_path
    return brought if Path(brought).is_file() else None


def start_browser(playwright: Playwright, executable: str) -> Browser:
    """A Chromium without a window that asks nothing of the network but our pages."""
    return playwright.chromium.launch(executable_path=executable, args=list(_ARGUMENTS))


expect.set_options(timeout=_ANSWER * 1000)


# --- the server ---------------------------------------------------------------------------------


@contextlib.contextmanager
def serving(folder: Path, command: str = "open") -> Iterator[str]:
    """Run a command with the lessons copied into `folder`; give the address that it prints.

    It is stopped as a learner stops it, with Ctrl-C, and must then say goodbye and end well.
    """
    python_path = os.pathsep.join([str(PACKAGE.parent), os.environ.get("PYTHONPATH", "")])
    run = subprocess.Popen(
        [sys.executable, "-m", "kitchenkit", command, "--no-browser", "--folder", str(folder)],
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        encoding="utf-8",
        env={**os.environ, "PYTHONPATH": python_path.strip(os.pathsep), "PYTHONUTF8": "1"},
        creationflags=getattr(subprocess, "CREATE_NEW_PROCESS_GROUP", 0),
    )
    lines: queue.Queue[str | None] = queue.Queue()
    reader = threading.Thread(target=_read_lines, args=(run.stdout, lines), daemon=True)
    reader.start()
    said: list[str] = []
    try:
        address = _printed_address(lines, said)
        _wait_until_it_answers(address)
        yield address
    finally:
        if run.poll() is None:
            run.send_signal(getattr(signal, "CTRL_BREAK_EVENT", signal.SIGINT))
        try:
            code = run.wait(PATIENCE)
        except subprocess.TimeoutExpired:
            run.kill()
            run.wait()
            code = "none: it did not stop"
        reader.join(PATIENCE)
        run.stdout.close()
        lines.put(None)  # even if the reader never came to an end
    said += iter(lines.get, None)
    if os.name == "posix":  # elsewhere a console's break is not the Ctrl-C of a person
        assert code == 0, f"The server ended with {code}:\n{''.join(said)}"
        assert "Goodbye" in said[-1], said


def _read_lines(stream, lines: queue.Queue) -> None:
    for line in stream:
        lines.put(line)
    lines.put(None)


def _printed_address(lines: queue.Queue, said: list[str]) -> str:
    deadline = time.monotonic() + PATIENCE
    while True:
        try:
            line = lines.get(timeout=max(0.0, deadline - time.monotonic()))
        except queue.Empty:
            raise AssertionError(f"The launcher printed no address:\n{''.join(said)}") from None
        if line is None:
            lines.put(None)
            raise AssertionError(f"The launcher ended early:\n{''.join(said)}")
        said.append(line)
        if found := re.fullmatch(r"\s*(http://127\.0\.0\.1:\d+/\S*\?token=[\w-]{20,})\s*", line):
            return found[1]


def _wait_until_it_answers(address: str) -> None:
    parts = urlsplit(address)
    status = urlunsplit((parts.scheme, parts.netloc, "/login", "", ""))
    opener = urllib.request.build_opener(urllib.request.ProxyHandler({}))  # it is this computer
    deadline = time.monotonic() + PATIENCE
    while True:
        try:
            with opener.open(status, timeout=5):
                return
        except (urllib.error.URLError, TimeoutError):
            if time.monotonic() > deadline:
                raise
            time.sleep(0.1)


# A page asks for its kernel only when told to: it waits, as on a slow computer. This is done in the
# page, since a browser whose requests are caught from outside keeps no cache and reads all anew.
_HOLD = """() => {
  const ask = window.fetch;
  window.kkHeld = 0;
  const told = new Promise(tell => { window.kkGo = tell; });
  window.fetch = async (what, ...how) => {
    const request = new Request(what, ...how);
    if (request.method === 'POST' && new URL(request.url).pathname.endsWith('/api/sessions')) {
      window.kkHeld += 1;
      await told;
    }
    return ask(request);
  };
}"""


# While much is going on, a page may take the focus away again for the cell around a button.
_KEEP_FOCUS = """async button => {
  const frame = () => new Promise(requestAnimationFrame);
  for (let time = 0; time < 20; time++) {
    button.focus();
    await frame();
    await frame();
    if (document.activeElement === button) return;
  }
}"""


def press(panel: Locator, name: str) -> None:
    """Press a button by keyboard, once the focus stays there."""
    button = panel.get_by_role("button", name=name, exact=True)
    button.evaluate(_KEEP_FOCUS)
    button.press("Enter")


# --- a lesson in the browser --------------------------------------------------------------------


class LessonPage:
    """One lesson, opened alone in JupyterLab as the launcher opens the first.

    Parameters
    ----------
    context : BrowserContext
    address : str
        What the launcher printed.
    name : str
        Such as ``"03-pans"``.
    size : dict
        Width and height of the window.
    asleep : bool
        Keep its kernel from it, so that its stills can be looked at; `wake` then lets it run.

    Attributes
    ----------
    faults : list of str
        Errors on the page's console so far. The notebook server's own pages have none either.
    """

    def __init__(
        self,
        context: BrowserContext,
        address: str,
        name: str,
        size: dict = DESK,
        asleep: bool = False,
    ):
        self.name = name
        self.faults: list[str] = []
        self.is_awake = not asleep
        self.page: Page = context.new_page()
        self.page.set_default_timeout(_ANSWER * 1000)
        self.page.set_viewport_size(size)
        self.page.on("console", self._hear)
        self.page.on("pageerror", lambda error: self.faults.append(f"uncaught: {error}"))
        if asleep:
            self.page.add_init_script(f"({_HOLD})()")
        self._address = address
        parts = urlsplit(address)
        path = re.sub(r"[^/]+\.ipynb$", f"{name}.ipynb", parts.path)
        self.page.goto(urlunsplit(parts._replace(path=path)), timeout=PATIENCE * 1000)
        expect(self.page.locator(".jp-Notebook h1").first).to_be_visible(timeout=PATIENCE * 1000)
        if self.is_awake:
            self._wait_for_panels()

    def give_kernel(self) -> None:
        """Let a page that was kept asleep have its kernel; what it does then is its own affair."""
        self.until(lambda: self.page.evaluate("kkHeld"), lambda: "it asked for no kernel", PATIENCE)
        self.page.evaluate("kkGo()")
        self._wait_for_kernel()

    def wake(self) -> None:
        """Let a page that was kept asleep come up ready, as a learner has it."""
        self.give_kernel()
        self._wait_for_panels()
        self.is_awake = True

    def leave(self) -> None:
        """Close the page for good; its kernel stops."""
        parts = urlsplit(self._address)
        site, headers = (
            f"{parts.scheme}://{parts.netloc}/api/sessions",
            {"Authorization": f"token {parts.query.removeprefix('token=')}"},
        )
        ask = self.page.context.request
        self.page.close()
        for session in ask.get(site, headers=headers).json():
            if session["path"] == f"{self.name}.ipynb":
                ask.delete(f"{site}/{session['id']}", headers=headers)

    def _hear(self, message) -> None:
        if message.type == "error":
            self.faults.append(f"{message.text} ({message.location.get('url', '')})")

    def _wait_for_kernel(self) -> None:
        idle = self.page.locator('.jp-NotebookPanel [data-status="idle"]')
        idle.first.wait_for(state="attached", timeout=PATIENCE * 1000)

    def cell(self, at: int) -> Locator:
        """A cell by its place in the notebook, brought into the window."""
        found = self.page.locator(f'.jp-Cell[data-windowed-list-index="{at}"]')
        found.scroll_into_view_if_needed()
        return found

    def run_again(self) -> None:
        """Restart and run everything by the toolbar's button, as the lesson tells a learner to.

        A click may be dropped, so it is asked again until the box that asks back has gone.
        """
        button = self.page.locator('[data-command="notebook:restart-run-all"]').first
        restart = self.page.locator(".jp-Dialog button.jp-mod-warn")
        deadline = time.monotonic() + PATIENCE
        while True:
            try:
                if not restart.count():
                    button.click()
                restart.click(timeout=3000)
                expect(restart).to_have_count(0, timeout=3000)
                break
            except (TooLate, AssertionError):
                if time.monotonic() > deadline:
                    raise
        self._wait_for_panels()

    def _wait_for_panels(self) -> None:
        live = self.page.locator(".kk-panel.jupyter-widgets").first
        live.wait_for(timeout=PATIENCE * 1000)
        # Idle in between cells too, so wait until none is marked as waiting or running.
        waiting = self.page.locator(".jp-InputPrompt", has_text="[*]")
        expect(waiting).to_have_count(0, timeout=PATIENCE * 1000)
        self._wait_for_kernel()

    def until(
        self, true: Callable[[], bool], what: Callable[[], str], seconds: float = _ANSWER
    ) -> None:
        """Wait for a condition; fail with what `what` then says when it never comes true."""
        deadline = time.monotonic() + seconds
        while not true():
            if time.monotonic() > deadline:
                focus = self.page.evaluate("document.activeElement.outerHTML.slice(0, 100)")
                raise AssertionError(f"{self.name}: {what()}\nIn focus: {focus}")
            self.page.wait_for_timeout(50)

    def outputs(self) -> dict[int, Output]:
        """What is shown below each cell that stores an output, by the cell's place."""
        book = nbformat.read(shipped_folder("lessons") / f"{self.name}.ipynb", as_version=4)
        stored = [at for at, cell in enumerate(book.cells) if cell.get("outputs")]
        return {at: self._output(self.cell(at)) for at in stored}

    def _output(self, cell: Locator) -> Output:
        outputs = cell.locator(".jp-OutputArea-output")
        outputs.first.wait_for()
        images = outputs.locator("img")
        for image in images.all():  # only once it is decoded is its size known
            self.until(lambda i=image: i.evaluate("i => i.complete"), lambda: "no image came")
        return Output(
            "\n".join(outputs.all_inner_texts()),
            images.evaluate_all(
                "all => all.filter(i => i.naturalWidth && i.checkVisibility()"
                " && i.getBoundingClientRect().width > 200).map(i => i.alt)"
            ),
            outputs.locator("table").count(),
        )

    def cut_off(self, size: dict) -> list[str]:
        """What a window of a size cuts off or makes wider than itself; leaves it at that size."""
        self.page.set_viewport_size(size)
        found = self._pass_by(CUT_OFF)
        with contextlib.suppress(AssertionError):  # a page takes a moment to settle at a new size
            self.until(lambda: not self.page.evaluate(TOO_WIDE), lambda: "", 3)
        return found + self.page.evaluate(TOO_WIDE)

    def show_whole(self, width: int) -> None:
        """Make the window so high that nothing of the lesson is scrolled away."""
        self.page.set_viewport_size({"width": width, "height": 2 * DESK["height"]})
        self._pass_by("() => []")  # a cell that was never in the window has not got its height
        top = self.cell(0).bounding_box()["y"]
        end = self.page.locator(".jp-Cell").last.evaluate("e => e.offsetTop + e.offsetHeight")
        self.page.set_viewport_size({"width": width, "height": int(top + end) + 40})

    def _pass_by(self, look: str) -> list[str]:
        """Bring each cell into the window in turn, and gather what a look at it finds."""
        return self.page.evaluate(
            """async look => {
                const found = [], frame = () => new Promise(requestAnimationFrame);
                for (let at = 0; at < document.querySelectorAll('.jp-Cell').length; at++) {
                    const here = `[data-windowed-list-index="${at}"]`;
                    const cell = document.querySelector(`.jp-Cell${here}`);
                    cell.scrollIntoView({block: 'nearest'});
                    await frame();
                    await frame();
                    found.push(...eval(look)(cell).map(fault => `cell ${at}: ${fault}`));
                }
                return found;
            }""",
            look,
        )


@contextlib.contextmanager
def one_at_a_time(
    browser: Browser, open_page: Callable[[BrowserContext, str], LessonPage]
) -> Iterator[Callable[[str], LessonPage]]:
    """Open lessons by name, in one context; to come to another, the one before is left."""
    context = browser.new_context()
    opened: list[LessonPage] = []

    def page_of(name: str) -> LessonPage:
        if not opened or opened[0].name != name:
            while opened:
                opened.pop().leave()
            opened.append(open_page(context, name))
        opened[0].page.set_viewport_size(DESK)
        return opened[0]

    yield page_of
    context.close()


@contextlib.contextmanager
def without_faults(
    page_of: Callable[[str], LessonPage],
) -> Iterator[Callable[[str], LessonPage]]:
    """Open lessons by name, or go on in them; afterwards no error may stand on their consoles."""
    used = []

    def visit(name: str) -> LessonPage:
        used.append(page_of(name))
        return used[-1]

    yield visit
    for lesson in used:
        assert lesson.faults == []


@contextlib.contextmanager
def class_pages(browser: Browser, folder: Path) -> Iterator[Callable[[str], LessonPage]]:
    """Open the pages of a class folder by name; it is made when there is none yet."""
    if not folder.exists():
        class_folder(folder)
    with (
        serving(folder) as address,
        one_at_a_time(browser, lambda context, name: LessonPage(context, address, name)) as page_of,
    ):
        yield page_of


@dataclass(frozen=True)
class Output:
    """What a cell shows: its text, what its pictures say to who cannot see them, its tables."""

    text: str
    pictures: list[str]
    tables: int


TOO_WIDE = """() => [document.scrollingElement,
    document.querySelector('.jp-NotebookPanel .jp-WindowedPanel-outer')]
  .filter(e => e && e.scrollWidth > e.clientWidth).map(e => `${e.className} scrolls sideways`)"""

# A cell hides what leaves it, so the page's width alone would not tell. Wide tables may scroll.
CUT_OFF = """cell => {
  const found = [];
  const say = (what, e) => found.push(`${what}: ${e.tagName} ${e.textContent.trim().slice(0, 40)}`);
  const scrolls = e => e && e !== cell && (e.matches('.kk-scroll, .jp-RenderedHTMLCommon')
    && getComputedStyle(e).overflowX === 'auto' || scrolls(e.parentElement));
  for (const e of cell.querySelectorAll(
      '.jp-RenderedMarkdown *, .jp-OutputArea-output > *, .kk-panel *')) {
    const box = e.getBoundingClientRect();
    const part = e.closest('.slider-container, svg, .jp-mod-hidden') || scrolls(e.parentElement);
    const home = (e.closest('.kk-panel') || cell).getBoundingClientRect();
    if (box.width && !part && (box.right > home.right + 1 || box.left < home.left - 1))
      say('beyond its edge', e);
  }
  for (const e of cell.querySelectorAll('.kk-panel .widget-label, .kk-panel button'))
    if (e.scrollWidth > e.clientWidth + 1 || e.scrollHeight > e.clientHeight + 2) say('cut off', e);
  for (const svg of cell.querySelectorAll('.kk-panel svg')) {
    const home = svg.getBoundingClientRect();
    for (const e of svg.querySelectorAll('text')) {
      const box = e.getBoundingClientRect();
      if (box.left < home.left - 1 || box.right > home.right + 1
          || box.top < home.top - 1 || box.bottom > home.bottom + 1) say('outside the picture', e);
    }
  }
  return found;
}"""
