"""The catalogues of other languages, and what keeps them in step with the kit's own words.

``python -m kitchenkit.languages`` writes every new text into each catalogue, drops those that are
gone, and tells how many are still to be translated.
"""

from __future__ import annotations

import csv
import io
import tomllib
from collections.abc import Iterator
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.extract import extract_from_dir
from babel.messages.pofile import read_po, write_po

from kitchenkit.kit import UNPUBLISHED
from kitchenkit.places import PACKAGE, shipped_folder

HERE = Path(__file__).resolve().parent
# How the code hands over its texts: which arguments, and which of them is a context. What `si` and
# `celsius` are to call a thing when it is wrong is among them.
KEYWORDS = {
    "tr": None,
    "mark": None,
    "phrase": None,
    "trn": (1, 2),
    "trc": ((1, "c"), 2),
    "si": (3,),
    "celsius": (2,),
}
# Columns and fields of the shipped data that people read; their own data stay as they write them.
COLUMNS = {
    "bake-log.csv": ("oven",),
    "class-results.csv": ("station", "oven"),
    "ingredients.csv": ("name",),
    "keeping.csv": ("product", "note"),
    "packaging.csv": ("item", "place"),
    "pans.csv": ("name",),
    "prices.csv": ("place",),
    "snacks.csv": ("name", "place"),
    "swaps.csv": ("name", "does", "fails", "note"),
    "tariffs.csv": ("fuel", "place"),
}
FIELDS = ("name", "serving", "note", "when")


def catalogues() -> list[Path]:
    """The catalogue of each language."""
    return sorted(HERE.glob("*.po"))


def template() -> Catalog:
    """Every text to translate, in the code and in the shipped data."""
    made = Catalog(project="kitchenkit")
    found = extract_from_dir(
        PACKAGE, [("**.py", "python")], keywords=KEYWORDS, comment_tags=("Translators:",)
    )
    for file, _, text, comments, context in found:
        made.add(
            text, locations=[(f"kitchenkit/{file}", 1)], auto_comments=comments, context=context
        )
    for file, text in _data():
        made.add(text, locations=[(f"data/{file}", 1)])
    return made


def _data() -> Iterator[tuple[str, str]]:
    folder = shipped_folder("data")
    for file, columns in COLUMNS.items():
        with (folder / file).open(encoding="utf-8", newline="") as table:
            for row in csv.DictReader(table):
                yield from ((file, row[column]) for column in columns if row[column])
    with (folder / "sources.csv").open(encoding="utf-8", newline="") as table:
        for row in csv.DictReader(table):
            if row["how"] in UNPUBLISHED:
                yield "sources.csv", row["citation"]
    for path in sorted(folder.glob("*/*.toml")):
        yield from (
            (path.parent.name, text) for text in _fields(tomllib.loads(path.read_text("utf-8")))
        )


def _fields(value) -> Iterator[str]:
    if isinstance(value, dict):
        for name, inner in value.items():
            if name in FIELDS and isinstance(inner, str):
                yield inner
            else:
                yield from _fields(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from _fields(inner)


def read(path: Path) -> Catalog:
    """A catalogue as it is."""
    with path.open("rb") as file:
        return read_po(file)


def brought_up_to_date(path: Path) -> tuple[bytes, int]:
    """A catalogue with every text of now and no other, and how many of them are untranslated.

    Parameters
    ----------
    path : Path

    Returns
    -------
    bytes
    int
    """
    catalog = read(path)
    catalog.last_translator, catalog.language_team = "The kitchenkit authors", ""
    catalog.msgid_bugs_address = ""
    catalog.update(template(), no_fuzzy_matching=True, update_creation_date=False)
    out = io.BytesIO()
    # By file and without line numbers, which would change with every edit.
    write_po(out, catalog, width=100, sort_by_file=True, ignore_obsolete=True, include_lineno=False)
    missing = sum(bool(one.id) and not all(_strings(one)) for one in catalog)
    return out.getvalue(), missing


def _strings(message) -> tuple[str, ...]:
    return message.string if isinstance(message.string, tuple) else (message.string,)
