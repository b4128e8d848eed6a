"""Saying an amount in real tools: only tools there are, a small error, and words that read back."""

import re
from functools import cache
from unittest import mock

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitchenkit import language
from kitchenkit.errors import MeasureError
from kitchenkit.saying import Spoken, say_both, say_fraction, say_inches, say_measure
from kitchenkit.units import Q, read_measure

TSP, TBSP, CUP = 4.92892159375, 14.78676478125, 236.5882365  # ml, NIST SP 430

MEASURABLE = [
    ("1 cup", "1 cup"),
    ("1 1/4 cups", "1 1/4 cups"),
    ("2/3 cup", "2/3 cup"),
    ("7/8 cup", "3/4 cup + 2 tbsp"),
    ("1/8 cup", "2 tbsp"),
    ("5 tbsp + 1 tsp", "1/3 cup"),
    ("1 tbsp", "1 tbsp"),
    ("1 1/2 tsp", "1 1/2 tsp"),
    ("1/8 tsp", "1/8 tsp"),
    ("1 pinch", "1 pinch"),
    ("3/16 tsp", "1/8 tsp + 1 pinch"),
    ("5/8 tsp", "1/2 tsp + 1/8 tsp"),
    ("1 stick", "1/2 cup"),
    ("1000 cups", "1000 cups"),
    ("1 lb", "1 lb"),
    ("20 oz", "1 lb 4 oz"),
    ("3 1/2 oz", "3 1/2 oz"),
    ("1/8 oz", "1/8 oz"),
    ("3", "3"),
    ("2 1/4", "2 1/4"),
]


@pytest.mark.parametrize(("amount", "said"), MEASURABLE)
def test_what_a_cup_or_spoon_holds_is_said_exactly(amount, said):
    spoken = say_measure(amount)
    assert spoken == said
    assert spoken.error == pytest.approx(0, abs=1e-9)
    assert spoken.amount.m_as(read_measure(amount).units) == pytest.approx(
        read_measure(amount).magnitude
    )


@pytest.mark.parametrize(
    ("amount", "tools", "said"),
    [
        ("384 ml", "us", "1 1/2 cups + 2 tbsp"),
        ("250 ml", "metric", "250 ml"),
        ("1 l", "metric", "1,000 ml"),
        ("15 ml", "metric", "1 tbsp"),
        ("2.5 ml", "metric", "1/2 tsp"),
        ("452.6 g", "us", "1 lb"),
        ("1234.4 g", "metric", "1,234 g"),
        ("1234.6 g", "scale", "1,235 g"),
        ("1.6", "us", "1 1/2"),
    ],
)
def test_the_nearest_measurable_amount_is_said(amount, tools, said):
    assert say_measure(amount, tools) == said


@pytest.mark.parametrize(
    ("amount", "tools", "said"),
    [
        ("0.1 ml", "us", "less than a pinch"),
        ("0.1 ml", "metric", "less than a pinch"),
        ("1 g", "us", "less than 1/8 oz"),
        ("0.3 g", "scale", "less than 1 g"),
        ("0.1 each", "us", "less than 1/4"),
    ],
)
def test_too_little_for_any_tool_is_said_and_never_a_silent_zero(amount, tools, said):
    spoken = say_measure(amount, tools)
    assert spoken == said
    assert spoken.amount.magnitude == 0
    assert spoken.error == -1


@pytest.mark.parametrize(("amount", "said"), [("0 ml", "none"), ("0 g", "0 oz"), ("0 each", "0")])
def test_nothing_is_nothing_without_an_error(amount, said):
    spoken = say_measure(amount)
    assert spoken == said
    assert spoken.error == 0
    assert spoken.amount.magnitude == 0


@pytest.mark.parametrize(
    ("amount", "tools", "why"),
    [
        (5, "us", "no unit"),
        (None, "us", "no unit"),
        ("5 blobs", "us", "not a unit"),
        ("9 in", "us", "no volume, weight or count"),
        (Q(180, "degC"), "us", "no volume, weight or count"),
        (Q(-1, "cup"), "us", "0 or more"),
        (Q(float("nan"), "g"), "us", "0 or more"),
        (Q(float("inf"), "ml"), "us", "0 or more"),
        ("1 cup", "scale", "1 cup is a volume and a scale weighs"),
        ("1 cup", "imperial", "Choose us, metric or scale"),
    ],
)
def test_what_no_tool_measures_is_refused(amount, tools, why):
    with pytest.raises(MeasureError, match=why):
        say_measure(amount, tools)


def test_the_words_are_a_plain_string():
    spoken = say_measure("384 ml")
    assert isinstance(spoken, str)
    assert isinstance(spoken, Spoken)
    assert spoken + "!" == "1 1/2 cups + 2 tbsp!"


# Properties --------------------------------------------------------------------------------------

# A cup set has 1/4, 1/3, 1/2 (twice 1/3 and thrice 1/4 too); a spoon set 1/8 to 1 tsp and 1 tbsp.
US_PARTS = (
    r"(?:\d+(?: (?:1/4|1/3|1/2|2/3|3/4))?|1/4|1/3|1/2|2/3|3/4) cups?",
    r"[1-4] tbsp",
    r"(?:[12](?: (?:1/4|1/2|3/4))?|1/4|1/2|3/4) tsp",
    r"1/8 tsp",
    r"1 pinch",
)
METRIC_PARTS = (r"[\d,]*(?:00|25|50|75) ml", *US_PARTS[1:])


def finest_half(ml, tsp, tbsp):
    """Half of the finest spoon asked for: a pinch, then 1/8 tsp, then 1/4 tsp."""
    return tsp * (1 / 32 if ml < tbsp else 1 / 16 if ml < 3 * tbsp else 1 / 8)


def read_in(words, tsp, tbsp):
    """Millilitres of the words by spoons of this size, read apart from the kit's own reader."""
    total = 0.0
    for part in words.split(" + "):
        *number, unit = part.split()
        size = {"cup": CUP, "cups": CUP, "ml": 1, "tbsp": tbsp, "tsp": tsp, "pinch": tsp / 16}[unit]
        for piece in number:
            above, _, below = piece.replace(",", "").partition("/")
            total += float(above) / float(below or 1) * size
    return total


VOLUMES = st.floats(0.2, 20_000)
WITHIN = st.sampled_from([0.0, 0.005, 0.01, 0.05])


@pytest.mark.parametrize(
    ("tools", "parts", "tsp", "tbsp"),
    [("us", US_PARTS, TSP, TBSP), ("metric", METRIC_PARTS, 5.0, 15.0)],
)
@given(ml=VOLUMES, within=WITHIN)
def test_a_volume_is_said_with_real_tools_and_a_small_true_error(
    tools, parts, tsp, tbsp, ml, within
):
    spoken = say_measure(Q(ml, "ml"), tools, within)
    order = [
        next((n for n, tool in enumerate(parts) if re.fullmatch(tool, part)), None)
        for part in spoken.split(" + ")
    ]
    assert None not in order, f"{spoken} names a tool that no kitchen has"
    assert order == sorted(set(order)), f"{spoken} is not said from large to small"
    got = read_in(spoken, tsp, tbsp)
    assert spoken.amount.m_as("ml") == pytest.approx(got)
    assert spoken.error == pytest.approx(got / ml - 1, abs=1e-9)
    assert abs(got - ml) <= max(within * ml, finest_half(ml, tsp, tbsp)) * (1 + 1e-6)


@given(VOLUMES, WITHIN)
def test_us_words_read_back_as_the_amount_they_stand_for(ml, within):
    spoken = say_measure(Q(ml, "ml"), "us", within)
    assert read_measure(spoken).m_as("ml") == pytest.approx(spoken.amount.m_as("ml"))


LANGUAGES = ["es_US", "es_ES"]
_speech = cache(language._Speech)


def spoken_in(name):
    """A language for a while, without the panels of other tests following."""
    return mock.patch.object(language, "_speech", _speech(name))


@given(VOLUMES, WITHIN, st.sampled_from(LANGUAGES))
def test_spanish_words_read_back_as_the_same_amount_as_the_english(ml, within, name):
    english = say_measure(Q(ml, "ml"), "us", within)
    with spoken_in(name):
        spoken = say_measure(Q(ml, "ml"), "us", within)
    assert spoken.amount == english.amount
    assert not re.search(r"cup|tsp|tbsp|pinch", spoken)
    assert read_measure(spoken).m_as("ml") == pytest.approx(spoken.amount.m_as("ml"))


@given(st.floats(0.5, 999), st.sampled_from(["us", "scale"]), st.sampled_from(LANGUAGES))
def test_spanish_weights_read_back(grams, tools, name):
    with spoken_in(name):
        spoken = say_measure(Q(grams, "g"), tools)
    if spoken.amount.magnitude:
        assert read_measure(spoken).m_as("g") == pytest.approx(spoken.amount.m_as("g"))


@given(st.floats(1000, 100_000), st.sampled_from(LANGUAGES))
def test_thousands_read_back_but_for_a_point_before_three_digits_of_five_or_more(grams, name):
    with spoken_in(name):
        spoken = say_measure(Q(grams, "g"), "scale")
        read = read_measure(spoken).m_as("g")
    wanted = spoken.amount.m_as("g")
    pointed = name == "es_ES" and wanted >= 10_000
    assert read == pytest.approx(wanted / 1000 if pointed else wanted)


@given(st.floats(0.2, 500), st.sampled_from(LANGUAGES))
def test_spanish_inches_and_pieces_read_back(size, name):
    with spoken_in(name):
        inches, pieces = say_inches(Q(size, "inch")), say_measure(Q(size, "each"))
    assert abs(read_measure(inches).m_as("inch") - size) <= 1 / 16 + 1e-9
    assert read_measure(pieces) == pieces.amount


@pytest.mark.parametrize(
    ("quantity", "said"),
    [
        (Q(891, "ml"), "891 ml (3 3/4 tazas)"),
        (Q(1250, "ml"), "1250 ml (5 1/4 tazas)"),
        (Q(30, "ml"), "30 ml (2 cdas)"),
        (Q(4.6, "g"), "4,6 g (0,2 oz)"),
        (Q(9, "inch"), "22,9 cm (9 pulg)"),
    ],
)
def test_side_by_side_as_spain_writes_it(quantity, said):
    with spoken_in("es_ES"):
        assert say_both(quantity) == said


@given(st.floats(CUP, 50_000), st.sampled_from(["us", "metric"]))
def test_from_one_cup_up_the_error_is_at_most_one_percent(ml, tools):
    assert abs(say_measure(Q(ml, "ml"), tools).error) <= 0.01


@given(VOLUMES)
def test_what_was_said_is_measurable_and_said_without_error(ml):
    spoken = say_measure(Q(ml, "ml"), within=0)
    again = say_measure(spoken.amount, within=0)
    assert again.error == pytest.approx(0, abs=1e-6)
    assert again.amount.m_as("ml") == pytest.approx(spoken.amount.m_as("ml"))


@given(VOLUMES, st.sampled_from(["us", "metric"]))
def test_tolerance_never_asks_for_more_tools(ml, tools):
    strict, lenient = (say_measure(Q(ml, "ml"), tools, within) for within in (0, 0.02))
    assert lenient.count("+") <= strict.count("+")
    assert abs(strict.error) <= abs(lenient.error) + 1e-9


@given(st.floats(0.5, 100_000))
def test_grams_are_whole(grams):
    spoken = say_measure(Q(grams, "g"), "scale")
    assert re.fullmatch(r"[\d,]+ g", spoken)
    assert read_measure(spoken).m_as("g") == pytest.approx(spoken.amount.m_as("g"))
    assert abs(spoken.amount.m_as("g") - grams) <= 0.5 + 1e-9
    assert spoken.error == pytest.approx(spoken.amount.m_as("g") / grams - 1, abs=1e-9)


@given(st.floats(2, 100_000))
def test_ounces_are_halves_where_near_enough_and_else_finer(grams):
    spoken = say_measure(Q(grams, "g"), "us")
    assert re.fullmatch(r"([\d,]+ lb ?)?(\d+ ?)?(\d/[248] )?(oz)?", spoken)
    ounces = spoken.amount.m_as("oz")
    assert read_measure(spoken).m_as("oz") == pytest.approx(ounces)
    assert abs(ounces - grams / 28.349523125) <= max(0.01 * grams / 28.349523125, 1 / 16) + 1e-9
    assert ounces * 8 == pytest.approx(round(ounces * 8))


@given(st.floats(0.13, 1000))
def test_pieces_are_quarters(pieces):
    spoken = say_measure(Q(pieces, "each"))
    assert read_measure(spoken).m_as("each") == pytest.approx(spoken.amount.m_as("each"))
    assert abs(spoken.amount.m_as("each") - pieces) <= 0.125 + 1e-9


@given(st.floats(0, 1000))
def test_a_fraction_is_said_to_the_nearest_eighth_or_third(value):
    read = read_measure(say_fraction(value)).m_as("each")
    assert abs(read - value) <= 1 / 16 + 1e-9


# Two systems side by side ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("quantity", "said"),
    [
        (Q(891, "ml"), "891 ml (3 3/4 cups)"),
        (Q(238, "ml"), "238 ml (1 cup)"),
        (Q(1, "cup"), "237 ml (1 cup)"),
        (Q(1250, "ml"), "1,250 ml (5 1/4 cups)"),
        (Q(30, "ml"), "30 ml (2 tbsp)"),
        (Q(934, "g"), "934 g (2.1 lb)"),
        (Q(800, "g"), "800 g (28 oz)"),
        (Q(4.6, "g"), "4.6 g (0.2 oz)"),
        (Q(4.1, "cm"), "4.1 cm (1 5/8 in)"),
        (Q(9, "inch"), "22.9 cm (9 in)"),
    ],
)
def test_metric_and_us_side_by_side(quantity, said):
    assert say_both(quantity) == said


@pytest.mark.parametrize("thing", [Q(3, "each"), Q(180, "degC"), 5, None], ids=str)
def test_side_by_side_needs_a_volume_weight_or_length(thing):
    with pytest.raises(MeasureError):
        say_both(thing)
