"""Money as exact decimals with a currency: read as people write it, rounded only when shown."""

from __future__ import annotations

import copy
import re
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from functools import cache, lru_cache, total_ordering

from babel.core import Locale, UnknownLocaleError, get_global

from kitchenkit import language
from kitchenkit.errors import KitchenError, brief
from kitchenkit.language import as_written, tr

# Digits after the point of the currencies that have not two: ISO 4217, minor units (countries A
# to J read in a transcription of the table of 2018-08-29, the rest from memory, unverified). The
# digits that formatting libraries know follow what shops use, and differ for some currencies.
_MINOR_UNITS = {
    0: "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF",
    3: "BHD IQD JOD KWD LYD OMR TND",
    4: "CLF UYW",
}
_DIGITS = {code: digits for digits, codes in _MINOR_UNITS.items() for code in codes.split()}

# What stands beside a price -> the currencies that use it; alone it means the first.
_SIGNS = {
    "$": "USD CAD AUD NZD SGD HKD MXN ARS CLP COP BRL JMD TTD BSD BBD BZD FJD GYD LRD NAD TWD",
    "US$": "USD",
    "C$": "CAD",
    "CA$": "CAD",
    "A$": "AUD",
    "AU$": "AUD",
    "NZ$": "NZD",
    "HK$": "HKD",
    "S$": "SGD",
    "R$": "BRL",
    "£": "GBP GIP FKP SHP EGP",
    "€": "EUR",
    "¥": "JPY CNY",
    "₹": "INR",
    "₩": "KRW",
    "₦": "NGN",
    "₱": "PHP",
    "₫": "VND",
    "₪": "ILS",
    "₴": "UAH",
    "₺": "TRY",
    "₡": "CRC",
    "zł": "PLN",
    "kr": "SEK NOK DKK ISK",
    "¢": "USD CAD AUD NZD",
}
_USERS = {sign.upper(): codes.split() for sign, codes in _SIGNS.items()}
_LARGEST = Decimal(10) ** 12
_LONGEST = 500  # letters of a price


class MoneyError(KitchenError):
    """A price that cannot be read, or currencies that cannot be put together."""


def read_currency(code: str) -> str:
    """An ISO 4217 code in capitals.

    Raises
    ------
    MoneyError
        If there is no such currency.
    """
    found = code.strip().upper()
    if found not in get_global("all_currencies"):
        raise MoneyError(
            tr("{text} is no currency. Write its three letters, like USD or GBP.", text=brief(code))
        )
    return found


def as_decimal(number) -> Decimal:
    """A number as an exact decimal; a float as the shortest decimal that it stands for.

    Raises
    ------
    MoneyError
        If it is no finite number.
    """
    try:
        if isinstance(number, Fraction):
            value = Decimal(number.numerator) / Decimal(number.denominator)
        elif isinstance(number, bool):
            raise TypeError
        else:
            value = number if isinstance(number, Decimal) else Decimal(str(number))
    except (ArithmeticError, TypeError, ValueError):
        raise MoneyError(f"{number!r} is not a number.") from None
    if not value.is_finite():
        raise MoneyError(f"{number!r} is not a number that money can be.")
    return value


def measured(number) -> Decimal:
    """A measured float as the decimal that is meant: 14 digits, without the noise after them.

    Two eggs of 50 g are 99.99999999999999 g as floats, and half a cent would round the wrong way.
    """
    return as_decimal(f"{number:.14g}")


@total_ordering
@dataclass(frozen=True, repr=False)
class Money:
    """An amount of money, never rounded until it is shown.

    Attributes
    ----------
    amount : Decimal
        Given as a decimal, a whole number or text; a float counts as the decimal that it prints.
    currency : str
        ISO 4217 code.

    Raises
    ------
    MoneyError
        For an unknown currency; from +, -, comparison and division by other money, for two
        currencies.

    Examples
    --------
    >>> str(Money("173.89", "USD") / 200 * 8)
    '$6.96'
    """

    amount: Decimal
    currency: str

    def __post_init__(self):
        object.__setattr__(self, "amount", as_decimal(self.amount))
        object.__setattr__(self, "currency", read_currency(self.currency))

    def _of(self, other) -> Decimal:
        """The other's amount, if it is money of the same currency."""
        if not isinstance(other, Money):
            raise MoneyError(f"{other!r} is not money. Write it like Money('3.49', 'USD').")
        if other.currency != self.currency:
            raise MoneyError(
                tr(
                    "{one} and {other} cannot be put together. Write all prices in one currency.",
                    one=self.currency,
                    other=other.currency,
                )
            )
        return other.amount

    def __add__(self, other) -> Money:
        return Money(self.amount + self._of(other), self.currency)

    def __radd__(self, other) -> Money:
        # sum() starts at a bare 0.
        return self if isinstance(other, int) and other == 0 else self + other

    def __sub__(self, other) -> Money:
        return Money(self.amount - self._of(other), self.currency)

    def __neg__(self) -> Money:
        return Money(-self.amount, self.currency)

    def __abs__(self) -> Money:
        return Money(abs(self.amount), self.currency)

    def __mul__(self, number) -> Money:
        if isinstance(number, Money):
            raise MoneyError("Money times money means nothing. Multiply it by a number.")
        return Money(self.amount * as_decimal(number), self.currency)

    __rmul__ = __mul__

    def __truediv__(self, other):
        """Money by a number is money; money by money is a `Decimal`."""
        below = self._of(other) if isinstance(other, Money) else as_decimal(other)
        if not below:
            raise MoneyError(f"{self} cannot be divided by zero.")
        above = self.amount / below
        return above if isinstance(other, Money) else Money(above, self.currency)

    def __lt__(self, other) -> bool:
        return self.amount < self._of(other)

    def __bool__(self) -> bool:
        return bool(self.amount)

    def __float__(self) -> float:
        return float(self.amount)

    @property
    def digits(self) -> int:
        """How many digits its currency has after the point (ISO 4217)."""
        return _DIGITS.get(self.currency, 2)

    def rounded(self, digits: int | None = None) -> Money:
        """Half up, to the currency's own minor unit or to so many digits."""
        step = Decimal(1).scaleb(-(self.digits if digits is None else digits))
        return Money(self.amount.quantize(step, ROUND_HALF_UP), self.currency)

    def __str__(self) -> str:
        return say_money(self)

    def __repr__(self) -> str:
        return f"Money('{self.amount}', '{self.currency}')"


@cache
def _pattern(locale: str, digits: int):
    """The reader's way of writing money, with a number of digits of ours."""
    try:
        known = Locale.parse(locale)
    except (UnknownLocaleError, ValueError, TypeError):
        raise MoneyError(f"No way of writing is called {locale!r}. Try en_US or de_DE.") from None
    pattern = copy.copy(known.currency_formats["standard"])
    pattern.frac_prec = (digits, digits)
    return known, pattern


def say_money(money: Money, locale: str | None = None, digits: int | None = None) -> str:
    """Money as its reader writes it, rounded half up.

    Parameters
    ----------
    money : Money
    locale : str, optional
        Language and country: ``"en_US"``, ``"de_DE"``; those in use when left out.
    digits : int, optional
        After the point, for unit prices; the currency's own minor unit when left out.

    Raises
    ------
    MoneyError
        If there is no such locale.

    Examples
    --------
    >>> say_money(Money("1234.565", "USD")), say_money(Money("1234.5", "JPY"))
    ('$1,234.57', '¥1,235')
    """
    digits = money.digits if digits is None else digits
    known, pattern = _pattern(language.current() if locale is None else locale, digits)
    amount = money.rounded(digits).amount
    # Nothing is owed the other way once it rounds to nothing.
    amount = amount or abs(amount)
    shown = pattern.apply(amount, known, currency=money.currency, currency_digits=False)
    # Letters stand apart from digits, as the Unicode rules for currencies ask.
    return re.sub(r"(?<=[^\W\d_])(?=\d)|(?<=\d)(?=[^\W\d_])", "\N{NO-BREAK SPACE}", shown)


def read_money(text, currency: str | None = None) -> Money:
    """Read a price as people write it.

    Parameters
    ----------
    text : str, Money, int or Decimal
        ``"3.49"``, ``"3,49"``, ``"$3.49"``, ``"£3.49"``, ``"3.49 USD"``, ``"1,250.00"``,
        ``"70¢"``. A comma before exactly three digits groups thousands, unless the number starts
        with 0. ``"free"`` is a price of nothing; 0 is refused, as it is mostly a gap.
    currency : str, optional
        What a price without a sign is in, and what one with a sign must agree with. A sign alone
        means its best-known currency: ``$`` US dollars.

    Returns
    -------
    Money

    Raises
    ------
    MoneyError
        If it is no price, is below or at 0, or its currency is unknown, not said or another.
    """
    currency = read_currency(currency) if currency else None
    if isinstance(text, Money):
        if currency and text.currency != currency:
            raise MoneyError(_in_another(text, currency))
        return text
    return _read_price(str(text), currency)


@lru_cache(maxsize=4000)  # tables are read again after every change of one price
def _read_price(text: str, currency: str | None) -> Money:
    if len(text) > _LONGEST:
        raise MoneyError(_no_price(brief(text, 40)))
    tidy = " ".join(text.replace("\N{MINUS SIGN}", "-").split())
    text = text if len(text) <= 40 else text[:37] + "..."  # as errors show it
    if tidy.casefold() == "free":
        if currency is None:
            raise MoneyError(tr("Free, but in which currency? Write its three letters, like USD."))
        return Money(Decimal(0), currency)
    number = re.search(r"[.,]?\d(?:[\d., '’]*\d)?", tidy, re.A)
    if not number:
        raise MoneyError(_no_price(repr(text)))
    around = [tidy[: number.start()], tidy[number.end() :]]
    if re.search(r"-|\(.*\)", "".join(around)):
        raise MoneyError(tr("{text} is below zero. Write what is paid, above 0.", text=repr(text)))
    amount = _decimal(number[0], text)
    signs = [word.strip() for word in around if word.strip()]
    found = _currency(signs, currency, text)
    if "¢" in signs:
        amount /= 100
    if not amount:
        raise MoneyError(
            tr(
                "{text} is a price of 0. Write the price, or free for what costs nothing; what has "
                "no known price is left out.",
                text=repr(text),
            )
        )
    if amount > _LARGEST:
        too_large = tr("{text} is too large to be a price.", text=repr(text))
        raise MoneyError(f"{too_large} {_example()}")
    return Money(amount, found)


def _example() -> str:
    amount = as_written("3.49")
    return tr("Write it like {amount}, ${amount} or {amount} USD.", amount=amount)


def _no_price(text: str) -> str:
    said = tr("{text} is not a price.", text=text)
    return f"{said} {_example()}"


def _in_another(text, currency: str) -> str:
    return tr(
        "{text} is not in {currency}. Write one currency.", text=repr(text), currency=currency
    )


def _decimal(number: str, text: str) -> Decimal:
    """One number without its grouping."""
    plain = re.sub(r"(?<=\d)[ '’](?=\d{3}(?!\d))", "", number)
    if re.fullmatch(r"[1-9]\d{0,2}(,\d{3})+(\.\d+)?", plain):
        plain = plain.replace(",", "")
    elif re.fullmatch(r"\d{1,3}(\.\d{3})+,\d+|[1-9]\d{0,2}(\.\d{3}){2,}", plain):
        plain = plain.replace(".", "").replace(",", ".")
    elif re.fullmatch(r"\d*[.,]\d+|\d+", plain):
        plain = plain.replace(",", ".")
    else:
        not_one = tr("{text} is not one price.", text=repr(text))
        raise MoneyError(f"{not_one} {_example()}")
    return Decimal(plain)


def _currency(signs: list[str], currency: str | None, text: str) -> str:
    """The one currency that the signs around a price and the table agree on."""
    users = [_USERS.get(sign.upper()) or [read_currency(sign)] for sign in signs]
    if currency is None and not users:
        nothing_named = tr("{text} names no currency.", text=repr(text))
        raise MoneyError(f"{nothing_named} {_example()}")
    # Of "$3.49 CAD" the letters decide, not the sign.
    found = currency or min(users, key=len)[0]
    if not all(found in codes for codes in users):
        raise MoneyError(_in_another(text, found))
    return found
