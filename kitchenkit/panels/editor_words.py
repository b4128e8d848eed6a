"""What the fields of the editors are called: the column in words, with its unit."""

from __future__ import annotations

TITLES = {
    "ingredients": "Your ingredients",
    "pans": "Your pans",
    "prices": "Your prices",
    "packaging": "What you wrap in",
    "snacks": "Snacks from the shop",
    "tariffs": "What energy costs you",
    "keeping": "How long things keep",
    "swaps": "One thing in another's place",
    "bake-log": "Your bake log",
    "class-results": "What the stations noted",
    "sources": "Where your numbers come from",
}

_WORDS = {
    "key": "Short name (letters, digits, hyphens)",
    "also": "Other names (semicolons between)",
    "note": "Note",
    "source": "Source (its short name)",
    "citation": "Source in full",
    "how": "How it is known",
    # pans
    "kind": "Kind of pan",
    "top_length": "Length or diameter inside at the rim (in the unit below)",
    "top_width": "Width inside at the rim (empty for rounds)",
    "bottom_length": "Length or diameter inside at the bottom",
    "bottom_width": "Width inside at the bottom (empty for rounds)",
    "depth": "Depth inside (in the unit below)",
    "corner": "Radius of the upright corners (0 for sharp ones)",
    "tube_top": "Diameter of the tube at the rim (tube pans)",
    "tube_bottom": "Diameter of the tube at the bottom (tube pans)",
    "wells": "Wells in the tin (1 for a plain pan)",
    "unit": "Unit",
    "nominal": "Size as the shop calls it (optional)",
    # ingredients
    "group": "Group",
    "measure": "A measure of it (like 1 cup or 100 ml)",
    "measure_g": "What that measure weighs (g)",
    "each_g": "What one piece weighs (g, if sold by the piece)",
    "yield_pct": "How much of it can be eaten (%)",
    "allergens": "Allergens (semicolons between; read every label)",
    "water": "Water (g in 100 g)",
    "protein": "Protein (g in 100 g)",
    "fat": "Fat (g in 100 g)",
    "carbohydrate": "Carbohydrate with fibre (g in 100 g)",
    "fibre": "Fibre (g in 100 g)",
    "ash": "Ash (g in 100 g)",
    "composition_source": "Source of the composition (its short name)",
    # prices
    "ingredient": "Ingredient (several from one package: semicolons between)",
    "item": "What it is",
    "amount": "What the package holds (like 5 lb, 1 l or 12 each)",
    "price": "Price of the whole package (like 2.79, or free)",
    "currency": "Currency (three letters, like USD)",
    "place": "Where",
    "date": "Day (year-month-day)",
    "pieces": "Pieces in the package",
    "weight": "Weight of the package (like 240 g)",
    "fuel": "Fuel",
    "per": "Price is for one",
    # bake log
    "oven": "Which oven",
    "pan": "Pan (its short name or name)",
    "volume": "Batter in one pan or well (like 535 ml or 2 1/4 cups)",
    "set": "The oven's dial said (like 350 F or 175 C)",
    "real": "The thermometer inside said (optional)",
    "minutes": "Minutes to done",
    # class results
    "station": "Station",
    "flavour": "Flavour or recipe (optional)",
    "done": "Was it done? (empty: yes)",
    # keeping
    "product": "What is kept",
    "low": "At least (in the unit below; optional)",
    "high": "At most (in the unit below)",
    "about": "About safety or about quality",
    # swaps
    "out": "Instead of (short name of the ingredient)",
    "of": "How much of it is replaced (like 1 each or 100 g)",
    "put": "Put (name: amount; semicolons between)",
    "most_pct": "At most this part of it (%)",
    "does": "What it does to the batter",
    "fails": "Where it fails",
    # recipes
    "servings": "Servings",
    "serving": "One serving is (like one muffin)",
    "density": "The raw batter weighs (like 1.03 g/ml; optional)",
    "basis": "That weight is stated or measured",
}
_HERE = {
    ("recipe", "ingredient"): "Ingredient (a name from your ingredients)",
    ("recipe", "amount"): "Amount (like 1 1/2 cups or 200 g)",
    ("keeping", "place"): "Where it is kept",
    ("keeping", "source"): "Source (its short name)",
    ("class-results", "oven"): "Which oven",
    ("class-results", "minutes"): "Minutes to done, or until it came out (empty: not timed)",
    ("class-results", "ingredient"): "What was bought (its short name; optional)",
    ("class-results", "place"): "Which shop",
    ("pans", "unit"): "Unit of the lengths",
    ("pans", "name"): "Name of the pan",
    ("swaps", "kind"): "What kind of ingredient",
}


def field_words(table: str, column: str) -> str:
    """What a field is called.

    Parameters
    ----------
    table : str
        Name of the table, or ``"recipe"``.
    column : str
    """
    words = _HERE.get((table, column)) or _WORDS.get(column)
    return words or column.replace("_", " ").capitalize()
