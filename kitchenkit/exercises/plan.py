"""Questions of lesson 08: what a portion may cost, when a trip has paid for itself, what waits."""

from __future__ import annotations

import math

from kitchenkit.exercises.numbers import Numbers
from kitchenkit.exercises.question import Question, Slip
from kitchenkit.language import num, tr
from kitchenkit.units import Q


def ask(kit, numbers: Numbers) -> list[Question]:
    """The lesson's questions with these numbers."""
    return [_may_cost(numbers), _paid_back(numbers), _waits(numbers)]


def _may_cost(numbers: Numbers) -> Question:
    eaters = numbers.pick("eaters", 3, (2, 4, 5, 6))
    dollars = numbers.pick("budget", 30, (20, 24, 28, 32, 36, 44))
    each, weeks = 5, 4
    portions = eaters * each * weeks
    cents = 100 * dollars / portions
    return Question(
        "may-cost",
        tr(
            "{eaters} people each eat {each} portions a week. For {weeks} weeks there are "
            "{dollars} dollars. What may one portion cost?",
            eaters=eaters,
            each=each,
            weeks=weeks,
            dollars=dollars,
        ),
        Q(cents, "dimensionless"),
        ("cents",),
        tr("Count the portions of all the weeks, turn dollars into cents, and divide."),
        tr(
            "{eaters} × {each} × {weeks} = {portions} portions; {money} ÷ {portions} = "
            "{cents} cents.",
            eaters=eaters,
            each=each,
            weeks=weeks,
            portions=portions,
            money=num(100 * dollars),
            cents=num(cents, ".1f"),
        ),
        (
            Slip(
                Q(cents * weeks, "dimensionless"),
                tr("That spends all of it in one week. It has to last for all of them."),
            ),
        ),
    )


def _paid_back(numbers: Numbers) -> Question:
    trip = numbers.pick("trip", 3600, (2400, 2700, 3000, 3300, 4200, 4500))
    # None goes into a trip without a rest, so that something is left to round up.
    snack = numbers.pick("snack", 155, (95, 115, 130, 145, 170, 185))
    many = math.ceil(trip / snack)
    return Question(
        "paid-back",
        tr(
            "Your first shopping takes {dollars} dollars. The shop's snack costs {snack} cents. "
            "After how many portions has it paid for itself?",
            dollars=num(trip / 100, "g"),
            snack=snack,
        ),
        Q(many, "each"),
        ("portions",),
        tr("Find how many of the shop's snacks cost as much as your shopping, and round up."),
        tr(
            "{trip} ÷ {snack} = {times}, rounded up = {many} portions.",
            trip=num(trip),
            snack=snack,
            times=num(trip / snack, ".2f"),
            many=many,
        ),
        (
            Slip(
                Q(trip / 100 * snack / 100, "each"),
                tr("You multiplied. How often does the snack's price go into the shopping?"),
            ),
            Slip(
                Q(trip // snack, "each"),
                tr("After so many a little of it is still to be paid. Round up."),
            ),
        ),
        right=0.005,
        nearly=0.12,
    )


def _waits(numbers: Numbers) -> Question:
    paid = numbers.pick("paid", 50, (40, 44, 48, 52, 56, 60))
    used = numbers.pick("used", 18, (12, 13, 14, 15, 16, 17))
    share = 100 * (paid - used) / paid
    return Question(
        "waits",
        tr(
            "You paid {paid} dollars at the till, and {used} dollars of it went into what was "
            "baked. What part of your money waits in the cupboard?",
            paid=paid,
            used=used,
        ),
        Q(share, "dimensionless"),
        ("percent",),
        tr("Take what was used from what was paid, and compare the rest with all that was paid."),
        tr(
            "{paid} − {used} = {rest} dollars; {rest} ÷ {paid} × 100 = {share} percent.",
            paid=paid,
            used=used,
            rest=paid - used,
            share=num(share, ".1f"),
        ),
        (
            Slip(
                Q(100 * used / paid, "dimensionless"),
                tr("That is the part that was used. The question asks for the rest."),
            ),
        ),
        right=0.015,
    )
