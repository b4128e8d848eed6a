"""Reading amounts as cooks write them: what is taken, what is refused, and why."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitchenkit.errors import KitchenError, MeasureError
from kitchenkit.units import Q, read_measure, read_number, registry, si

WRITTEN = [
    # fractions in every spelling
    ("2 1/2 cups", 2.5, "cup"),
    ("2½ cups", 2.5, "cup"),
    ("2 ½ cups", 2.5, "cup"),
    ("1-1/2 cups", 1.5, "cup"),
    ("1–1/2 cups", 1.5, "cup"),
    ("1 and 1/2 cups", 1.5, "cup"),
    ("1\N{NO-BREAK SPACE}1/2 cups", 1.5, "cup"),
    ("3\N{FRACTION SLASH}4 cup", 0.75, "cup"),
    ("1 / 2 cup", 0.5, "cup"),
    ("⅔ cup", 2 / 3, "cup"),
    ("1⅞ cups", 1.875, "cup"),
    # decimals and thousands
    (".5 cup", 0.5, "cup"),
    ("1.5 kg", 1.5, "kilogram"),
    ("1,5 kg", 1.5, "kilogram"),
    ("0,250 kg", 0.25, "kilogram"),
    ("1,250 g", 1250, "gram"),
    ("1 250 g", 1250, "gram"),
    ("1.250,5 g", 1250.5, "gram"),
    ("1,250.5 g", 1250.5, "gram"),
    # words
    ("a pinch", 1, "pinch"),
    ("half a cup", 0.5, "cup"),
    ("a half cup", 0.5, "cup"),
    ("one and a half cups", 1.5, "cup"),
    ("two and a half cups", 2.5, "cup"),
    ("a third of a cup", 1 / 3, "cup"),
    ("a quarter cup", 0.25, "cup"),
    # units
    ("350g", 350, "gram"),
    ("12 OZ", 12, "ounce"),
    ("2 lbs", 2, "pound"),
    ("500 ML", 500, "milliliter"),
    ("1 L", 1, "liter"),
    ("2 dl", 2, "deciliter"),
    ("1 T", 1, "tablespoon"),
    ("1 t", 1, "teaspoon"),
    ("1 Tbsp.", 1, "tablespoon"),
    ("3 TSP", 3, "teaspoon"),
    ("1c", 1, "cup"),
    ("8 fl oz", 8, "fluid_ounce"),
    ("8 fl. oz.", 8, "fluid_ounce"),
    ("8 fluid ounces", 8, "fluid_ounce"),
    ("1 imperial pint", 1, "imperial_pint"),
    ("1 metric cup", 1, "metric_cup"),
    ("1 stick", 0.5, "cup"),
    ('9"', 9, "inch"),
    ("23 cm", 23, "centimeter"),
    # pieces
    ("3", 3, "each"),
    ("3 each", 3, "each"),
    ("3 large eggs", 3, "each"),
    ("half a dozen eggs", 6, "each"),
    ("a dozen", 12, "each"),
    # sums
    ("1 cup + 2 tbsp", 1.125, "cup"),
    ("1 cup plus 2 tbsp", 1.125, "cup"),
    ("1 lb 4 oz", 20, "ounce"),
    ("4 lb 5 1/2 oz", 69.5, "ounce"),
    ("2 1/4 tsp + 1/8 tsp + 1 pinch", 2.4375, "teaspoon"),
    ("0 cups", 0, "cup"),
]


# Whatever language the kit speaks, Spanish is read.
SPANISH = [
    ("2 tazas", 2, "cup"),
    ("una taza", 1, "cup"),
    ("media taza", 0.5, "cup"),
    ("taza y media", 1.5, "cup"),
    ("2 tazas y media", 2.5, "cup"),
    ("dos tazas y media", 2.5, "cup"),
    ("dos y media tazas", 2.5, "cup"),
    ("1 taza y 1/4", 1.25, "cup"),
    ("1 taza y media cucharada", 1 + 0.5 / 16, "cup"),
    ("1 1/2 tazas + 2 cdas", 1.625, "cup"),
    ("un cuarto de taza", 0.25, "cup"),
    ("3 cuartos de taza", 0.75, "cup"),
    ("dos tercios de taza", 2 / 3, "cup"),
    ("un octavo de cdta", 1 / 8, "teaspoon"),
    ("1 taza métrica", 250, "milliliter"),
    ("2 cdas.", 2, "tablespoon"),
    ("1 cucharada rasa", 1, "tablespoon"),
    ("1 1/2 cdtas", 1.5, "teaspoon"),
    ("1 cdita", 1, "teaspoon"),
    ("1/4 cucharadita", 0.25, "teaspoon"),
    ("1 pizca", 1 / 16, "teaspoon"),
    ("1 barra", 0.5, "cup"),
    ("un cuarto", 1, "quart"),
    ("2 cuartos", 2, "quart"),
    ("1 galón", 4, "quart"),
    ("2 onzas líquidas", 2, "fluid_ounce"),
    ("1,5 litros", 1.5, "liter"),
    ("un litro y medio", 1.5, "liter"),
    ("250 mililitros", 250, "milliliter"),
    ("500 gramos", 500, "gram"),
    ("un kilo", 1, "kilogram"),
    ("un cuarto de kilo", 250, "gram"),
    ("media libra", 8, "ounce"),
    ("1 libra y 4 onzas", 20, "ounce"),
    ("8 onzas", 8, "ounce"),
    ("9 pulgadas", 9, "inch"),
    ("8 1/2 pulg", 8.5, "inch"),
    ("23 centímetros", 23, "centimeter"),
    ("5000 pies", 5000, "foot"),
    ("3 huevos grandes", 3, "each"),
    ("3 piezas", 3, "each"),
    ("una docena", 12, "each"),
    ("media docena de huevos", 6, "each"),
]


@pytest.mark.parametrize(("text", "number", "unit"), SPANISH)
def test_what_cooks_write_in_spanish_is_read(text, number, unit):
    assert read_measure(text).m_as(unit) == pytest.approx(number, rel=1e-12)
    assert read_measure(text.upper()).m_as(unit) == pytest.approx(number, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("2 o 3 tazas", "not exact"),
        ("unas 2 tazas", "not exact"),
        ("1 cda colmada", "not exact"),
        ("un chorrito", "not exact"),
        ("2 chorritos de leche", "not exact"),
        ("2 a 3 tazas", "two numbers"),
        ("1 a 2 tazas", "two numbers|not one amount"),
        ("taza", "no number"),
        ("1 taza de azúcar", "not a unit"),
        ("media taza y media", "two numbers|not one amount"),
    ],
)
def test_what_is_no_exact_amount_in_spanish_is_refused(text, why):
    with pytest.raises(MeasureError, match=why):
        read_measure(text)


def test_a_point_alone_is_a_decimal_point_in_every_language():
    assert read_number("1.987") == 1.987
    assert read_number("1.987,5") == 1987.5
    assert read_number("1,987") == 1987


@pytest.mark.parametrize(("text", "number", "unit"), WRITTEN)
def test_what_cooks_write_is_read(text, number, unit):
    assert read_measure(text).m_as(unit) == pytest.approx(number, rel=1e-12)


def test_the_unit_stays_the_one_written_first():
    assert str(read_measure("1 lb 4 oz").units) == "pound"


REFUSED = [
    ("", "empty"),
    ("   ", "empty"),
    ("cup", "no number"),
    ("-1 cup", "below zero"),
    ("\N{MINUS SIGN}1 cup", "below zero"),
    ("1 2 cups", "two numbers"),
    ("1 cup tbsp", "two units"),
    ("1 cup 20 g", "unlike"),
    ("2-3 cups", "not one amount"),
    ("2 to 3 cups", "not exact"),
    ("about 2 cups", "not exact"),
    ("1 heaping tsp", "not exact"),
    ("1 scant cup", "not exact"),
    ("1 blob", "not a unit"),
    ("1 cup sugar", "not a unit"),
    ("1e3 g", "not a unit"),
    ("nan g", "not a unit"),
    ("inf cups", "not a unit"),
    ("2² cups", "not one amount|not a unit"),
    ("1/0 cup", "divides by zero"),
    ("1 0/0 cups", "divides by zero"),
    ("1/2/3 cup", "not one amount"),
    ("=1+1", "not one amount"),
    ("1 cup;", "not one amount"),
    ("1 fl", "not an amount"),
    ("9" * 400 + " g", "too large"),
    ("9" * 400 + "/3 g", "too large"),
    ("9" * 5000 + "/3 g", "too large"),
    ("1 " + "9" * 400 + "/3 g", "too large"),
    ("999," * 200 + "999 g", "too large"),
    ("999." * 200 + "999,5 g", "too large"),
]


@pytest.mark.parametrize(("text", "why"), REFUSED, ids=[text[:12] for text, _ in REFUSED])
def test_what_is_no_exact_amount_is_refused_with_the_reason(text, why):
    with pytest.raises(MeasureError, match=why):
        read_measure(text)


@pytest.mark.parametrize("thing", [None, 5, 2.5, ["1 cup"], b"1 cup"])
def test_an_amount_is_text(thing):
    with pytest.raises(MeasureError, match="written as text"):
        read_measure(thing)


@given(st.text(max_size=40) | st.text("0123456789/.,½⅓ -+cuptsgkeach", max_size=25))
def test_any_text_is_read_or_plainly_refused(text):
    try:
        amount = read_measure(text)
    except MeasureError:
        return
    assert math.isfinite(amount.magnitude)
    assert amount.magnitude >= 0


UNITS = ["g", "kg", "oz", "lb", "ml", "l", "tsp", "tbsp", "cups", "fl oz", "sticks", "each", "in"]


@given(st.decimals(0, 1_000_000, places=4), st.sampled_from(UNITS))
def test_a_written_amount_reads_back(number, unit):
    assert read_measure(f"{number} {unit}").magnitude == pytest.approx(float(number), rel=1e-12)


@given(st.floats(0, 1e9), st.sampled_from(["gram", "milliliter", "cup", "pound", "each"]))
def test_what_a_quantity_prints_reads_back(number, unit):
    text = f"{number:.6f} {Q(1, unit).units}"
    assert read_measure(text).m_as(unit) == pytest.approx(number, abs=1e-6, rel=1e-9)


@given(st.integers(0, 99), st.integers(1, 15), st.integers(2, 16))
def test_mixed_numbers_read_as_whole_plus_part(whole, above, below):
    wanted = whole + above / below
    assert read_number(f"{whole} {above}/{below}") == pytest.approx(wanted)
    assert read_number(f"{whole}-{above}/{below}") == pytest.approx(wanted)
    assert read_number(f"-{whole} {above}/{below}") == pytest.approx(-wanted)


@given(st.integers(1000, 10**9))
def test_grouped_thousands_read_as_the_plain_number(number):
    assert read_number(f"{number:,}") == number


@pytest.mark.parametrize(
    "text", ["", "x", "1 cup", "1..2", "--1", "1/0", "1e5", "nan", "²", "1 2 3"]
)
def test_what_is_no_number_is_refused(text):
    with pytest.raises(MeasureError):
        read_number(text)


# The registry and the SI gate --------------------------------------------------------------------


def test_there_is_one_registry():
    assert registry() is registry()
    assert Q(1, "cup") + Q(1, "tablespoon") == Q(17, "tablespoon")


def test_units_print_as_cooks_write_them():
    assert f"{Q(1, 'cup'):~g}" == "1 cup"
    assert f"{Q(3, 'teaspoon'):~g}" == "3 tsp"


@pytest.mark.parametrize(
    ("value", "kind", "size"),
    [
        ("9 in", "length", 0.2286),
        ("5000 ft", "length", 1524),
        ("1 foot", "length", 0.3048),
        ("6 feet", "length", 1.8288),
        ("700 g", "mass", 0.7),
        ("250 ml", "volume", 250e-6),
        ("1.02 g/ml", "density", 1020),
        ("510 g / 500 ml", "density", 1020),
        ("3 eggs", "count", 3),
        (Q(2, "kg"), "mass", 2),
        (Q(0, "ml"), "volume", 0),
    ],
)
def test_si_gives_plain_sizes(value, kind, size):
    assert si(value, kind, "thing") == pytest.approx(size)


@pytest.mark.parametrize(
    ("value", "kind", "why"),
    [
        (5, "mass", "no unit"),
        (None, "mass", "no unit"),
        (True, "count", "no unit"),
        ("9 in", "mass", "not a mass"),
        ("1 cup", "mass", "1 cup is not a mass"),
        (Q(20, "degC"), "volume", "not a volume"),
        (Q(float("nan"), "g"), "mass", "0 or more"),
        (Q(float("inf"), "g"), "mass", "0 or more"),
        (Q(-1, "g"), "mass", "0 or more"),
        ("1.02", "density", "not a density"),
        ("1 g/0 ml", "density", "divides by zero"),
        ("1 cup/1 g", "density", "not a density"),
    ],
)
def test_si_refuses_what_is_no_such_thing(value, kind, why):
    with pytest.raises(MeasureError, match=why):
        si(value, kind, "thing")


def test_a_learner_sees_the_sentence_and_no_stack():
    error = KitchenError("Level the cup.")
    assert error._render_traceback_() == ["KitchenError: Level the cup."]
