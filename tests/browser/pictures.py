"""Pictures of the lessons, to be looked at: ``python -m tests.browser.pictures FOLDER [LESSON]``.

Writes LESSON-1280.png and LESSON-390.png: each lesson from top to end, after it has run. With
``--panel CELL`` it writes instead one picture of what that cell shows, LESSON.png, 1280 px wide.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import sync_playwright

from kitchenkit.places import shipped_folder

from . import lab


def main() -> int:
    """Take the pictures; return the exit code."""
    known = sorted(path.stem for path in shipped_folder("lessons").glob("*.ipynb"))
    parser = argparse.ArgumentParser(prog="python -m tests.browser.pictures", description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("lessons", nargs="*", metavar="LESSON", help=f"of: {', '.join(known)}")
    parser.add_argument("--panel", type=int, metavar="CELL", help="only this cell, counted from 0")
    chosen = parser.parse_args()
    chosen.folder.mkdir(parents=True, exist_ok=True)
    with (
        tempfile.TemporaryDirectory() as copies,
        sync_playwright() as playwright,
        lab.serving(Path(copies)) as address,
    ):
        executable = lab.find_chromium(playwright)
        if executable is None:
            print("No Chromium was found on this computer.", file=sys.stderr)
            return 1
        context = lab.start_browser(playwright, executable).new_context()
        for name in chosen.lessons or known:
            lesson = lab.LessonPage(context, address, name)
            if chosen.panel is not None:
                lesson.show_whole(lab.DESK["width"])
                panel = lesson.cell(chosen.panel).locator(".kk-panel")
                panel.screenshot(path=chosen.folder / f"{name}.png")
                continue
            for size in (lab.DESK, lab.PHONE):
                lesson.show_whole(size["width"])
                lesson.page.screenshot(path=chosen.folder / f"{name}-{size['width']}.png")
    return 0


if __name__ == "__main__":
    sys.exit(main())
