"""Money: exact, in one currency, read as people write it, rounded only when shown."""

from decimal import Decimal
from fractions import Fraction

import pytest
from babel.core import get_global
from babel.numbers import format_currency, get_currency_precision
from hypothesis import given
from hypothesis import strategies as st

from kitchenkit import language
from kitchenkit.errors import KitchenError
from kitchenkit.money import Money, MoneyError, read_currency, read_money, say_money

amounts = st.decimals(-(10**9), 10**9, places=4)


def usd(amount):
    return Money(amount, "USD")


# Reading -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "amount", "currency"),
    [
        ("3.49 USD", "3.49", "USD"),
        ("3,49 EUR", "3.49", "EUR"),
        ("$3.49", "3.49", "USD"),
        ("£3.49", "3.49", "GBP"),
        ("€ 3,49", "3.49", "EUR"),
        ("3,49 €", "3.49", "EUR"),
        ("USD 3.49", "3.49", "USD"),
        ("usd 3.49", "3.49", "USD"),
        ("$3.49 CAD", "3.49", "CAD"),
        ("CA$3.49", "3.49", "CAD"),
        ("70¢", "0.70", "USD"),
        ("1,250.00 USD", "1250", "USD"),
        ("1,250 USD", "1250", "USD"),
        ("1.250,50 EUR", "1250.50", "EUR"),
        ("1 250,50 EUR", "1250.50", "EUR"),
        ("1\N{NO-BREAK SPACE}250,50 EUR", "1250.50", "EUR"),
        ("1'250.50 CHF", "1250.50", "CHF"),
        ("1.250.000 EUR", "1250000", "EUR"),
        ("0,175 EUR", "0.175", "EUR"),
        (".99 USD", "0.99", "USD"),
        ("¥350", "350", "JPY"),
        ("  3.49   USD ", "3.49", "USD"),
        ("3 USD", "3", "USD"),
    ],
)
def test_a_price_is_read_as_people_write_it(text, amount, currency):
    found = read_money(text)
    assert found == Money(amount, currency)
    assert found.amount == Decimal(amount)


@pytest.mark.parametrize(
    ("text", "currency", "amount"),
    [
        ("3.49", "USD", "3.49"),
        ("3,49", "USD", "3.49"),
        ("$3.49", "CAD", "3.49"),
        ("free", "USD", "0"),
        ("FREE", "usd", "0"),
        (3, "USD", "3"),
        (3.49, "USD", "3.49"),
        (Decimal("3.49"), "USD", "3.49"),
    ],
)
def test_a_table_says_the_currency_where_the_price_does_not(text, currency, amount):
    assert read_money(text, currency) == Money(amount, currency)


@pytest.mark.parametrize(
    ("text", "currency", "mend"),
    [
        ("0", "USD", "a price of 0. Write the price, or free"),
        ("$0.00", None, "a price of 0"),
        ("-3.49", "USD", "below zero"),
        ("$-3.49", None, "below zero"),
        ("\N{MINUS SIGN}3.49", "USD", "below zero"),
        ("(3.49)", "USD", "below zero"),
        ("three dollars", "USD", "is not a price. Write it like 3.49"),
        ("", "USD", "is not a price"),
        ("$", None, "is not a price"),
        ("3.49", None, "names no currency"),
        ("free", None, "in which currency"),
        ("3.49 XXQ", None, "'XXQ' is no currency"),
        ("3.49", "dollars", "'dollars' is no currency"),
        ("$3.49/lb", None, "'/lb' is no currency"),
        ("£3.49", "USD", "is not in USD. Write one currency"),
        ("3.49 EUR", "USD", "is not in USD. Write one currency"),
        ("$3.49 GBP", None, "is not in GBP. Write one currency"),
        ("£3.49 EUR", None, "is not in EUR. Write one currency"),
        ("1.2.3", "USD", "is not one price"),
        ("1,25,00", "USD", "is not one price"),
        ("3.49 4.99", "USD", "is not one price"),
        ("9" * 400, "USD", "too large"),
        ("٣", "USD", "is not a price"),
        ("²", "USD", "is not a price"),
        ("nan", "USD", "is not a price"),
        (Money("3", "EUR"), "USD", "is not in USD"),
    ],
)
def test_what_is_no_price_is_told_with_its_mend(text, currency, mend):
    with pytest.raises(MoneyError, match=mend.replace("(", r"\(").replace(".", r"\.")) as caught:
        read_money(text, currency)
    assert len(str(caught.value)) < 200


@given(st.text(max_size=30), st.sampled_from([None, "USD", "JPY"]))
def test_any_text_is_a_price_above_zero_or_a_plain_error(text, currency):
    try:
        found = read_money(text, currency)
    except KitchenError:
        return
    assert found.amount > 0 or text.strip().casefold() == "free"


@given(st.decimals("0.01", 10**6, places=2))
def test_what_is_shown_is_read_back(amount):
    for currency, locale in (("USD", "en_US"), ("GBP", "en_GB"), ("EUR", "de_DE")):
        money = Money(amount, currency)
        assert read_money(say_money(money, locale)) == money


@given(st.decimals("0.01", 10**6, places=2), st.sampled_from(["es_US", "es_ES"]))
def test_what_is_shown_in_spanish_is_read_back(amount, locale):
    for currency in ("USD", "EUR", "GBP", "CAD", "MXN"):  # all with two digits after the point
        money = Money(amount, currency)
        assert read_money(say_money(money, locale)) == money
        assert read_money(say_money(money, locale), currency) == money
        with language.speaking(locale):
            assert str(money) == say_money(money, locale)


def test_spanish_writes_money_as_its_country_does():
    money = usd("1234.5")
    assert say_money(money, "es_US") == format_currency(1234.5, "USD", locale="es_US")
    assert say_money(money, "es_ES") == format_currency(1234.5, "USD", locale="es_ES")
    assert [say_money(money, name) for name in ("es_US", "es_ES")] == [
        "$1,234.50",
        "1.234,50\N{NO-BREAK SPACE}US$",
    ]


def test_three_digits_after_a_comma_are_the_one_thing_that_does_not_come_back():
    """A unit price, which nobody types: 3,490 are thousands to most readers."""
    assert say_money(usd("3.49"), "es_ES", digits=3) == "3,490\N{NO-BREAK SPACE}US$"
    assert read_money("3,490 US$") == usd(3490)
    assert read_money("0,184 US$") == usd("0.184")


def test_faults_are_told_in_the_reader_s_language():
    with language.speaking("es_ES"), pytest.raises(MoneyError, match="no es un precio") as caught:
        read_money("tres", "USD")
    assert "3,49" in str(caught.value)


# Sums --------------------------------------------------------------------------------------------


def test_a_tenth_and_two_tenths_are_three_tenths():
    assert usd("0.1") + usd("0.2") == usd("0.3")
    assert usd(0.1) + usd(0.2) == usd("0.3")
    assert sum([usd("0.01")] * 100) == usd(1)


@given(amounts, amounts, st.integers(1, 1000))
def test_sums_are_exact_and_take_themselves_back(a, b, n):
    assert usd(a) + usd(b) - usd(b) == usd(a)
    assert usd(a) * n == sum([usd(a)] * n)
    assert -(usd(a) - usd(b)) == usd(b) - usd(a)
    assert (usd(a) < usd(b)) == (a < b)


def test_money_by_money_is_a_number_and_by_a_number_is_money():
    assert usd(3) / usd(2) == Decimal("1.5")
    assert usd(3) / 2 == 2 * usd("0.75") == usd("1.5")
    assert usd(1) * Fraction(1, 4) == usd("0.25")
    assert float(usd("1.25")) == 1.25
    assert not usd(0)
    assert abs(usd(-2)) == usd(2)
    assert repr(usd("3.50")) == "Money('3.50', 'USD')"


@pytest.mark.parametrize(
    "sum_up",
    [
        lambda a, b: a + b,
        lambda a, b: a - b,
        lambda a, b: a / b,
        lambda a, b: a < b,
        lambda a, b: a >= b,
        lambda a, b: sum([a, b]),
        lambda a, b: max(a, b),
    ],
)
def test_unlike_currencies_are_refused_in_plain_words(sum_up):
    with pytest.raises(MoneyError, match=r"(USD and EUR|EUR and USD) cannot be put together"):
        sum_up(usd(1), Money(1, "EUR"))
    assert usd(1) != Money(1, "EUR")


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: usd(1) + 1,
        lambda: usd(1) * usd(1),
        lambda: usd(1) / 0,
        lambda: usd(1) / usd(0),
        lambda: usd("abc"),
        lambda: usd(float("nan")),
        lambda: usd(float("inf")),
        lambda: usd(True),
        lambda: usd(None),
        lambda: Money(1, "XYQ"),
        lambda: usd(1) * "x",
    ],
)
def test_sums_that_mean_nothing_are_refused(wrong):
    with pytest.raises(MoneyError):
        wrong()


# Showing -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("amount", "currency", "shown"),
    [
        ("0.005", "USD", "$0.01"),
        ("0.015", "USD", "$0.02"),
        ("0.025", "USD", "$0.03"),
        ("0.0249999", "USD", "$0.02"),
        ("-0.005", "USD", "-$0.01"),
        ("-0.001", "USD", "$0.00"),
        ("1234.5", "USD", "$1,234.50"),
        ("2.5", "JPY", "¥3"),
        ("1.0005", "KWD", "KWD\N{NO-BREAK SPACE}1.001"),
    ],
)
def test_shown_half_up_to_the_currencys_minor_unit(amount, currency, shown):
    assert str(Money(amount, currency)) == shown


def test_each_reader_has_their_own_way_of_writing():
    money = Money("1234.5", "EUR")
    assert say_money(money, "de_DE") == "1.234,50\N{NO-BREAK SPACE}€"
    assert say_money(money, "en_IE") == "€1,234.50"
    assert say_money(usd("0.10333"), digits=4) == "$0.1033"
    with pytest.raises(MoneyError, match="Try en_US"):
        say_money(money, "klingon")


@given(amounts)
def test_two_digit_currencies_agree_with_the_librarys_own_formatting(amount):
    # Babel rounds half to even; both agree where nothing is left to round.
    whole = amount.quantize(Decimal("0.01"))
    for locale in ("en_US", "de_DE", "fr_FR"):
        expected = format_currency(abs(whole), "USD", locale=locale)
        assert say_money(usd(abs(whole)), locale) == expected


def minor(codes, digits):
    return dict.fromkeys(codes.split(), digits)


# ISO 4217, list one, minor units. Countries A to J read in a transcription of the table published
# 2018-08-29; the others from memory, unverified.
READ = {
    **minor("BIF CLP DJF GNF ISK KMF XAF XOF XPF", 0),
    **minor("BHD IQD", 3),
    "CLF": 4,
    **minor("AFN ALL CHF CNY EUR GBP HUF IDR IRR INR USD AUD CAD ILS", 2),
}
REMEMBERED = {
    **minor("JPY KRW PYG RWF UGX VND VUV", 0),
    **minor("JOD KWD LYD OMR TND", 3),
    **minor("MXN NOK PLN SEK ZAR", 2),
}


@pytest.mark.parametrize(("currency", "digits"), [*READ.items(), *REMEMBERED.items()])
def test_minor_units_are_those_of_iso_4217(currency, digits):
    assert Money(1, currency).digits == digits


@pytest.mark.parametrize("currency", REMEMBERED)
def test_remembered_minor_units_agree_with_a_second_table(currency):
    # Unicode CLDR, by way of Babel: where shops and ISO 4217 agree.
    assert get_currency_precision(currency) == REMEMBERED[currency]


def test_every_currency_can_be_shown():
    for currency in get_global("all_currencies"):
        shown = say_money(Money("12.3456", currency))
        assert "12" in shown
        assert read_currency(f" {currency.lower()} ") == currency
