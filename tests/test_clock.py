"""Times of day, as they were written."""

import pytest

from kitchenkit import language
from kitchenkit.clock import Clock
from kitchenkit.errors import KitchenError


@pytest.mark.parametrize(
    ("start", "minutes", "said"),
    [
        ("18:00", 0, "18:00"),
        ("18:00", 25.4, "18:25"),
        ("9:30", 45, "10:15"),
        ("9", 0, "09:00"),
        ("23:50", 20, "00:10"),
        ("00:05", -10, "23:55"),
        ("6:00 pm", 61, "7:01 pm"),
        ("6pm", 0, "6:00 pm"),
        ("11:30 a.m.", 45, "12:15 pm"),
        ("12 am", 5, "12:05 am"),
        ("6:30 p. m.", 30, "7:00 pm"),
        ("9:15 a.\N{NO-BREAK SPACE}m.", 0, "9:15 am"),
        ("12:00 PM", 0, "12:00 pm"),
    ],
)
def test_the_clock(start, minutes, said):
    assert Clock(start).at(minutes) == said


def test_the_clock_reads_what_it_says_in_another_language():
    with language.speaking("es_US"):
        said = Clock("6:00 pm").at(61)
        assert said == "7:01 p. m."
        assert Clock(said).at(0) == said
    assert Clock(said).at(0) == "7:01 pm"


@pytest.mark.parametrize("start", ["", "soon", "25:00", "18:60", "13 pm", "0 am", "6:5", None])
def test_no_time_of_day(start):
    with pytest.raises(KitchenError, match="no time of day"):
        Clock(start)
