"""File names made from any text: safe everywhere, never empty, keys of the data folder."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitchenkit.naming import file_name
from kitchenkit.tables import is_key

# Names that Windows keeps for itself, from memory, unverified.
PORTS = [f"{port}{n}" for port in ("com", "lpt") for n in range(10)]
DEVICES = ["con", "prn", "aux", "nul", *PORTS]


@given(st.text(max_size=300))
def test_any_text_gives_a_short_key_that_is_no_device(name):
    made = file_name(name)
    assert is_key(made)
    assert made.isascii()
    assert len(made) <= 60
    assert made not in DEVICES
    assert file_name(name) == made


@pytest.mark.parametrize(
    ("name", "made"),
    [
        ("carrot-and-oat base batter", "carrot-and-oat-base-batter"),
        ("../../etc/passwd", "etc-passwd"),
        ("C:\\Windows\\system.ini", "c-windows-system-ini"),
        ("<script>alert(1)</script>", "script-alert-1-script"),
        ("Käsekuchen & Äpfel", "kasekuchen-apfel"),
        ("Smørrebrød", "smorrebrod"),
        ("  .hidden. ", "hidden"),
        ("½ loaf", "1-2-loaf"),
        ("a\x00b", "a-b"),
    ],
)
def test_names_as_people_and_attackers_write_them(name, made):
    assert file_name(name) == made


@pytest.mark.parametrize("device", DEVICES)
def test_a_name_that_windows_keeps_is_not_used(device):
    assert file_name(device.upper()) == f"{device}-recipe"
    assert file_name(f" {device}.", otherwise="label") == f"{device}-label"


def test_names_without_a_latin_letter_stay_apart():
    made = {file_name(name) for name in ("морковный", "胡萝卜", "🥕", "", "...", "\udc80")}
    assert len(made) == 6
    assert all(name.startswith("recipe-") for name in made)


def test_a_name_in_use_gets_a_number_and_stays_short():
    assert file_name("loaf", taken=["loaf", "loaf-2"]) == "loaf-3"
    long = file_name("x" * 100)
    second = file_name("x" * 100, taken={long})
    assert (len(long), len(second), second[-2:]) == (60, 60, "-2")
