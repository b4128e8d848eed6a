"""Everything of the kit that reads what somebody else may have written."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

import kitchenkit as kk
from kitchenkit import copies, ingredient_lines, merging, naming, progress, summary
from kitchenkit.afterclass import read_class_results
from kitchenkit.costs import read_day
from kitchenkit.editing import EditedTable
from kitchenkit.exchange import ENDINGS
from kitchenkit.exercises import UNITS
from kitchenkit.money import read_currency
from kitchenkit.places import shipped_folder
from kitchenkit.sheets import read_paper
from kitchenkit.units import read_number, si

SHIPPED = shipped_folder("data")


@dataclass
class Reader:
    """One way in: what it is called, sound inputs to spoil, and what reads them.

    `seconds` is the processor time that one input may take.
    """

    name: str
    sound: list[bytes]
    read: Callable[[bytes], object]
    seconds: float = 2.0
    tidy: Callable[[], None] = field(default=lambda: None)


def readers(scratch: Path) -> list[Reader]:
    """Every reader.

    Parameters
    ----------
    scratch : Path
        A folder that they may write into.

    Returns
    -------
    list of Reader
    """
    kit = kk.open_kit(SHIPPED)
    return [*_files(scratch), *_texts(kit), *_recipes(kit), *_learners(scratch), *_copies(scratch)]


def _words(data: bytes) -> str:
    return data.decode("utf-8", "surrogatepass" if b"\xed" in data else "replace")


def _safe(data: bytes) -> str:
    try:
        return _words(data)
    except UnicodeDecodeError:
        return data.decode("latin-1")


# A data folder -----------------------------------------------------------------------------------


def _files(scratch: Path) -> list[Reader]:
    """Each file of a data folder, spoilt in its place."""
    folder = Path(shutil.copytree(SHIPPED, scratch / "data"))
    names = [path.relative_to(SHIPPED).as_posix() for path in sorted(SHIPPED.rglob("*"))]
    kinds = {"csv": ".csv", "recipes": ".toml", "flavours": ".toml"}
    names = [name for name in names if name.endswith(tuple(kinds.values())) and "demo" not in name]

    def reader(name: str) -> Reader:
        path, sound = folder / name, (SHIPPED / name).read_bytes()

        def read(data: bytes) -> object:
            path.write_bytes(data)
            kit = kk.open_kit(folder)
            if name == "bake-log.csv":
                return kk.read_bake_log(kit)
            if name == "class-results.csv":
                return read_class_results(kit)
            return kit

        return Reader(name, [sound], read, 4.0, tidy=lambda: path.write_bytes(sound))

    return [reader(name) for name in names]


# Words in a box ----------------------------------------------------------------------------------


def _texts(kit) -> list[Reader]:
    question = kk.questions(kit, "01-measure")[0]
    pans = EditedTable("pans", SHIPPED)
    row = dict(pans.rows[0].texts)
    texts = {
        "measure": (kk.read_measure, "2 1/2 cups", "1 lb 4 oz", "1,5 kg", "half a dozen eggs"),
        "number": (read_number, "2½", "1-1/2", "1,250.5"),
        "length": (lambda text: si(text, "length", "side"), "9 in", "23 cm"),
        "density": (lambda text: si(text, "density", "density"), "1.02 g/ml", "240 g / 1 cup"),
        "temperature": (kk.read_temperature, "350 F", "180 °C", "gas mark 4"),
        "money": (kk.read_money, "$3.49", "3,49 €", "1,250.00 USD", "70¢"),
        "currency": (read_currency, "USD", "eur"),
        "day": (read_day, "2026-11-25", "20261125", "2026-W48-3"),
        "clock": (kk.Clock, "18:00", "6:30 pm"),
        "paper": (read_paper, "A4", "US Letter"),
        "ingredient line": (
            lambda text: ingredient_lines.read_ingredient_line(text, kit.ingredients),
            "2 1/2 cups rolled oats",
            "1 (14 oz) can pumpkin, drained",
        ),
        "file name": (naming.file_name, "Carrot & oat muffins", "a/b"),
        "code word": (progress.code_word, "Tansy", "Añá"),
        "answer": (lambda text: question.check(text, next(iter(UNITS))), "162 g", "1/3"),
        "pan by name": (lambda text: kit.pans[text], "loaf-8x4"),
        "cell of a form": (
            lambda text: [pans.complaint(column, text) for column in row],
            "loaf",
            "8 1/2",
        ),
    }
    return [
        Reader(name, [text.encode() for text in sound], lambda data, read=read: read(_safe(data)))
        for name, (read, *sound) in texts.items()
    ]


# Recipes from elsewhere --------------------------------------------------------------------------


def _recipes(kit) -> list[Reader]:
    settled = {"source": "lantern-street", "name": "Test", "servings": 4}

    def reader(form: str) -> Reader:
        sound = [kk.recipe_text(recipe, form).encode() for recipe in kit.recipes.values()]

        def read(data: bytes) -> object:
            made = kk.read_recipe(kit, data, form, **settled)
            return kk.recipe_text(made, form)  # what came in can go out again

        return Reader(f"recipe as {form}", sound, read)

    return [reader(form) for form in ENDINGS]


# What learners hand in ---------------------------------------------------------------------------


def _learners(scratch: Path) -> list[Reader]:
    demo = sorted((SHIPPED / "demo-progress").glob("*.json"))
    sound = [path.read_bytes() for path in demo]
    folder = scratch / "handed-in"
    folder.mkdir()
    own = scratch / "own" / progress.FILE
    own.parent.mkdir()

    def summed(data: bytes) -> object:
        (folder / "one.json").write_bytes(data)
        return summary.class_summary(folder)

    def answered(data: bytes) -> object:
        own.write_bytes(data)
        return progress.ProgressFile(own).put(progress.Answered("01-measure", "oats", typed="80"))

    def clear() -> None:
        for path in own.parent.glob("*"):
            path.unlink()

    return [
        Reader("progress", sound, progress.read_progress),
        Reader("a class's progress", sound, summed),
        Reader("progress gone on with", sound, answered, tidy=clear),
    ]


# A folder brought up to date ---------------------------------------------------------------------


def _copies(scratch: Path) -> list[Reader]:
    def merger(name: str) -> Reader:
        shipped = (SHIPPED / name).read_bytes()
        older = b"\n".join(shipped.split(b"\n")[:-4]) + b"\n"
        return Reader(
            f"merging {name}",
            [shipped, older],
            lambda data: merging.merge_tables(name, older, data, shipped),
        )

    mine = scratch / "my-lessons"
    copies.refresh(mine)
    places = {
        "an edited lesson": "01-measure.ipynb",
        "what was brought in": ".kitchen/brought-in/01-measure.ipynb",
        "the first record": ".kitchen/copies.json",
    }
    lesson = (mine / "01-measure.ipynb").read_bytes()

    def refresher(name: str, place: str) -> Reader:
        sound = lesson if place.endswith(".ipynb") else b'{"01-measure.ipynb": {"written": "ab"}}'

        def read(data: bytes) -> object:
            (mine / place).write_bytes(data)
            (mine / ".kitchen/brought-in/02-scale.ipynb").unlink(missing_ok=True)
            return copies.refresh(mine)

        return Reader(name, [sound], read, 4.0, tidy=lambda: (mine / place).write_bytes(sound))

    tables = ("pans.csv", "prices.csv", "ingredients.csv")
    return [*map(merger, tables), *(refresher(*pair) for pair in places.items())]
