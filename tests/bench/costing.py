"""Costing a thousand recipes, against a bare pandas merge and group-by of the same table.

Run by hand: ``.venv/bin/python tests/bench/costing.py``. A thousand made-up recipes of twenty
ingredients each, as one table; ``cost_many`` looks the prices up in the kit and reports exact money
and what is missing, the bare sum is handed a ready price per gram. In turn, medians of paired
rounds.
"""

from __future__ import annotations

import statistics
import time

import numpy as np
import pandas as pd

import kitchenkit as kk

RECIPES, INGREDIENTS, ROUNDS = 1000, 20, 40
TODAY = "2026-11-25"
AT_MOST = 3.0


def main() -> None:
    """Print both times and their ratio; fail when it is above the limit."""
    kit = kk.open_kit()
    rng = np.random.default_rng(20261125)
    keys = np.array(list(kit.prices))
    table = pd.DataFrame(
        {
            "recipe": np.repeat([f"recipe-{n}" for n in range(RECIPES)], INGREDIENTS),
            "ingredient": np.concatenate(
                [rng.choice(keys, INGREDIENTS, replace=False) for _ in range(RECIPES)]
            ),
            "grams": rng.uniform(1, 500, RECIPES * INGREDIENTS),
        }
    )
    single = pd.DataFrame({"recipe": keys, "ingredient": keys, "grams": 1e6})
    costs = kk.cost_many(kit, single, today=TODAY)["batch"]
    prices = pd.DataFrame({"ingredient": keys, "each": [float(x) / 1e6 for x in costs]})

    def ours():
        return kk.cost_many(kit, table, today=TODAY)

    def bare():
        merged = table.merge(prices, on="ingredient")
        return (merged["grams"] * merged["each"]).groupby(merged["recipe"], sort=False).sum()

    expected, found = bare(), ours()
    assert not found["missing"].map(len).any()
    got = found["batch"].map(float)
    assert np.allclose(got, expected.loc[got.index], rtol=1e-12)

    rows = []
    for _ in range(ROUNDS + 3):
        pair = []
        for action in (ours, bare):
            start = time.perf_counter()
            action()
            pair.append(time.perf_counter() - start)
        rows.append(pair)
    mine, theirs = (statistics.median(column) * 1000 for column in zip(*rows[3:], strict=True))
    print(f"{RECIPES:,} recipes of {INGREDIENTS}: cost_many {mine:.1f} ms, ", end="")
    print(f"bare merge and group-by {theirs:.1f} ms: {mine / theirs:.2f} times (at most {AT_MOST})")
    assert mine <= AT_MOST * theirs


if __name__ == "__main__":
    main()
