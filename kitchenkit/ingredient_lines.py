"""Reading one line of a recipe as people write it: ``1 1/2 cups flour, spooned``."""

from __future__ import annotations

import re
from difflib import get_close_matches

from kitchenkit.errors import MeasureError, VagueError
from kitchenkit.language import tr
from kitchenkit.shelf import Shelf, plain
from kitchenkit.units import Q, read_measure

MOST_LINES = 300  # of one recipe
_LONGEST = 500
# Words that an amount may hold but a line must not hide in it: they begin another thing.
_OF_A_NAME = {"egg", "eggs", "and", "plus", "+", "&"}
_LONGEST_AMOUNT = 10  # words; "1 imperial pint + 2 1/2 imperial fl oz" has eight


def read_ingredient_line(text: str, ingredients: Shelf) -> dict[str, str]:
    """An amount, an ingredient of the kit and perhaps a note, from one line of words.

    Parameters
    ----------
    text : str
        The amount first, then the ingredient by any of its names; what follows a comma or stands
        in brackets is a note, unless it belongs to the name.
    ingredients : Shelf

    Returns
    -------
    dict of str
        ``ingredient`` (its name in the kit), ``amount`` (as written) and ``note``.

    Raises
    ------
    MeasureError
        If there is no exact amount before an ingredient that the kit has; says what to write.
        Nothing is guessed.
    """
    line = " ".join(text.split())
    if len(line) > _LONGEST:
        raise MeasureError(
            tr("Too long for one ingredient. Write at most {n} letters.", n=_LONGEST)
        )
    words = line.split(" ")
    unread, vague, unknown = "", False, None
    # The shortest amount leaves the longest name: "2 small eggs" are small eggs.
    for n in range(1, min(len(words), _LONGEST_AMOUNT) + 1):
        amount, rest = " ".join(words[:n]), " ".join(words[n:])
        try:
            measure = read_measure(amount)
        except MeasureError as error:
            # "2 to" and "1 heaped" say why better than the name that is not found after "2".
            if not unread or (isinstance(error, VagueError) and not vague):
                unread, vague = str(error), isinstance(error, VagueError)
            continue
        if words[n - 1].casefold() in _OF_A_NAME:
            continue
        if rest.startswith("(") and measure.check(Q(1, "each").dimensionality):
            unread = tr("A number of packages with their size in brackets is not exact.")
            vague = True
            continue
        for name, note in _splits(rest):
            item = _find(name, ingredients)
            if item is not None:
                return {"ingredient": item.name, "amount": amount, "note": note}
        unknown = next(_splits(rest))[0]
    if unknown is None or vague:
        write = tr("Write the line like 1 1/2 cups all-purpose flour.")
        raise MeasureError(f"{unread} {write}")
    if not unknown:
        raise MeasureError(
            tr("It names no ingredient. Write it like 1 1/2 cups all-purpose flour.")
        )
    near = get_close_matches(plain(unknown), map(plain, ingredients), n=3, cutoff=0.5)
    hints = [tr("Did you mean {names}?", names=", ".join(near))] if near else []
    said = [
        tr("The kit has no ingredient called {name}.", name=repr(unknown)),
        *hints,
        tr("Write one that it has, or add it to ingredients.csv."),
    ]
    raise MeasureError(" ".join(said))


def _splits(rest: str):
    """Where the name may end and the note begin, the longest name first."""
    rest = rest.removeprefix("of ")
    bracket = re.match(r"\(([^()]*)\) (.+)", rest)
    if bracket:  # 1 cup (125 g) flour
        for name, note in _splits(bracket[2]):
            yield name, ", ".join(part for part in (bracket[1], note) if part)
        return
    yield rest, ""
    for at in reversed([found.start() for found in re.finditer(r", | \(", rest)]):
        note = rest[at + 2 :]
        if rest[at] == " " and note.endswith(")") and "(" not in note:
            note = note[:-1]
        yield rest[:at], note


def _find(name: str, ingredients: Shelf):
    """An ingredient by any of its names or the plural of one, or None."""
    for spelling in (name, name.removesuffix("s"), name.removesuffix("es")):
        if spelling in ingredients:
            return ingredients[spelling]
    return None
