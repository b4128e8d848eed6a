"""The table of keeping times against what is published, each with its source and how it was read.

"Read": in a stored copy or an excerpt of the page named. "Second hand": in pages that quote it.
"""

import datetime

import pytest

import kitchenkit as kk
from kitchenkit.kit import ALLERGENS

# Product, place, as published, source.
PUBLISHED = [
    # Extension column on freezing baked goods, Gainesville Times; read.
    ("quick bread", "freezer", "2 to 3 months", "extension-column"),
    ("muffins", "freezer", "6 to 12 months", "extension-column"),
    ("raw batter", "freezer", "not at all", "extension-column"),
    # North Carolina State University, Storing Bread and Baked Products, April 2020; read.
    ("muffins", "counter", "1 to 2 days", "ncsu-bread-2020"),
    ("quick bread", "fridge", "2 to 3 weeks", "ncsu-bread-2020"),
    ("quick bread", "freezer", "2 to 3 months", "ncsu-bread-2020"),
    # Safe Food Storage: The Refrigerator and Freezer, an extension guide; read in an excerpt.
    ("quick bread", "freezer", "2 months", "cold-storage-guide"),
    ("muffins", "freezer", "6 to 12 months", "cold-storage-guide"),
    ("yeast bread", "fridge", "2 to 3 weeks", "cold-storage-guide"),
    ("yeast bread", "freezer", "2 to 3 months", "cold-storage-guide"),
    ("sugar glazed", "freezer", "1 month", "cold-storage-guide"),  # frosted baked cakes
    ("raw batter", "freezer", "1 month", "cold-storage-guide"),  # unbaked cake batter
    # Food Storage Chart (room 70 °F, refrigerator 37 to 40 °F, freezer 0 °F); read in copies.
    ("muffins", "counter", "up to 3 days", "storage-chart"),
    ("quick bread", "freezer", "1 to 2 months", "storage-chart"),
    ("muffins", "freezer", "1 to 2 months", "storage-chart"),
    ("yeast bread", "counter", "3 to 5 days", "storage-chart"),
    ("yeast bread", "freezer", "3 months", "storage-chart"),
    # Table of how long bakery items last, on a trade page; read.
    ("cheese muffins", "counter", "up to 2 hours", "bakery-storage-table"),  # filled rolls
    ("cheese muffins", "fridge", "3 to 4 days", "bakery-storage-table"),
    ("cheese muffins", "freezer", "2 months", "bakery-storage-table"),
    ("yeast bread", "fridge", "7 to 14 days", "bakery-storage-table"),
    # University of Missouri Extension, freezing cakes, 2009; read.
    ("sugar glazed", "freezer", "2 to 4 months", "mu-cakes-2009"),  # shortened cakes
    # US Food and Drug Administration on cream cheese; second hand.
    ("cream cheese topped", "counter", "up to 2 hours", "fda-cream-cheese"),
    # Newspaper food columns; read.
    ("quick bread", "freezer", "up to 4 months", "food-columns"),
]


@pytest.mark.parametrize(("product", "place", "said", "source"), PUBLISHED)
def test_the_table_says_what_is_published(kit, product, place, said, source):
    (found,) = (time for time in kit.keeping[product].at(place) if time.source == source)
    assert found.said == said


def test_every_source_of_the_table_is_read_or_says_that_it_is_practice(kit):
    how = {kit.sources[time.source].how for product in kit.keeping.values() for time in product}
    assert how <= {"read", "practice"}


@pytest.mark.parametrize("product", ["quick bread", "muffins", "sugar glazed", "cheese muffins"])
def test_the_kit_never_goes_beyond_a_published_limit(kit, product):
    """Each limit counted apart, from the words as published, in months of 30 days."""
    day = datetime.date(2026, 11, 25)
    limits = [30 * int(s.split()[-2]) for p, place, s, _ in PUBLISHED
              if (p, place) == (product, "freezer")]  # fmt: skip
    found = kk.keep_by(kit, product, "freezer", day)
    assert (found.by - day).days == min(limits)


def test_the_allergens_are_the_nine_of_the_law():
    """FALCPA, Pub. L. 108-282 (2004): eight; the FASTER Act, Pub. L. 117-11 (2021): sesame."""
    eight = {"milk", "egg", "fish", "crustacean shellfish", "tree nuts", "wheat", "peanut", "soy"}
    assert set(ALLERGENS) == eight | {"sesame"}
    assert len(ALLERGENS) == 9
