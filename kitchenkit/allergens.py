"""Allergens as the data list them: what brings each, what may carry more, what holds gluten."""

from __future__ import annotations

from dataclasses import dataclass

from kitchenkit.kit import ALLERGENS
from kitchenkit.language import mark, tr
from kitchenkit.recipe import Recipe
from kitchenkit.shelf import plain

# Said whenever allergens are: the data know the food, not the package nor the kitchen.
READ_LABELS = mark("Read every label; other traces are possible.")
# Grains with gluten besides wheat. Oats are counted: they often meet wheat on the way.
_GLUTEN_WORDS = frozenset(("rye", "barley", "spelt", "oat", "oats"))
_MAY = ("label", "may carry", "packed beside", "made beside")


@dataclass(frozen=True)
class AllergenList:
    """What the data say of a recipe's allergens; never that one is absent.

    Attributes
    ----------
    found : dict of str to tuple of str
        Each of the nine major US allergens that the data name, with the ingredients that bring it.
    may : dict of str to str
        Ingredients that may carry more, with the data's note on them.
    gluten : tuple of str
        Ingredients that hold gluten, or oats that often meet it.
    """

    found: dict[str, tuple[str, ...]]
    may: dict[str, str]
    gluten: tuple[str, ...]

    def __str__(self) -> str:
        return tr("In the data: {listed}. {labels}", listed=self.listed, labels=tr(READ_LABELS))

    @property
    def listed(self) -> str:
        """The allergens, each with what brings it; that none is named is no promise."""
        if not self.found:
            return tr("no ingredient names one of the nine major allergens, which is no promise")
        return "; ".join(
            f"{tr(name)} ({', '.join(map(tr, brings))})" for name, brings in self.found.items()
        )

    @property
    def gluten_words(self) -> str:
        """One sentence about gluten, empty where the data name no such grain."""
        if not self.gluten:
            return ""
        return tr(
            "Gluten: {grains}. Wheat, rye and barley hold it; oats often meet them in the field "
            "and the mill.",
            grains=", ".join(map(tr, self.gluten)),
        )


def allergens_in(recipe: Recipe) -> AllergenList:
    """The nine major US allergens that the data name for a recipe.

    Parameters
    ----------
    recipe : Recipe
        Of a flavour, its ``whole``: toppings count too.

    Returns
    -------
    AllergenList
        In the order of the law. It lists what is inherent in the food; labels, shared mills and
        shared kitchens decide the rest.

    Notes
    -----
    Milk, egg, fish, crustacean shellfish, tree nuts, peanut, wheat and soy: Food Allergen Labeling
    and Consumer Protection Act (2004); sesame: FASTER Act, Pub. L. 117-11 (2021).
    """
    items = {line.ingredient.key: line.ingredient for line in recipe.lines}.values()
    found = {
        allergen: tuple(item.name for item in items if allergen in item.allergens)
        for allergen in ALLERGENS
    }
    return AllergenList(
        found={allergen: brings for allergen, brings in found.items() if brings},
        may={x.name: x.note for x in items if any(word in x.note.casefold() for word in _MAY)},
        gluten=tuple(x.name for x in items if "wheat" in x.allergens or _is_gluten_grain(x)),
    )


def _is_gluten_grain(item) -> bool:
    words = {word for name in (item.key, item.name) for word in plain(name).split()}
    return bool(words & _GLUTEN_WORDS)
