"""A learner's progress: kept whole through crashes, never lost, restored, and read as data only."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
import threading
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

import kitchenkit as kk
from kitchenkit.copies import STATE
from kitchenkit.errors import KitchenError
from kitchenkit.exercises import code_word, questions
from kitchenkit.places import DATA_VARIABLE, PACKAGE
from kitchenkit.progress import (
    FILE,
    LARGEST,
    Answered,
    NewerError,
    Progress,
    ProgressError,
    ProgressFile,
    own_progress,
    read_progress,
)

WHEN = "2026-11-20T18:30:00+00:00"


def one(**changes) -> Answered:
    return replace(
        Answered("01-measure", "oats", tries=2, typed="202.5", unit="g", at=WHEN), **changes
    )


@pytest.fixture
def learner(tmp_path, monkeypatch):
    """A learner's own folder, as the launcher makes it."""
    (tmp_path / "data").mkdir()
    (tmp_path / STATE).mkdir()
    monkeypatch.setenv(DATA_VARIABLE, str(tmp_path / "data"))
    return tmp_path


def answer(box, written: str) -> None:
    """Type into the box and press Enter."""
    box.answer._handle_custom_msg({"event": "submit"}, [])  # the browser tells of Enter first
    box.answer.value = written


# --- where it is kept ---------------------------------------------------------------------------


def test_without_a_learner_s_folder_nothing_is_kept(kit, monkeypatch, tmp_path):
    monkeypatch.delenv(DATA_VARIABLE, raising=False)
    assert own_progress() is None
    answer(kk.ask(kit, "01-measure", "oats"), "202.5")
    monkeypatch.setenv(DATA_VARIABLE, str(tmp_path / "data"))  # tables of one's own, no copies
    assert own_progress() is None
    answer(kk.ask(kit, "01-measure", "oats"), "202.5")
    assert list(tmp_path.iterdir()) == []


def test_an_answer_comes_back_with_its_verdict(kit, learner):
    box = kk.ask(kit, "01-measure", "oats")
    answer(box, "90")
    box.help()
    box.unit.value = "oz"
    answer(box, "7.14")
    again = kk.ask(kit, "01-measure", "oats")
    assert (again.answer.value, again.unit.value) == ("7.14", "oz")
    assert again.verdict == box.verdict
    assert again._said.value == box._said.value
    assert again._help.value == box._help.value
    assert again.record.tries == 2
    assert again.record.hints == 1
    assert again.record.solved
    assert kk.ask(kit, "01-measure", "packing").answer.value == ""
    assert sorted(path.name for path in learner.iterdir() if path.name[0] != ".") == ["data", FILE]


def test_the_verdict_is_judged_anew_and_not_believed(kit, learner):
    file = own_progress()
    file.put(one(typed="1", state="right", solved=True))
    assert kk.ask(kit, "01-measure", "oats").verdict.state == "again"
    file.put(one(typed="<b>x</b>", unit="furlong", state="right"))
    box = kk.ask(kit, "01-measure", "oats")
    assert box.verdict is None
    assert "<b>x" not in box._said.value


def test_a_name_gives_own_numbers_and_the_class_s_come_back(kit, learner):
    common = kk.ask(kit, "01-measure", "oats").question
    own_progress().introduce("  Tansy  of station 3 ", own=True)
    mine = kk.ask(kit, "01-measure", "oats")
    assert mine.question.ask == questions(kit, "01-measure", "tansy of STATION 3")[0].ask
    assert mine.question.ask != common.ask
    answer(mine, f"{mine.question.answer.m_as('g'):.6g}")
    own_progress().introduce("Tansy of station 3", own=False)
    back = kk.ask(kit, "01-measure", "oats")
    assert back.question.ask == common.ask
    assert back.answer.value == ""
    own_progress().introduce("Tansy of station 3", own=True)
    assert kk.ask(kit, "01-measure", "oats").verdict.state == "right"


def test_a_name_is_plain_and_short(learner):
    file = own_progress()
    file.introduce("Ana\x00\u202e\nMaria\ud800 ", own=False)
    assert file.read()[0].learner == "Ana Maria".replace(" ", "")
    file.introduce("Ana  Maria", own=False)
    assert file.read()[0].learner == "Ana Maria"
    with pytest.raises(KitchenError, match="at most 60"):
        file.introduce("a" * 61, own=False)
    with pytest.raises(KitchenError, match="type one first"):
        file.introduce("  ", own=True)
    file.introduce("\ufdfa" * 60, own=True)  # one letter that is spelled out as eighteen
    assert file.read()[1] == ""


@given(st.text(max_size=80))
def test_a_code_word_is_its_own(words):
    word = code_word(words)
    assert code_word(word) == word
    assert code_word(words.upper()) == word or words.upper().casefold() != words.casefold()


# --- tries and help -----------------------------------------------------------------------------


def test_enter_counts_what_was_typed_and_not_what_stood_there(kit):
    box = kk.ask(kit, "01-measure", "oats")
    answer(box, "90")
    answer(box, "91")
    assert box.record.tries == 2
    assert box.record.typed == "91"
    answer(box, "91")  # the same again: the browser sends no new text
    assert box.record.tries == 2
    box._entered -= 2  # seconds later
    box.answer.value = "92"  # left without Enter
    assert box.record.tries == 2
    answer(box, "some")
    answer(box, "")
    assert box.record.tries == 2, "what cannot be read is no try"
    answer(box, "202.5")
    answer(box, "90")
    assert box.record.tries == 3, "after the right one, playing is free"
    assert box.record.solved
    assert box.record.state == "again"


def test_help_comes_in_steps_and_the_answer_after_two_tries(kit):
    box = kk.ask(kit, "00-welcome", "times")
    question = box.question
    said = []
    assert box._show.disabled
    box.show_answer()
    assert not box._help.value
    for label in ("Hint", "Show the first step", "Show the working"):
        assert box._more.description == label
        box.help()
        said.append(box._help.value)
    assert box._more.disabled
    assert question.hint in said[0]
    assert "16 × 3 = 48 pieces; …" in said[1]
    assert "48 ÷ 16 = …" in said[2]
    assert question.working not in said[2]
    box.help()
    assert box.record.hints == 3
    answer(box, "9")
    assert box._show.disabled
    answer(box, "8")
    assert not box._show.disabled
    box.show_answer()
    assert question.working in box._help.value
    assert box.record.shown
    assert not box.record.solved


def test_a_working_of_one_step_has_one_step_of_it(kit):
    box = kk.ask(kit, "01-measure", "oats")
    box.help()
    box.help()
    assert "2.5 × 81 g = …" in box._help.value
    assert box._more.disabled


# --- never lost ---------------------------------------------------------------------------------


def test_written_and_read_are_the_same():
    progress = Progress(
        "Añá", "añá", {one().place: one(), ("a", "b", "c"): Answered("a", "b", "c", at=WHEN)}
    )
    assert read_progress(progress.written().encode()) == progress


# Writes in a child that is killed at a chance moment, fifty times; prints what each child said.
_KILLED = """
import json, os, random, signal, sys, time
from pathlib import Path
from kitchenkit.progress import Answered, ProgressFile
file, chance, rounds = ProgressFile(Path(sys.argv[1])), random.Random(25), []
for _ in range(50):
    heard, says = os.pipe()
    child = os.fork()
    if not child:
        count = 0
        while True:
            count += 1
            for lesson in ("01-measure", "02-scale"):
                file.put(Answered(lesson, "oats", tries=count % 900, typed=str(count)))
                os.write(says, b".")
    os.close(says)
    time.sleep(chance.uniform(0, 0.04))
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    with open(heard, "rb") as told:
        put = len(told.read())
    progress, notice = file.read()
    kept = {place[0]: int(one.typed) for place, one in progress.answers.items()}
    rounds.append([put, kept.get("01-measure", 0), kept.get("02-scale", 0), notice])
print(json.dumps([progress.learner, rounds]))
"""


@pytest.mark.skipif(not hasattr(os, "fork"), reason="no program is split and killed so here")
def test_killed_in_the_middle_fifty_times_nothing_is_lost(tmp_path):
    path = tmp_path / FILE
    ProgressFile(path).introduce("Tansy", own=True)
    run = subprocess.run(
        [sys.executable, "-c", _KILLED, str(path)],
        capture_output=True,
        text=True,
        cwd=PACKAGE.parent,
        check=False,
    )
    assert run.returncode == 0, run.stderr
    learner, rounds = json.loads(run.stdout)
    assert learner == "Tansy"
    assert len(rounds) == 50
    before = [0, 0]
    for put, first, second, notice in rounds:
        assert notice == ""
        # What was told to be kept is there; the one after it may have been, or may not.
        sure = [(put + 1) // 2, put // 2]
        after = [(put + 2) // 2, (put + 1) // 2]
        for found, least, most, held in zip((first, second), sure, after, before, strict=True):
            assert found in ({least, most} if least else {held, most})
        before = [first, second]
    assert max(put for put, *_ in rounds) > 2
    assert [one.name for one in tmp_path.iterdir() if one.name[0] != "."] == [FILE]


def test_two_lessons_at_once_lose_nothing(tmp_path):
    path = tmp_path / FILE
    faults = []

    def work(lesson):
        try:
            for at in range(15):
                ProgressFile(path).put(Answered(lesson, f"q{at}", typed="1"))
        except Exception as error:
            faults.append(error)

    threads = [threading.Thread(target=work, args=(f"0{n}-x",)) for n in range(3)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert faults == []
    assert len(ProgressFile(path).read()[0].answers) == 45


@pytest.mark.parametrize(
    "content", [b"", b"{", b"[]", b"\xff\xfe", b'{"kitchenkit progress": 1}', b"null", b"0"]
)
def test_a_damaged_file_is_put_aside_and_told(kit, learner, content):
    (learner / FILE).write_bytes(content)
    box = kk.ask(kit, "01-measure", "oats")
    assert "put aside as progress-damaged-" in box._kept.value
    (aside,) = learner.glob("progress-damaged-*.json")
    assert aside.read_bytes() == content
    answer(box, "202.5")
    assert kk.ask(kit, "01-measure", "oats").verdict.state == "right"
    (learner / FILE).write_bytes(content)  # twice in one second
    assert "put aside" in own_progress().put(one())
    assert len(list(learner.glob("progress-damaged-*.json"))) == 2
    assert one().place in own_progress().read()[0].answers


def test_a_newer_kit_s_file_is_left_alone(kit, learner):
    newer = b'{"kitchenkit progress": 2, "what": "ever"}'
    (learner / FILE).write_bytes(newer)
    box = kk.ask(kit, "01-measure", "oats")
    assert "newer version of the kit" in box._kept.value
    answer(box, "202.5")
    assert box.verdict.state == "right"
    assert (learner / FILE).read_bytes() == newer
    with pytest.raises(NewerError):
        own_progress().put(one())


def test_a_link_is_not_followed(kit, learner, tmp_path_factory):
    other = tmp_path_factory.mktemp("other") / "precious.json"
    other.write_bytes(b"precious")
    (learner / FILE).symlink_to(other)
    box = kk.ask(kit, "01-measure", "oats")
    assert "no plain file" in box._kept.value
    answer(box, "202.5")
    assert other.read_bytes() == b"precious"
    assert (learner / FILE).is_symlink()


def test_what_cannot_be_saved_is_said_and_the_lesson_goes_on(kit, learner, monkeypatch):
    box = kk.ask(kit, "01-measure", "oats")

    def full(*_, **__):
        raise KitchenError("progress.json could not be saved: No space left on device.")

    monkeypatch.setattr("kitchenkit.progress.save", full)
    answer(box, "202.5")
    assert box.verdict.state == "right"
    assert "This answer is not kept. progress.json could not be saved" in box._kept.value


def test_a_thousand_answers_stay_readable(tmp_path):
    file = ProgressFile(tmp_path / FILE)
    many = [one(numbers=f"{n:0180}", typed="9" * 100) for n in range(1000)]
    (tmp_path / FILE).write_text(Progress(answers={a.place: a for a in many}).written())
    file.put(one(question="packing"))
    progress, notice = file.read()
    assert notice == ""
    assert len(progress.answers) == 1000
    assert ("01-measure", "packing", "") in progress.answers


# --- hostile files ------------------------------------------------------------------------------


def _file(**changes) -> dict:
    whole = json.loads(Progress("Tansy", "", {one().place: one()}).written())
    return whole | changes


def _with(**changes) -> dict:
    answer = _file()["answers"][0]
    return _file(answers=[answer | changes])


HOSTILE = {
    "not utf-8": b"\xff\xfe\x00",
    "cut off": json.dumps(_file()).encode()[:-30],
    "too large": b" " * (LARGEST + 1),
    "deep": b"[" * 100_000,
    "deep objects": b'{"a":' * 50_000,
    "nan": json.dumps(_with(tries=float("nan"))).encode(),
    "infinity": json.dumps(_with(tries=float("inf"))).encode(),
    "a huge number": json.dumps(_file()).replace('"tries": 2', f'"tries": {"9" * 9000}').encode(),
    "twice a key": json.dumps(_file()).replace("{", '{"learner": "x",', 1).encode(),
    "a list": b"[1, 2]",
    "a program": b"__import__('os').system('touch ran')",
    "a pickle": b"\x80\x04\x95\x1c\x00\x00\x00\x00\x00\x00\x00\x8c\x05posix",
    "markup": b"<script>alert(1)</script>",
    **{
        str(name): json.dumps(whole).encode()
        for name, whole in {
            "no version": {},
            "version true": _file(**{"kitchenkit progress": True}),
            "version 0": _file(**{"kitchenkit progress": 0}),
            "version text": _file(**{"kitchenkit progress": "1"}),
            "another key": _file(run="rm"),
            "learner number": _file(learner=3),
            "learner long": _file(learner="a" * 61),
            "learner turned": _file(learner="\u202eanA"),
            "learner cut": _file(learner="\ud800"),
            "learner bell": _file(learner="a\x07"),
            "learner none": _file(learner=None),
            "numbers list": _file(numbers=[]),
            "note long": _file(note="n" * 301),
            "answers object": _file(answers={}),
            "answers none": _file(answers=None),
            "answers many": _file(answers=[_file()["answers"][0]] * 1001),
            "answers twice": _file(answers=_file()["answers"] * 2),
            "answer text": _file(answers=["x"]),
            "answer list": _file(answers=[[]]),
            "answer empty": _file(answers=[{}]),
            "answer key": _with(run="x"),
            "lesson path": _with(lesson="../../etc/passwd"),
            "lesson markup": _with(lesson="<b>"),
            "lesson long": _with(lesson="a" * 41),
            "lesson line": _with(lesson="01-measure\n"),
            "question number": _with(question=1),
            "question formula": _with(question="=HYPERLINK(1)"),
            "tries negative": _with(tries=-1),
            "tries many": _with(tries=1001),
            "tries half": _with(tries=1.5),
            "tries true": _with(tries=True),
            "tries text": _with(tries="2"),
            "hints none": _with(hints=None),
            "solved number": _with(solved=1),
            "shown text": _with(shown="false"),
            "state other": _with(state="won"),
            "state list": _with(state=[]),
            "typed long": _with(typed="9" * 101),
            "typed bell": _with(typed="\x1b[2J"),
            "unit long": _with(unit="g" * 21),
            "time none": _with(at=""),
            "time where": _with(at="2026-11-25T18:30:00"),
            "time number": _with(at=1),
            "time never": _with(at="2026-13-45T99:00:00+00:00"),
        }.items()
    },
}


@pytest.mark.parametrize("content", HOSTILE.values(), ids=HOSTILE.keys())
def test_a_hostile_file_is_refused_in_one_plain_sentence(content, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    with pytest.raises(ProgressError) as refusal:
        read_progress(content)
    assert re.fullmatch(r"[ -~]{10,160}\.", str(refusal.value))
    assert "<script>" not in str(refusal.value)
    assert list(tmp_path.iterdir()) == []


@given(
    st.binary(max_size=300)
    | st.text(max_size=200).map(lambda words: words.encode("utf-8", "ignore"))
)
def test_whatever_bytes_come_it_reads_or_refuses(content):
    with pytest.raises(ProgressError):
        read_progress(content)


_JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(max_size=20),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=9), inner, max_size=3)
    ),
    max_leaves=8,
)


@given(name=st.sampled_from(sorted(_file())), value=_JSON)
def test_any_value_anywhere_reads_or_refuses(name, value):
    try:
        found = read_progress(json.dumps(_file(**{name: value})).encode())
    except ProgressError:
        return
    assert json.loads(found.written())[name] == value or name == "note"


@given(name=st.sampled_from(sorted(_file()["answers"][0])), value=_JSON)
def test_any_value_in_an_answer_reads_or_refuses(name, value):
    try:
        found = read_progress(json.dumps(_with(**{name: value})).encode())
    except ProgressError:
        return
    (kept,) = found.answers.values()
    assert getattr(kept, name) == value


# --- the name and numbers box -------------------------------------------------------------------


def test_the_box_keeps_name_and_numbers(learner):
    box = kk.YourNumbers()
    assert not box._said.value
    box.own.value = True
    box.keep()
    assert "type one first" in box._said.value
    box.name.value = "<i>Tansy</i>"
    box.keep()
    assert "<i>" not in box._said.value
    assert "&lt;i&gt;Tansy" in box._said.value
    assert str(learner / FILE) in box._said.value
    again = kk.YourNumbers()
    assert (again.name.value, again.own.value) == ("<i>Tansy</i>", True)
    assert "your own numbers" in again._said.value


def test_the_box_in_a_plain_copy_says_that_nothing_is_kept(monkeypatch):
    monkeypatch.delenv(DATA_VARIABLE, raising=False)
    box = kk.YourNumbers()
    assert box._button.disabled
    assert "Nothing is kept here" in box._said.value


def test_the_still_is_the_same_for_all(learner, monkeypatch):
    kept = kk.YourNumbers()
    kept.name.value = "Tansy"
    kept.keep()
    mine = kept._repr_mimebundle_()
    monkeypatch.delenv(DATA_VARIABLE)
    plain = kk.YourNumbers()._repr_mimebundle_()
    assert [mine[kind] for kind in ("text/html", "text/plain")] == [
        plain[kind] for kind in ("text/html", "text/plain")
    ]
    assert "Tansy" not in str(mine)


def test_a_file_that_may_not_be_read_is_not_written_over(kit, learner, monkeypatch):
    (learner / FILE).write_text("{}")

    def refuse(*_, **__):
        raise PermissionError(13, "Permission denied")

    with monkeypatch.context() as here:
        here.setattr(Path, "open", refuse)
        box = kk.ask(kit, "01-measure", "oats")
    assert "could not be read (Permission denied), so nothing is kept" in box._kept.value
    answer(box, "202.5")
    assert (learner / FILE).read_text() == "{}"


def test_the_file_is_said_to_be_where_it_is(learner):
    assert own_progress().path == Path(learner) / FILE
