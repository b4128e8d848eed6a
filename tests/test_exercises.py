"""Questions of the lessons: the kit's own answer is right, slips are met, nonsense is refused."""

import math
import os
import re
import subprocess
import sys

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kitchenkit.errors import KitchenError, MeasureError
from kitchenkit.exercises import LESSONS, UNITS, Question, Slip, code_word, questions
from kitchenkit.exercises.numbers import Numbers
from kitchenkit.places import shipped_folder
from kitchenkit.units import Q

# The class's numbers, and some learners'.
SEEDS = [None, "Tansy", 7]
seeds = st.integers() | st.text(min_size=1).filter(code_word)


@pytest.fixture(params=[(lesson, seed) for lesson in LESSONS for seed in SEEDS], ids=str)
def asked(request, kit):
    return questions(kit, *request.param)


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
        assert _ends_in_the_answer(question)


def _ends_in_the_answer(question):
    result = question.working[question.working.rindex("=") :]
    numbers = re.findall(r"\d[\d,]*\.?\d*", result)
    values = [float(number.replace(",", "")) for number in numbers]
    right = [question.answer.m_as(UNITS[unit]) for unit in question.units]
    return any(v == pytest.approx(r, rel=0.005, abs=0.05) for v in values for r in right)


def test_help_is_the_working_bit_by_bit(asked):
    for question in asked:
        covered = question.covered_working
        assert covered.endswith("= …")
        assert question.working.startswith(covered[:-2])
        result = question.working[len(covered) - 2 :].split()[0].rstrip(".,")
        assert result not in covered[covered.rfind("; ") :].split()
        if question.steps_count > 1:
            assert question.first_step == question.working.split("; ")[0] + "; …"
        else:
            assert question.first_step == covered


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
    ("lesson", "key", "typed", "state", "said"),
    [
        ("05-cost", "serving", "18", "right", "about 18 cents"),
        ("05-cost", "yield", "13.25", "again", "Divide by the share"),
        ("06-flavours", "squeeze", "175 g", "again", "of the water, not of the whole"),
        ("06-flavours", "squeeze", "12.5", "again", "No hand squeezes so hard"),
        ("07-freezer", "batches", "6", "again", "Round up"),
        ("08-plan", "paid-back", "23", "again", "Round up"),
    ],
)
def test_what_many_will_type_is_judged_as_a_teacher_would(kit, lesson, key, typed, state, said):
    question = next(q for q in questions(kit, lesson) if q.key == key)
    verdict = question.check(typed, question.units[0])
    assert verdict.state == state
    assert said in verdict.say


@pytest.mark.parametrize("typed", ["1.2", "1.3", "1.3x", "1.25 times"])
def test_of_a_half_up_and_down_are_right(typed):
    question = Question("k", "?", Q(1.25, "dimensionless"), ("times",), "Hint.", "5 ÷ 4 = 1.25.")
    assert question.check(typed, "times").state == "right"
    assert question.check("1.4", "times").state == "again"


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


# --- numbers of one's own -----------------------------------------------------------------------


@settings(max_examples=60)
@given(seed=seeds)
@pytest.mark.parametrize("lesson", LESSONS)
def test_any_learner_s_numbers_make_sensible_questions(kit, lesson, seed):
    common = questions(kit, lesson)
    own = questions(kit, lesson, seed)
    assert [question.key for question in own] == [question.key for question in common]
    for question, same in zip(own, common, strict=True):
        answer = question.answer.to_base_units().magnitude
        assert math.isfinite(answer)
        assert answer > 0
        # Of the size of the class's own, so nothing silly: no batter for one, nor for a regiment.
        assert 1 / 12 < (question.answer / same.answer).m_as("") < 12
        assert len(question.slips) == len(same.slips)
        assert "-" not in re.sub(r"[a-z]-[a-z]", "", question.ask)
        assert question.ask != same.ask
        for slip in question.slips:
            away = abs((slip.answer / question.answer).m_as("") - 1)
            assert away > 2 * question.right, f"{question.ask}: {slip.say}"
        for one, other in zip(question.slips, question.slips[1:], strict=False):
            assert abs((one.answer / other.answer).m_as("") - 1) > 2 * question.right
        for unit in question.units:
            assert question.check(written(question.answer, unit), unit).state == "right"
        assert _by_its_own_working(question).state == "right"


def _by_its_own_working(question):
    """Judge the number that the working ends in, as a learner would copy it."""
    result = question.working[question.working.rindex("=") + 1 :]
    number, after = re.fullmatch(r"\s*([\d,]*\.?\d+)(.*)", result).groups()
    named = [word for word in re.findall("[a-z]+", after) if word in UNITS]
    return question.check(number.replace(",", ""), (named or question.units)[0])


def test_a_name_is_the_same_however_it_is_written(kit):
    for lesson in LESSONS:
        mine = [q.ask for q in questions(kit, lesson, "Ana María")]
        for other in ("ana maría", " ANA  MARÍA ", "Ana Mari\u0301a"):
            assert [q.ask for q in questions(kit, lesson, other)] == mine
        assert [q.ask for q in questions(kit, lesson, 7)] == [
            q.ask for q in questions(kit, lesson, "7")
        ]


@pytest.mark.parametrize("seed", [None, "", "  "])
def test_no_name_means_the_class_s_numbers(kit, seed):
    for lesson in LESSONS:
        assert questions(kit, lesson, seed) == questions(kit, lesson)


def test_learners_get_different_numbers(kit):
    for lesson in LESSONS:
        asked = {tuple(q.ask for q in questions(kit, lesson, n)) for n in range(20)}
        assert len(asked) >= 8, lesson


def test_the_draw_is_the_same_in_every_run_and_fair():
    """Written down once: no computer, Python or order of calls may change a learner's numbers."""
    assert [Numbers("01-measure", "Tansy").pick("x", 0, range(1000)) for _ in range(2)] == [
        325,
        325,
    ]
    code = (
        "from kitchenkit.exercises.numbers import Numbers\n"
        "print(Numbers('01-measure', 'Tansy').pick('x', 0, range(1000)))"
    )
    for salt in ("1", "2"):
        run = subprocess.run(
            [sys.executable, "-c", code],
            env={**os.environ, "PYTHONHASHSEED": salt, "PYTHONPATH": os.pathsep.join(sys.path)},
            capture_output=True,
            text=True,
            check=True,
        )
        assert int(run.stdout) == 325
    drawn = [Numbers("a", n).pick("x", 9, range(10)) for n in range(900)]
    assert set(drawn) == set(range(9))
    assert all(70 < drawn.count(n) < 130 for n in range(9))
