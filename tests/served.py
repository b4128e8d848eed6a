"""A server started in a process of its own, until it has told its address."""

from __future__ import annotations

import contextlib
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path


@contextlib.contextmanager
def served(code: str, home: Path) -> Iterator[tuple[subprocess.Popen, str]]:
    """Run the code, in a home of its own; give the process and the one address that it prints."""
    process = subprocess.Popen(
        [sys.executable, "-I", "-c", code],
        cwd=home,
        env={**os.environ, "HOME": str(home), "JUPYTER_TOKEN": "a token of another program"},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    told = []
    for line in process.stdout:
        told.append(line)
        if "To stop" in line:
            break
    printed = re.findall(r"^http://\S+$", "".join(told), flags=re.MULTILINE)
    assert len(printed) == 1, "".join(told)
    yield process, printed[0]
    if process.poll() is None:
        process.kill()
    process.stdout.close()
    process.wait()
