"""Questions of the lessons: the kit's own answer is right, slips are met, nonsense is refused."""

import re

import pytest

from kitchenkit.errors import KitchenError, MeasureError
from kitchenkit.exercises import UNITS, Question, Slip, questions
from kitchenkit.places import shipped_folder
from kitchenkit.units import Q

LESSONS = ["00-welcome", "01-measure", "02-scale", "03-pans", "04-bake", "05-cost"]


@pytest.fixture(params=LESSONS)
def asked(request, kit):
    return questions(kit, request.param)


def written(quantity, unit):
    return f"{quantity.m_as(UNITS[unit]):.6g}"


def test_every_lesson_asks_something(asked):
    assert asked
    assert len({question.key for question in asked}) == len(asked)


def test_every_lesson_with_a_notebook_has_its_questions():
    notebooks = {path.stem for path in shipped_folder("lessons").glob("0*.ipynb")}
    assert notebooks == set(LESSONS)


def test_the_right_answer_is_right_in_every_unit_the_box_offers(asked):
    for question in asked:
        for unit in question.units:
            verdict = question.check(written(question.answer, unit), unit)
            assert verdict.state == "right", f"{question.key} in {unit}: {verdict}"
            assert question.working in verdict.say


def test_the_working_ends_in_the_answer(asked):
    for question in asked:
        numbers = re.findall(r"\d[\d,]*\.?\d*", question.working)
        values = [float(number.replace(",", "")) for number in numbers]
        right = [question.answer.m_as(UNITS[unit]) for unit in question.units]
        assert any(v == pytest.approx(r, rel=0.005, abs=0.05) for v in values for r in right)


def test_what_is_close_is_nearly_and_what_is_far_gets_a_hint(asked):
    for question in asked:
        unit = question.units[0]
        between = 1 + (question.right + question.nearly) / 2
        for factor in (between, 1 / between):
            slip_there = any(
                abs((question.answer * factor / slip.answer).m_as("") - 1) <= question.right
                for slip in question.slips
            )
            if not slip_there:
                verdict = question.check(written(question.answer * factor, unit), unit)
                assert verdict.state == "nearly", f"{question.key} × {factor}: {verdict}"
        far = question.check(written(question.answer * 37, unit), unit)
        assert far.state == "again"
        assert "less than that" in far.say
        assert question.hint in far.say
        assert "more than that" in question.check("0.0001", unit).say


def test_each_usual_slip_is_met_by_its_own_words(asked):
    for question in asked:
        for slip in question.slips:
            for unit in question.units:
                if slip.answer.check(question.answer.dimensionality):
                    verdict = question.check(written(slip.answer, unit), unit)
                    assert verdict.state == "again", f"{question.key}: {verdict}"
                    assert verdict.say == slip.say


def test_no_hint_gives_the_answer_away(asked):
    for question in asked:
        for unit in question.units:
            assert f"{question.answer.m_as(UNITS[unit]):.4g}" not in question.hint
            assert f"{question.answer.m_as(UNITS[unit]):.4g} {unit}" not in question.ask


def test_an_answer_may_bring_its_own_unit(kit):
    question = next(q for q in questions(kit, "01-measure") if q.key == "oats")
    assert question.check("202.5 g", "oz").state == "right"
    assert question.check("0,2025 kg", "g").state == "right"
    assert question.check("7.14", "oz").state == "right"
    assert question.check("202½", "g").state == "right"


@pytest.mark.parametrize(
    ("typed", "unit", "why"),
    [
        ("", "g", "empty"),
        ("   ", "g", "empty"),
        ("lots", "g", "not a unit"),
        ("1/0", "g", "divides by zero"),
        ("9" * 400, "g", "too large"),
        ("9" * 400 + "/3", "g", "too large"),
        ("1 2", "g", "two numbers"),
    ],
    ids=lambda value: str(value)[:12],
)
def test_what_cannot_be_read_says_so(kit, typed, unit, why):
    question = questions(kit, "01-measure")[0]
    with pytest.raises(MeasureError, match=why):
        question.check(typed, unit)


def test_another_kind_of_unit_is_told_as_such(kit):
    question = questions(kit, "01-measure")[0]
    verdict = question.check("2 cups", "g")
    assert verdict.state == "again"
    assert "measures something else" in verdict.say
    assert "g or oz" in verdict.say


def test_zero_and_below_are_wrong_and_no_crash(asked):
    for question in asked:
        assert question.check("0", question.units[0]).state == "again"
        assert question.check("-3", question.units[0]).state == "again"


def test_the_answer_follows_the_data(kit):
    question = next(q for q in questions(kit, "01-measure") if q.key == "oats")
    wanted = 2.5 * kit.ingredients["rolled oats"].weight("1 cup")
    assert question.answer.m_as("g") == pytest.approx(wanted.m_as("g"))


def test_a_lesson_without_questions_is_refused(kit):
    with pytest.raises(KitchenError, match="No lesson '99-tea' has questions"):
        questions(kit, "99-tea")


def test_limits_belong_to_the_better_side():
    slip = Slip(Q(50, "g"), "That is half.")
    question = Question("k", "How much?", Q(100, "g"), ("g",), "Hint.", "Working.", (slip,))
    assert question.check("102", "g").state == "right"
    assert question.check("109.9", "g").state == "nearly"
    assert question.check("111", "g").state == "again"
    assert question.check("50.9", "g").say == "That is half."
