"""Spoil and read for a while, and tell what was found; ends with 1 if anything was."""

from __future__ import annotations

import argparse
import sys
import tempfile
from pathlib import Path

from .run import run


def main() -> int:
    """Read the choices, run, and print."""
    parser = argparse.ArgumentParser(prog="python -m tests.fuzz", description=__doc__)
    parser.add_argument("--seconds", type=float, default=60)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--reader", default="", help="only readers whose name holds this")
    parser.add_argument("--number", type=int, help="only the input of this number")
    chosen = parser.parse_args()
    with tempfile.TemporaryDirectory() as scratch:
        place = Path(scratch).resolve()
        counts, found = run(place, chosen.seconds, chosen.seed, chosen.reader, chosen.number)
    for name, count in counts.items():
        print(f"{name:32}" + "".join(f"{count[kind]:8} {kind}" for kind in ("read", "refused")))
    for one in found:
        print(f"\n{one.reader}: {one.what}\n  {one.data[:160]!r} ({len(one.data)} bytes)")
        print(f"  again: --seed {chosen.seed} --reader '{one.reader}' --number {one.number}")
    total = sum(sum(count.values()) for count in counts.values())
    print(f"\n{total} inputs, {len(found)} kinds of fault")
    return bool(found)


if __name__ == "__main__":
    sys.exit(main())
