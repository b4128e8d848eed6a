"""The bake log: past bakes of one's own ovens, and what they say of each oven."""

from __future__ import annotations

import datetime
import math
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from kitchenkit import tables
from kitchenkit.baking import HEAT, RESIDUAL, Heat, bake_minutes
from kitchenkit.errors import DataError, KitchenError
from kitchenkit.language import num, tr, trn
from kitchenkit.shelf import plain
from kitchenkit.temperature import celsius

# How far one oven's own factor may lie from the general model, as a standard deviation of its
# logarithm: an oven whose dial is 15 °C (25 °F) off bakes about a fifth faster or slower. Common
# practice, no source. Few entries are held near the model by it.
_OVENS_DIFFER = 0.20
# A bake that falls farther than this many residuals from the rest counts ever less, and an absurd
# one not at all (Tukey's biweight, Beaton and Tukey 1974, with its usual constant).
_TUKEY = 4.685


@dataclass(frozen=True)
class Bake:
    """One line of the log.

    Attributes
    ----------
    date : datetime.date
    oven : str
        The oven's name in this kitchen.
    pan : Pan
    volume_m3 : float
        Raw batter in one pan or well.
    set_c, real_c : float
        What the dial said, and the thermometer inside where there was one (else the dial again).
    minutes : float
    note : str
    """

    date: datetime.date
    oven: str
    pan: object
    volume_m3: float
    set_c: float
    real_c: float
    minutes: float
    note: str = ""

    def model_minutes(self, heat: Heat = HEAT) -> float:
        """What the general model says of it."""
        return bake_minutes(self.pan, self.volume_m3, self.real_c, heat=heat)

    def ratio(self, heat: Heat = HEAT) -> float:
        """Logarithm of the real minutes over the model's."""
        return math.log(self.minutes / self.model_minutes(heat))


@dataclass(frozen=True)
class OvenCorrection:
    """What the log says of one oven.

    Attributes
    ----------
    oven : str
    factor : float
        Multiply the model's minutes by this.
    spread : float
        Standard deviation of ln(factor): how sure that is.
    bakes, odd : int
        Entries used, and those that count for less than half.
    window : float
        Half-width of the window of ln(minutes) for the next bake.
    why : str
    """

    oven: str
    factor: float
    spread: float
    bakes: int
    odd: int
    window: float
    why: str


def _heat(name: str, required: bool = True) -> tables.Column:
    def parse(cell: str) -> float:
        return celsius(cell, name)

    return tables.Column(name, parse, required)


BAKE_LOG = "bake-log.csv"
BAKE_COLUMNS = [
    tables.date("date"),
    tables.text("oven"),
    tables.text("pan"),
    tables.volume("volume"),
    _heat("set"),
    _heat("real", required=False),
    tables.number("minutes", 1, 600),
    tables.text("note", required=False),
]
_CONVERTED = ("volume", "set", "real")


def _with_words(column: tables.Column) -> tables.Column:
    """A column that keeps a cell's own words beside what they mean, for the faults."""
    return replace(column, parse=lambda cell: (column.parse(cell), cell))


def has_bake_log(kit) -> bool:
    """Whether the kit's folder holds a bake log; a kitchen that has none yet does without."""
    return (kit.folder / BAKE_LOG).is_file()


def read_bake_log(kit, path=None) -> list[Bake]:
    """Read a bake log.

    Parameters
    ----------
    kit : Kit
        Knows the pans.
    path : str or Path, optional
        A table with the columns date, oven, pan, volume (batter in one pan or well), set and real
        (oven temperatures; real may be empty), minutes and note. The kit's own bake-log.csv when
        left out.

    Returns
    -------
    list of Bake
        In the order of their dates.

    Raises
    ------
    DataError
        With every fault found.
    """
    path = Path(path) if path is not None else kit.folder / BAKE_LOG
    columns = [_with_words(c) if c.name in _CONVERTED else c for c in BAKE_COLUMNS]
    table = tables.read_table(path, columns)
    bakes = []
    for row, values in table.rows:
        bake = _bake(table, row, values, kit)
        if bake is not None:
            bakes.append(bake)
    if table.faults:
        raise DataError(table.faults)
    return sorted(bakes, key=lambda bake: bake.date)


def _bake(table: tables.Table, row: int, values: dict, kit) -> Bake | None:
    mend = "Use a key or name from pans.csv."
    pan = table.find(row, "pan", values["pan"], kit.pans, mend)
    if pan is None:
        return None
    volume, volume_words = values["volume"]
    real, real_words = values["real"] or values["set"]
    bake = Bake(
        values["date"],
        values["oven"],
        pan,
        volume,
        values["set"][0],
        real,
        values["minutes"],
        values["note"],
    )
    faults = len(table.faults)
    if bake.volume_m3 > pan.capacity_m3:
        mend = "That is more than one of this pan holds. Write what went into one."
        table.fault(row, "volume", volume_words, mend)
    try:
        bake.ratio()
    except KitchenError as error:  # an oven too cool to do a crumb
        column = "set" if values["real"] is None else "real"
        table.fault(row, column, real_words, str(error))
    return bake if len(table.faults) == faults else None


def correct_oven(bakes: list[Bake], oven: str, heat: Heat = HEAT) -> OvenCorrection:
    """What past bakes say of one oven.

    Parameters
    ----------
    bakes : list of Bake
    oven : str
        Its name in the log, in any case. Without an entry the general model stands.
    heat : Heat

    Returns
    -------
    OvenCorrection

    Notes
    -----
    The logarithms of real over predicted minutes are averaged with a prior of 0 ± 0.20 (the general
    model), each entry counting 1/0.13² (the model's own residual) times a Tukey biweight of its
    distance from the mean so far, from the median on. So few entries stay near the model, and one
    absurd entry has no say: where all are odd, the window is the general model's.
    """
    ratios = np.array([b.ratio(heat) for b in bakes if plain(b.oven) == plain(oven)])
    centre, weights = _robust_mean(ratios)
    precision = weights.sum() / RESIDUAL**2 + 1 / _OVENS_DIFFER**2
    spread = float(precision**-0.5)
    count, odd = len(ratios), int(np.sum(weights < 0.5))
    factor = math.exp(centre)
    window = 2 * (math.hypot(spread, RESIDUAL) if count > odd else RESIDUAL)
    return OvenCorrection(oven, factor, spread, count, odd, window, _why(oven, factor, count, odd))


def bake_weights(bakes: list[Bake], heat: Heat = HEAT) -> np.ndarray:
    """How much each bake counts in the correction of its oven.

    Parameters
    ----------
    bakes : list of Bake
        Of any ovens.
    heat : Heat

    Returns
    -------
    ndarray
        One number for each bake: 1 in full, below 0.5 odd, 0 not at all.
    """
    weights = np.ones(len(bakes))
    ovens = [plain(bake.oven) for bake in bakes]
    for oven in set(ovens):
        at = [n for n, name in enumerate(ovens) if name == oven]
        _, weights[at] = _robust_mean(np.array([bakes[n].ratio(heat) for n in at]))
    return weights


def _robust_mean(ratios: np.ndarray) -> tuple[float, np.ndarray]:
    """The mean held to the prior, and each entry's weight from 0 to 1."""
    if not len(ratios):
        return 0.0, np.zeros(0)
    centre = float(np.median(ratios))
    weights = np.ones_like(ratios)
    for _ in range(100):
        far = (ratios - centre) / (_TUKEY * RESIDUAL)
        weights = np.where(np.abs(far) < 1, (1 - far**2) ** 2, 0.0)
        told = weights / RESIDUAL**2
        ahead = float(np.sum(told * ratios) / (np.sum(told) + 1 / _OVENS_DIFFER**2))
        if abs(ahead - centre) < 1e-12:
            break
        centre = ahead
    return centre, weights


def _why(oven: str, factor: float, count: int, odd: int) -> str:
    if not count:
        return tr("no bake of {oven} is in the log yet, so the general model stands", oven=tr(oven))
    values = {"n": num(count, "d"), "oven": tr(oven), "off": num(abs(factor - 1), ".0%")}
    if factor >= 1:
        said = trn(
            "{n} bake of {oven} in the log says {off} longer than the model",
            "{n} bakes of {oven} in the log say {off} longer than the model",
            count,
            **values,
        )
    else:
        said = trn(
            "{n} bake of {oven} in the log says {off} shorter than the model",
            "{n} bakes of {oven} in the log say {off} shorter than the model",
            count,
            **values,
        )
    if odd:
        return trn(
            "{said}; {n} odd entry hardly counted",
            "{said}; {n} odd entries hardly counted",
            odd,
            said=said,
        )
    return said
