"""Questions whose answers are worked out from the same kit, and the checking of what is typed."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

import pint

from kitchenkit.baking import bake_time
from kitchenkit.errors import KitchenError, MeasureError
from kitchenkit.pans import Pan
from kitchenkit.saying import say_both, say_fraction
from kitchenkit.units import Q, read_measure, read_number

# What the answer box offers → the registry's unit.
UNITS = {
    "g": "gram",
    "oz": "ounce",
    "lb": "pound",
    "ml": "milliliter",
    "cups": "cup",
    "tbsp": "tablespoon",
    "cm": "centimeter",
    "in": "inch",
    "pieces": "each",
    "wells": "each",
    "times": "dimensionless",
    "min": "minute",
    "hours": "hour",
    "cents": "dimensionless",
}


_SPOKEN_UNITS = {
    "x": "times",
    "time": "times",
    "well": "wells",
    "piece": "pieces",
    "minutes": "min",
    "minute": "min",
    "mins": "min",
    "hour": "hours",
}


@dataclass(frozen=True)
class Slip:
    """A wrong answer that many arrive at, and what to say to it."""

    answer: pint.Quantity
    say: str


@dataclass(frozen=True)
class Verdict:
    """What became of an answer: ``right``, ``nearly`` or ``again``, and why in plain words."""

    state: str
    say: str


@dataclass(frozen=True)
class Question:
    """One question with one answer.

    Attributes
    ----------
    key, ask : str
    answer : Quantity
    units : tuple of str
        Keys of `UNITS` that the box offers; the first is the usual one.
    hint, working : str
    slips : tuple of Slip
    right, nearly : float
        Relative distance within which an answer is right, or nearly so.
    """

    key: str
    ask: str
    answer: pint.Quantity
    units: tuple[str, ...]
    hint: str
    working: str
    slips: tuple[Slip, ...] = ()
    right: float = 0.02
    nearly: float = 0.10

    def check(self, written: str, unit: str) -> Verdict:
        """Judge an answer.

        Parameters
        ----------
        written : str
            A number in `unit`, or an amount with its own unit, such as ``"162 g"``.
        unit : str
            A key of `UNITS`.

        Returns
        -------
        Verdict

        Raises
        ------
        MeasureError
            If it cannot be read at all.
        """
        given = self._read(written, unit)
        if not given.check(self.answer.dimensionality):
            names = " or ".join(self.units)
            return Verdict("again", f"That measures something else. The answer is in {names}.")
        # Rounded, so that an answer on the very limit is not failed by the 16th digit.
        off = round(abs((given / self.answer).m_as("") - 1), 9)
        if off <= self.right or self._as_typed(written, unit):
            return Verdict("right", f"Right. {self.working}")
        for slip in self.slips:
            if abs((given / slip.answer).m_as("") - 1) <= self.right:
                return Verdict("again", slip.say)
        if off <= self.nearly:
            return Verdict("nearly", "Nearly: the way is right. Work it once more, rounding last.")
        way = "less" if given > self.answer else "more"
        return Verdict("again", f"Not yet: it is {way} than that. {self.hint}")

    def _as_typed(self, written: str, unit: str) -> bool:
        """Whether this is the answer rounded to the digits typed, as 1.8 oz is of 1.76 oz."""
        digits = re.fullmatch(r"\d*[.,](\d+)", written.strip())
        if not digits:
            return False
        exact = self.answer.m_as(UNITS[unit])
        places = len(digits[1])
        return round(exact, places) == round(read_number(written), places)

    def _read(self, written: str, unit: str) -> pint.Quantity:
        """A number in the box's unit, or one with a unit of its own: 162 g, 3 times, 3x."""
        if not written.strip():
            raise MeasureError("The box is empty. Type a number, like 12.5.")
        number, own = re.fullmatch(r"\s*(.*?)\s*([a-z]*)\.?\s*", written, re.I | re.S).groups()
        own = _SPOKEN_UNITS.get(own.casefold(), own.casefold())
        try:
            if own and own not in self.units:
                return read_measure(written)
            return Q(read_number(number), UNITS[own or unit])
        except MeasureError:
            return read_measure(written)


def questions(kit, lesson: str) -> list[Question]:
    """The questions of a lesson, worked out from this kit.

    Parameters
    ----------
    kit : Kit
    lesson : str
        Such as ``"01-measure"``.

    Raises
    ------
    KitchenError
        If there is no such lesson.
    """
    if lesson not in _LESSONS:
        raise KitchenError(f"No lesson {lesson!r} has questions. They are: {', '.join(_LESSONS)}.")
    return _LESSONS[lesson](kit)


def _base(kit):
    return kit.recipes["carrot-oat-base"]


def _welcome(kit) -> list[Question]:
    base, students, each = _base(kit), 16, 3
    pieces = students * each
    return [
        Question(
            "times",
            f"{students} students each take home {each} pieces. The base batter as written makes "
            f"{base.servings:.0f}. How many times the recipe do they need?",
            Q(pieces / base.servings, "dimensionless"),
            ("times",),
            "First count the pieces, then see how often one batter goes into them.",
            f"{students} × {each} = {pieces} pieces; {pieces} ÷ {base.servings:.0f} = "
            f"{pieces / base.servings:g}.",
            (
                Slip(
                    Q(students / base.servings, "dimensionless"),
                    f"That feeds each student one piece. They take {each} each.",
                ),
                Slip(
                    Q(base.servings / pieces, "dimensionless"),
                    "That is the fraction turned over: divide what you want by what you have.",
                ),
            ),
        )
    ]


def _measure(kit) -> list[Question]:
    oats = kit.ingredients["rolled oats"]
    packed, loose = kit.ingredients["brown sugar, packed"], kit.ingredients["brown sugar, unpacked"]
    cup, two_thirds = oats.weight("1 cup"), "2/3 cup"
    more = packed.weight(two_thirds) - loose.weight(two_thirds)
    return [
        Question(
            "oats",
            f"One cup of rolled oats weighs {cup.m_as('g'):.0f} g. A batter wants 2 1/2 cups. "
            "What do they weigh?",
            oats.weight("2 1/2 cups"),
            ("g", "oz"),
            "Multiply the weight of one cup by the number of cups.",
            f"2.5 × {cup.m_as('g'):.0f} g = {oats.weight('2 1/2 cups').m_as('g'):.1f} g.",
            (
                Slip(oats.weight("2 cups"), "That is 2 cups. There is half a cup more."),
                Slip(
                    Q(2.5 * 236.5882, "g"),
                    "That is what water would weigh. Oats are lighter: use what their cup weighs.",
                ),
            ),
        ),
        Question(
            "packing",
            f"A packed cup of brown sugar weighs {packed.weight('1 cup').m_as('g'):.0f} g, a loose "
            f"one {loose.weight('1 cup').m_as('g'):.0f} g. A recipe wants 2/3 cup packed and you "
            "pour it loose. How much sugar is missing?",
            more,
            ("g", "oz"),
            "Work out 2/3 of each cup, then take one from the other.",
            f"2/3 × ({packed.weight('1 cup').m_as('g'):.0f} − "
            f"{loose.weight('1 cup').m_as('g'):.0f}) g = {more.m_as('g'):.0f} g.",
            (
                Slip(
                    packed.weight("1 cup") - loose.weight("1 cup"),
                    "That is for a whole cup. The recipe wants 2/3 of one.",
                ),
            ),
        ),
    ]


def _scale(kit) -> list[Question]:
    base, wanted, carrot = _base(kit), 40, Q(700, "g")
    flour, has = base.line("all-purpose flour").weight, base.line("shredded carrot").weight
    factor = (carrot / has).m_as("")
    return [
        Question(
            "factor",
            f"The base batter makes {base.servings:.0f} pieces and you want {wanted}. "
            "How many times the recipe is that?",
            Q(wanted / base.servings, "dimensionless"),
            ("times",),
            "Divide what you want by what you have.",
            f"{wanted} ÷ {base.servings:.0f} = {wanted / base.servings:.3g}.",
            (
                Slip(
                    Q(base.servings / wanted, "dimensionless"),
                    "That is the fraction turned over: divide what you want by what you have.",
                ),
            ),
        ),
        Question(
            "use-up",
            f"You have {carrot.m_as('g'):.0f} g of shredded carrot to use up. The recipe takes "
            f"{has.m_as('g'):.0f} g of it with {flour.m_as('g'):.1f} g of flour. How much flour "
            "goes with all the carrot?",
            flour * factor,
            ("g", "oz", "lb"),
            "Find how many times the recipe's carrot you have, and take as many times its flour.",
            f"{carrot.m_as('g'):.0f} ÷ {has.m_as('g'):.0f} = {factor:.3f} times; {factor:.3f} × "
            f"{flour.m_as('g'):.1f} g = {(flour * factor).m_as('g'):.0f} g.",
            (
                Slip(
                    flour / factor,
                    "You divided by the factor. More carrot wants more flour: multiply.",
                ),
            ),
        ),
    ]


def _pans(kit) -> list[Question]:
    square = Pan.from_sizes("square", ("9 in", "9 in"), "2 in", name="9 × 9 × 2 in")
    base = _base(kit)
    well = next(pan for pan in kit.pans.values() if pan.kind == "muffin")
    one = well.capacity * 2 / 3
    wells = (base.volume / one).m_as("")
    return [
        Question(
            "square",
            "A pan is 9 inches square inside and 2 inches deep with upright walls. How much does "
            "it hold to the brim? (One cubic inch is 16.387 ml.)",
            square.capacity,
            ("ml", "cups"),
            "Length × width × depth gives cubic inches; then turn those into millilitres.",
            f"9 × 9 × 2 = 162 cubic inches; 162 × 16.387 = {square.capacity.m_as('ml'):,.0f} ml, "
            f"{say_fraction(square.capacity.m_as('cup'))} cups.",
            (
                Slip(Q(162, "ml"), "Those are cubic inches. Multiply by 16.387 for millilitres."),
                Slip(Q(81 * 16.387, "ml"), "That is one inch deep. The pan is two."),
            ),
        ),
        Question(
            "wells",
            f"The base batter is {say_both(base.volume)}. A muffin well holds "
            f"{say_both(well.capacity)} to the brim and is filled two-thirds. About how many wells "
            "does the batter fill?",
            Q(wells, "each"),
            ("wells",),
            "First find what goes into one well: two-thirds of what it holds.",
            f"2/3 × {well.capacity.m_as('ml'):.0f} = {one.m_as('ml'):.0f} ml a well; "
            f"{base.volume.m_as('ml'):.0f} ÷ {one.m_as('ml'):.0f} = {wells:.1f}.",
            (
                Slip(
                    Q(wells * 2 / 3, "each"),
                    "That fills them to the brim. Leave a third of each free to rise.",
                ),
            ),
            right=0.05,
            nearly=0.12,
        ),
    ]


def _bake(kit) -> list[Question]:
    loaf, square = kit.pans["loaf-8.5x4.5"], kit.pans["square-8"]
    model = round(bake_time(loaf, "535 ml").minutes.m_as("min"))
    other = round(bake_time(square, "535 ml").minutes.m_as("min"))
    yours = model + 6
    carried = other * yours / model
    return [
        Question(
            "carry-over",
            f"The model says {model} min for your loaf, and your oven took {yours}. For the same "
            f"batter in the {square.name} it says {other} min. What will your oven take?",
            Q(carried, "minute"),
            ("min", "hours"),
            "Find how many times the model's minutes your oven takes; take as many times these.",
            f"{yours} ÷ {model} = {yours / model:.2f}; {yours / model:.2f} × {other} = "
            f"{carried:.0f} min.",
            (
                Slip(
                    Q(other + 6, "minute"),
                    "You added the six minutes. A short bake is slowed by less: use the ratio.",
                ),
                Slip(
                    Q(other * model / yours, "minute"),
                    "Your oven is slower than the model, so it takes more, not less.",
                ),
            ),
            right=0.025,
        ),
        Question(
            "racks",
            "One rack of muffins takes 20 min. You bake two racks at once, and each further rack "
            "stretches the time by a tenth. What is the likeliest time?",
            Q(22, "minute"),
            ("min",),
            "A tenth of 20 minutes is added for the second rack.",
            "20 min × 1.1 = 22 min; swap the racks and turn the pans at 11 min.",
            (Slip(Q(40, "minute"), "Two racks bake at the same time: do not double it."),),
        ),
    ]


def _cost(kit) -> list[Question]:
    # Textbook sums with their own figures, so that no price of the tables can make them stale.
    unit, edible = 186 / 18, 10.6 / 0.75
    return [
        Question(
            "unit-price",
            "A box of 18 oz costs 186 cents. What does one ounce cost?",
            Q(unit, "dimensionless"),
            ("cents",),
            "Divide the price by the number of ounces.",
            f"186 ÷ 18 = {unit:.2f} cents an ounce.",
            (
                Slip(
                    Q(18 / 186, "dimensionless"),
                    "That is ounces for a cent. Turn the fraction over.",
                ),
            ),
        ),
        Question(
            "yield",
            "Carrots cost 10.6 cents an ounce as bought, and 75 % of them is left once they are "
            "peeled and trimmed. What does an ounce that you can use cost?",
            Q(edible, "dimensionless"),
            ("cents",),
            "You pay for the peel too: divide by the share that is left.",
            f"10.6 ÷ 0.75 = {edible:.1f} cents an ounce.",
            (
                Slip(
                    Q(10.6 * 0.75, "dimensionless"),
                    "That is less than you paid. What is thrown away makes the rest dearer.",
                ),
            ),
        ),
        Question(
            "serving",
            "A batch costs 294 cents and is cut into 16 pieces. What does one piece cost?",
            Q(294 / 16, "dimensionless"),
            ("cents",),
            "Divide the batch by the pieces, and round last.",
            f"294 ÷ 16 = {294 / 16:.3f}, about {294 / 16:.0f} cents.",
        ),
    ]


_LESSONS: dict[str, Callable] = {
    "00-welcome": _welcome,
    "01-measure": _measure,
    "02-scale": _scale,
    "03-pans": _pans,
    "04-bake": _bake,
    "05-cost": _cost,
}
