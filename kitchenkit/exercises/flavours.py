"""Questions of lesson 06: an add-in against the flour, water squeezed out, a dearer piece."""

from __future__ import annotations

from kitchenkit.exercises.numbers import Numbers
from kitchenkit.exercises.question import Question, Slip
from kitchenkit.language import num, tr
from kitchenkit.units import Q


def ask(kit, numbers: Numbers) -> list[Question]:
    """The lesson's questions with these numbers."""
    return [_percent(numbers), _squeeze(kit, numbers), _dearer(numbers)]


def _percent(numbers: Numbers) -> Question:
    flour = numbers.pick("flour", 250, (200, 240, 260, 280, 300, 320))
    raisins = numbers.pick("raisins", 90, (60, 70, 80, 110, 120, 130))
    share = 100 * raisins / flour
    return Question(
        "percent",
        tr(
            "A batter holds {flour} g of flour and milled oats, and you stir in {raisins} g of "
            "raisins. What is that in baker's percent?",
            flour=flour,
            raisins=raisins,
        ),
        Q(share, "dimensionless"),
        ("percent",),
        tr("Flour is 100. Divide the add-in by the flour, then multiply by 100."),
        tr(
            "{raisins} ÷ {flour} × 100 = {share} percent.",
            raisins=raisins,
            flour=flour,
            share=num(share, ".1f"),
        ),
        (
            Slip(
                Q(100 * raisins / (flour + raisins), "dimensionless"),
                tr(
                    "That is its share of flour and raisins together. Baker's percent compares "
                    "with the flour alone."
                ),
            ),
            Slip(
                Q(100 * flour / raisins, "dimensionless"),
                tr("That is the flour against the raisins. Turn the fraction over."),
            ),
        ),
    )


def _squeeze(kit, numbers: Numbers) -> Question:
    zucchini = kit.ingredients["chopped zucchini"]
    grams = numbers.pick("zucchini", 250, (200, 220, 240, 260, 280, 300, 350))
    third = numbers.pick("share", 30, (25, 35, 40))
    water = round(zucchini.composition["water"], 2)  # as the question says it
    out = grams * water * third / 100
    return Question(
        "squeeze",
        tr(
            "Shredded zucchini is {water} percent water. You squeeze {third} percent of the water "
            "out of {grams} g. What is left in the cloth?",
            water=num(100 * water, ".0f"),
            third=third,
            grams=grams,
        ),
        Q(grams - out, "g"),
        ("g", "oz"),
        tr("First find the water in it, then the part that you squeeze out; take that away."),
        tr(
            "{grams} g × {water} × {third} = {out} g squeezed out",
            grams=grams,
            water=num(water, ".2f"),
            third=num(third / 100, ".2f"),
            out=num(out, ".1f"),
        )
        + f"; {grams} − {num(out, '.1f')} = {num(grams - out, '.0f')} g.",
        (
            Slip(
                Q(out, "g"),
                tr("That is the water in the bowl. The question asks what is left."),
            ),
            Slip(
                Q(grams * (1 - water), "g"),
                tr("That would be all of its water gone. No hand squeezes so hard."),
            ),
            Slip(
                Q(grams * (1 - third / 100), "g"),
                tr("That share is of the water, not of the whole. First find the water in it."),
            ),
        ),
        right=0.008,
        nearly=0.08,
    )


def _dearer(numbers: Numbers) -> Question:
    grams = numbers.pick("cherries", 120, (80, 90, 100, 110, 130, 140))
    tenths = numbers.pick("tenths of a cent a gram", 14, range(9, 22))
    pieces = numbers.pick("pieces", 16, (12, 18, 20, 24))
    more = grams * tenths / 10 / pieces
    cents, every = num(tenths / 10, "g"), num(grams * tenths / 10, "g")
    return Question(
        "dearer",
        tr(
            "Dried cherries cost {cents} cents a gram. You add {grams} g to a batch of {pieces} "
            "pieces. How much dearer is one piece?",
            cents=cents,
            grams=grams,
            pieces=pieces,
        ),
        Q(more, "dimensionless"),
        ("cents",),
        tr("Find what all the cherries cost, and share that among the pieces."),
        "; ".join(
            (
                tr("{grams} × {cents} = {all} cents", grams=grams, cents=cents, all=every),
                tr(
                    "{all} ÷ {pieces} = {more} cents.",
                    all=every,
                    pieces=pieces,
                    more=num(more, ".1f"),
                ),
            )
        ),
        (
            Slip(
                Q(grams * tenths / 10, "dimensionless"),
                tr("That is the whole batch. Share it among the pieces."),
            ),
        ),
    )
