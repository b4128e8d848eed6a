"""What the fields of the editors are called: the column in words, with its unit."""

from __future__ import annotations

from kitchenkit.language import mark, tr, trc

TITLES = {
    "ingredients": mark("Your ingredients"),
    "pans": mark("Your pans"),
    "prices": mark("Your prices"),
    "packaging": mark("What you wrap in"),
    "snacks": mark("Snacks from the shop"),
    "tariffs": mark("What energy costs you"),
    "keeping": mark("How long things keep"),
    "swaps": mark("One thing in another's place"),
    "bake-log": mark("Your bake log"),
    "class-results": mark("What the stations noted"),
    "sources": mark("Where your numbers come from"),
}

_WORDS = {
    "key": mark("Short name (letters, digits, hyphens)"),
    "also": mark("Other names (semicolons between)"),
    "note": mark("Note"),
    "source": mark("Source (its short name)"),
    "citation": mark("Source in full"),
    "how": mark("How it is known"),
    # pans
    "kind": mark("Kind of pan"),
    "top_length": mark("Length or diameter inside at the rim (in the unit below)"),
    "top_width": mark("Width inside at the rim (empty for rounds)"),
    "bottom_length": mark("Length or diameter inside at the bottom"),
    "bottom_width": mark("Width inside at the bottom (empty for rounds)"),
    "depth": mark("Depth inside (in the unit below)"),
    "corner": mark("Radius of the upright corners (0 for sharp ones)"),
    "tube_top": mark("Diameter of the tube at the rim (tube pans)"),
    "tube_bottom": mark("Diameter of the tube at the bottom (tube pans)"),
    "wells": mark("Wells in the tin (1 for a plain pan)"),
    "unit": mark("Unit"),
    "nominal": mark("Size as the shop calls it (optional)"),
    # ingredients
    "group": mark("Group"),
    "measure": mark("A measure of it (like 1 cup or 100 ml)"),
    "measure_g": mark("What that measure weighs (g)"),
    "each_g": mark("What one piece weighs (g, if sold by the piece)"),
    "yield_pct": mark("How much of it can be eaten (%)"),
    "allergens": mark("Allergens (semicolons between; read every label)"),
    "water": mark("Water (g in 100 g)"),
    "protein": mark("Protein (g in 100 g)"),
    "fat": mark("Fat (g in 100 g)"),
    "carbohydrate": mark("Carbohydrate with fibre (g in 100 g)"),
    "fibre": mark("Fibre (g in 100 g)"),
    "ash": mark("Ash (g in 100 g)"),
    "composition_source": mark("Source of the composition (its short name)"),
    # prices
    "ingredient": mark("Ingredient (several from one package: semicolons between)"),
    "item": mark("What it is"),
    "amount": mark("What the package holds (like 5 lb, 1 l or 12 each)"),
    "price": mark("Price of the whole package (like 2.79, or free)"),
    "currency": mark("Currency (three letters, like USD)"),
    "place": mark("Where"),
    "date": mark("Day (year-month-day)"),
    "pieces": mark("Pieces in the package"),
    "weight": mark("Weight of the package (like 240 g)"),
    "fuel": mark("Fuel"),
    "per": mark("Price is for one"),
    # bake log
    "oven": mark("Which oven"),
    "pan": mark("Pan (its short name or name)"),
    "volume": mark("Batter in one pan or well (like 535 ml or 2 1/4 cups)"),
    "set": mark("The oven's dial said (like 350 F or 175 C)"),
    "real": mark("The thermometer inside said (optional)"),
    "minutes": mark("Minutes to done"),
    # class results
    "station": mark("Station"),
    "flavour": mark("Flavour or recipe (optional)"),
    "done": mark("Was it done? (empty: yes)"),
    # keeping
    "product": mark("What is kept"),
    "low": mark("At least (in the unit below; optional)"),
    "high": mark("At most (in the unit below)"),
    "about": mark("About safety or about quality"),
    # swaps
    "out": mark("Instead of (short name of the ingredient)"),
    "of": mark("How much of it is replaced (like 1 each or 100 g)"),
    "put": mark("Put (name: amount; semicolons between)"),
    "most_pct": mark("At most this part of it (%)"),
    "does": mark("What it does to the batter"),
    "fails": mark("Where it fails"),
    # recipes
    "servings": mark("Servings"),
    "serving": mark("One serving is (like one muffin)"),
    "density": mark("The raw batter weighs (like 1.03 g/ml; optional)"),
    "basis": mark("That weight is stated or measured"),
    # several
    "name": mark("Name"),
    "shape": mark("Shape"),
    "material": mark("Material"),
}
_HERE = {
    ("recipe", "ingredient"): mark("Ingredient (a name from your ingredients)"),
    ("recipe", "amount"): mark("Amount (like 1 1/2 cups or 200 g)"),
    ("keeping", "place"): mark("Where it is kept"),
    ("keeping", "source"): mark("Source (its short name)"),
    ("class-results", "oven"): mark("Which oven"),
    ("class-results", "minutes"): mark("Minutes to done, or until it came out (empty: not timed)"),
    ("class-results", "ingredient"): mark("What was bought (its short name; optional)"),
    ("class-results", "place"): mark("Which shop"),
    ("pans", "unit"): mark("Unit of the lengths"),
    ("pans", "name"): mark("Name of the pan"),
    ("swaps", "kind"): mark("What kind of ingredient"),
}


# What may be chosen in a field and is said nowhere else; the file keeps the English word.
_CHOICES = (
    *(mark("box"), mark("tube"), mark("metal"), mark("dark metal"), mark("glass")),
    *(mark("ceramic"), mark("silicone"), mark("in"), mark("cm"), mark("electricity"), mark("gas")),
    *(mark("hours"), mark("days"), mark("weeks"), mark("months"), mark("quality")),
    *(mark("safety"), mark("milk"), mark("yes"), mark("no"), mark("read"), mark("computed")),
    *(mark("memory"), mark("practice"), mark("measured"), mark("invented"), mark("stated")),
    mark("carried"),  # from the recipe that this one was made of
)


def field_words(table: str, column: str) -> str:
    """What a field is called.

    Parameters
    ----------
    table : str
        Name of the table, or ``"recipe"``.
    column : str
    """
    return tr(_HERE.get((table, column)) or _WORDS[column])


def column_words(column: str) -> str:
    """A column's name over a table that is shown.

    Parameters
    ----------
    column : str
    """
    words = {
        "also": trc("column", "also"),
        "amount": trc("column", "amount"),
        "citation": trc("column", "citation"),
        "currency": trc("column", "currency"),
        "date": trc("column", "date"),
        "flavour": trc("column", "flavour"),
        "fuel": trc("column", "fuel"),
        "group": trc("column", "group"),
        "high": trc("column", "high"),
        "how": trc("column", "how"),
        "ingredient": trc("column", "ingredient"),
        "item": trc("column", "item"),
        "key": trc("column", "key"),
        "kind": trc("column", "kind"),
        "low": trc("column", "low"),
        "measure": trc("column", "measure"),
        "minutes": trc("column", "minutes"),
        "name": trc("column", "name"),
        "note": trc("column", "note"),
        "of": trc("column", "of"),
        "out": trc("column", "out"),
        "oven": trc("column", "oven"),
        "pan": trc("column", "pan"),
        "per": trc("column", "per"),
        "pieces": trc("column", "pieces"),
        "place": trc("column", "place"),
        "price": trc("column", "price"),
        "product": trc("column", "product"),
        "real": trc("column", "real"),
        "set": trc("column", "set"),
        "shape": trc("column", "shape"),
        "station": trc("column", "station"),
        "top_length": trc("column", "top length"),
        "volume": trc("column", "volume"),
        "weight": trc("column", "weight"),
    }
    return words[column]
