"""The class summary: counted right, and hostile files told and left out."""

from __future__ import annotations

import json
import os
from dataclasses import replace
from pathlib import Path

import pytest

import kitchenkit as kk
from kitchenkit.errors import KitchenError
from kitchenkit.exercises import LESSONS, questions
from kitchenkit.progress import LARGEST, Answered, Progress
from kitchenkit.summary import MOST_FILES

WHEN = "2026-11-20T18:30:00+00:00"
LATER = "2026-11-20T19:30:00+00:00"


def one(question="oats", lesson="01-measure", state="again", **more) -> Answered:
    solved = more.pop("solved", state == "right")
    made = Answered(lesson, question, tries=2, typed="1", unit="g", state=state, solved=solved)
    return replace(made, **{"at": WHEN, **more})


def hand_in(folder: Path, name: str, learner: str, *answers: Answered, note="") -> Path:
    path = folder / name
    path.parent.mkdir(parents=True, exist_ok=True)
    progress = Progress(learner, "", {a.place: a for a in answers}, note)
    path.write_text(progress.written(), encoding="utf-8")
    return path


def row(table, **where) -> dict:
    for name, value in where.items():
        table = table[table[name] == value]
    (found,) = table.to_dict("records")
    return found


def test_counts_by_learner_and_by_question(tmp_path):
    hand_in(tmp_path, "a.json", "Tansy", one(state="right", hints=1), one("packing", shown=True))
    hand_in(tmp_path, "b/c.json", "Sorrel", one(state="nearly"), one("factor", "02-scale"))
    found = kk.class_summary(tmp_path)
    assert found.refused == found.remarks == []
    assert found.names == ["Sorrel", "Tansy"]
    counts = {"right": 1, "nearly": 0, "not_yet": 1, "tries": 4, "hints": 1, "shown": 1}
    assert row(found.learners, learner="Tansy") == {
        "learner": "Tansy",
        "lesson": "01-measure",
        **counts,
    }
    oats = row(found.questions, question="oats")
    assert (oats["right"], oats["nearly"], oats["not_yet"], oats["tries"]) == (1, 1, 0, 4)
    assert list(found.questions["lesson"]) == ["01-measure", "01-measure", "02-scale"]


def test_right_once_is_right_and_either_numbers_count(tmp_path):
    answers = [one(state="again", solved=True), one(state="nearly", numbers="tansy")]
    hand_in(tmp_path, "a.json", "Tansy", *answers, one("packing"), one("packing", numbers="tansy"))
    found = kk.class_summary(tmp_path)
    tansy = row(found.learners, learner="Tansy")
    assert (tansy["right"], tansy["nearly"], tansy["not_yet"]) == (1, 0, 1)
    assert tansy["tries"] == 8


def test_the_hardest_question(tmp_path):
    easy, wrong = one(state="right", tries=1), one("packing")
    assert kk.class_summary([hand_in(tmp_path, "a.json", "A", easy)]).hardest is None
    assert kk.class_summary([]).hardest is None
    hand_in(tmp_path, "b.json", "B", easy, one("packing", state="right", tries=1))
    hand_in(tmp_path, "c.json", "C", easy, wrong, one("factor", "02-scale", state="right", tries=9))
    found = kk.class_summary(tmp_path)
    assert found.hardest == ("01-measure", "packing")
    assert found.hardest_of("02-scale")[:2] == ("02-scale", "factor")
    assert found.hardest_of("03-pans") is None


def test_who_only_asked_for_a_hint_has_not_tried(tmp_path):
    hand_in(tmp_path, "a.json", "Tansy", Answered("01-measure", "oats", hints=1, at=WHEN))
    summary = kk.class_summary(tmp_path)
    assert summary.hardest_of() is None
    assert summary.learners[["right", "nearly", "not_yet"]].sum(axis=None) == 0
    assert summary.learners["hints"].sum() == 1
    assert any("has answered nothing yet" in remark for remark in summary.remarks)


def test_two_files_of_one_learner_are_one_and_told(tmp_path):
    hand_in(tmp_path, "monday.json", "Tansy", one(tries=3))
    hand_in(tmp_path, "later.json", " TANSY".strip(), one(state="right", tries=4, at=LATER))
    hand_in(tmp_path, "copy.json", "Tansy", one(tries=3))
    found = kk.class_summary(tmp_path)
    assert len(found.names) == 1
    (kept,) = found.learners.to_dict("records")
    assert (kept["right"], kept["tries"]) == (1, 4)
    told = " ".join(found.remarks)
    assert "same file as copy.json: counted once" in told
    assert "is the name in 2 files" in told


def test_who_gave_no_name_is_told_apart_by_file(tmp_path):
    hand_in(tmp_path, "a.json", "", one())
    hand_in(tmp_path, "b.json", "", one("packing"))
    assert kk.class_summary(tmp_path).names == ["no name (a.json)", "no name (b.json)"]


def test_a_file_without_answers_and_another_kit_s_lesson_are_told(tmp_path):
    hand_in(tmp_path, "a.json", "Tansy")
    hand_in(tmp_path, "b.json", "Sorrel", one(lesson="77-tea"), one())
    remarks = kk.class_summary(tmp_path).remarks
    assert "Tansy has answered nothing yet." in remarks
    assert "Left out, since this kit has no questions for it: 77-tea." in remarks


# --- hostile files ------------------------------------------------------------------------------


def test_wrong_files_are_listed_and_the_others_counted(tmp_path):
    hand_in(tmp_path, "good.json", "Tansy", one())
    (tmp_path / "cut.json").write_bytes(b'{"kitchenkit progress": 1, "learner"')
    (tmp_path / "large.json").write_bytes(b" " * (LARGEST + 9))
    (tmp_path / "code.json").write_text("__import__('os').system('touch ran')")
    (tmp_path / "<img src=x onerror=alert(1)>.json").write_text("{}")
    (tmp_path / "note.txt").write_text("not looked at")
    found = kk.class_summary(tmp_path)
    assert found.names == ["Tansy"]
    refused = dict(found.refused)
    assert set(refused) == {
        "cut.json",
        "large.json",
        "code.json",
        "<img src=x onerror=alert(1)>.json",
    }
    assert refused["cut.json"] == "It is no JSON: cut off or edited, perhaps."
    assert not (tmp_path / "ran").exists()


def test_links_are_not_followed(tmp_path):
    outside = tmp_path / "outside"
    hand_in(outside, "secret.json", "Secret", one())
    inside = tmp_path / "inside"
    hand_in(inside, "good.json", "Tansy", one())
    (inside / "link.json").symlink_to(outside / "secret.json")
    (inside / "folder").symlink_to(outside, target_is_directory=True)
    (inside / "loop").symlink_to(inside, target_is_directory=True)
    (inside / "gone.json").symlink_to(tmp_path / "nowhere.json")
    found = kk.class_summary(inside)
    assert found.names == ["Tansy"]
    assert sorted(name for name, _ in found.refused) == ["folder", "gone.json", "link.json", "loop"]
    assert {why for _, why in found.refused} == {
        "It is a link to another place, which is not followed."
    }


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="there are no pipes among files here")
def test_a_pipe_is_not_waited_for(tmp_path):
    os.mkfifo(tmp_path / "pipe.json")
    (tmp_path / "folder.json").mkdir()
    found = kk.class_summary(tmp_path)
    assert found.refused == [("pipe.json", "It is no plain file.")]
    assert kk.class_summary([tmp_path / "folder.json"]).refused[0][0] == "folder.json"


@pytest.mark.parametrize("where", ["", "  ", "no such folder", "\x00", "a" * 5000])
def test_no_such_folder_says_so(tmp_path, where, monkeypatch):
    monkeypatch.chdir(tmp_path)
    with pytest.raises(KitchenError, match="There is no folder"):
        kk.class_summary(where)


def test_a_whole_disk_is_no_class(tmp_path):
    for at in range(MOST_FILES + 1):
        (tmp_path / f"{at}.json").touch()
    with pytest.raises(KitchenError, match="more than the 500"):
        kk.class_summary(tmp_path)


# --- the demo and the panel ---------------------------------------------------------------------


@pytest.fixture
def panel(kit):
    return kk.ClassProgressPanel(kit)


def test_the_demo_is_whole_says_it_is_invented_and_fits_the_questions(kit):
    found = kk.class_summary(kit.folder / "demo-progress")
    assert found.refused == []
    assert len(found.names) == 6
    assert found.remarks == [
        "A note in the files: Invented for the demo: no such learner answered these."
    ]
    for path in (kit.folder / "demo-progress").iterdir():
        for answer in json.loads(path.read_text(encoding="utf-8"))["answers"]:
            asked = questions(kit, answer["lesson"], answer["numbers"])
            (question,) = [q for q in asked if q.key == answer["question"]]
            assert question.check(answer["typed"], answer["unit"]).state == answer["state"]


def test_the_picture_and_the_table_are_the_summary(panel, kit):
    found = kk.class_summary(kit.folder / "demo-progress")
    for lesson in ("", *LESSONS):
        panel.controls["lesson"].value = lesson
        asked, learners = found.questions, found.learners
        if lesson:
            asked = asked[asked["lesson"] == lesson]
            learners = learners[learners["lesson"] == lesson]
        for at, name in enumerate(("right", "nearly", "not_yet")):
            drawn = sum(bar.get_width() for bar in panel.chart.bars[at])
            assert drawn == asked[name].sum()
            assert sum(int(line[1 + at]) for line in panel.table[1:]) == learners[name].sum()
        labels = [label.get_text() for label in panel.chart.labels if label.get_text()]
        assert len(labels) == (len(asked) if lesson else asked["lesson"].nunique())


def test_bars_stand_in_the_order_of_the_lesson(panel, kit):
    panel.controls["lesson"].value = "05-cost"
    names = [label.get_text() for label in panel.chart.axes.get_yticklabels()]
    keys = [question.key.replace("-", " ") for question in questions(kit, "05-cost")]
    assert names == keys


def test_hostile_names_stay_text(panel, tmp_path):
    hand_in(tmp_path, "a.json", "<script>x</script> $y$", one(), note="<b>n</b>")
    (tmp_path / "<i>.json").write_text("{}")
    panel.controls["folder"].value = str(tmp_path)
    shown = panel._numbers.value + panel._care.value + panel._sentence.value + panel._picture.value
    for word in ("<script>", "<b>n", "<i>", "$y$"):
        assert word not in shown
    assert "&lt;script&gt;" in shown
    assert "&lt;i&gt;.json was left out. It is no progress file." in shown


def test_without_files_it_says_what_to_do(data_folder, tmp_path):
    for path in (data_folder / "demo-progress").iterdir():
        path.unlink()
    (data_folder / "demo-progress").rmdir()
    panel = kk.ClassProgressPanel(kk.open_kit(data_folder))
    assert panel.sentence.startswith("0 answers so far.")
    panel.controls["folder"].value = str(tmp_path)
    assert panel.sentence.startswith("0 answers so far.")
    panel.controls["folder"].value = str(tmp_path / "none")
    assert "There is no folder" in panel._sentence.value


# --- the answer key -----------------------------------------------------------------------------


class TestAnswerKey:
    def test_holds_every_question_with_working_and_slips(self, kit):
        page = kk.AnswerKey(kit)._key.value.replace("<span>$</span>", "$")
        for lesson in LESSONS:
            for question in questions(kit, lesson):
                assert question.working.split(";")[0] in page
                assert question.key.replace("-", " ") in page
                for slip in question.slips:
                    assert slip.say in page.replace("&#x27;", "'")

    def test_a_learner_s_own(self, kit):
        key = kk.AnswerKey(kit)
        key.lesson.value = "05-cost"
        key.name.value = "Tansy"
        assert "the numbers of Tansy" in key._key.value
        for question in questions(kit, "05-cost", "tansy"):
            assert question.ask in key._key.value
        assert questions(kit, "05-cost")[0].ask not in key._key.value
        key.name.value = " "
        assert "the class&#x27;s numbers" in key._key.value
        key.name.value = "<b>T</b>"
        assert "<b>T" not in key._key.value

    def test_the_still_is_the_class_s_whatever_is_chosen(self, kit):
        key = kk.AnswerKey(kit)
        still = key._repr_mimebundle_()["text/html"]
        key.name.value = "Tansy"
        assert key._repr_mimebundle_()["text/html"] == still
        assert "202.5 g or 7.143 oz" in still
