"""The panel for the instructor: how the class stands, from the files that learners hand in."""

from __future__ import annotations

import ipywidgets as widgets

from kitchenkit.charts.progress import ProgressChart
from kitchenkit.exercises import LESSONS, questions
from kitchenkit.panels.base import Panel
from kitchenkit.panels.controls import dropdown, text
from kitchenkit.summary import ClassSummary, class_summary

DEMO = "demo-progress"  # in the data folder


class ClassProgressPanel(Panel):
    """Which questions a class has got right, which it found hard, and who may want help."""

    title = "How the class stands"
    cautions = (
        "A count of answers is no mark: it says where to explain once more. Keep the files as you "
        "would any record of a learner.",
    )

    def __init__(self, kit):
        self._read: dict[str, ClassSummary] = {}
        super().__init__(kit)

    def make_chart(self) -> ProgressChart:
        return ProgressChart()

    def make_controls(self) -> dict[str, widgets.ValueWidget]:
        lessons = [("all lessons", ""), *((lesson_title(name), name) for name in LESSONS)]
        return {
            "lesson": dropdown("Lesson", lessons, ""),
            "folder": text("Folder with the progress files; empty: the invented demo", ""),
        }

    def refresh(self) -> None:
        lesson = self.controls["lesson"].value
        found = self._summary(self.controls["folder"].value.strip())
        learners, asked = found.learners, found.questions
        if lesson:
            learners = learners[learners["lesson"] == lesson]
            asked = asked[asked["lesson"] == lesson]
            order = {question.key: at for at, question in enumerate(questions(self.kit, lesson))}
            asked = asked.sort_values("question", key=lambda keys: keys.map(order))
            names, what = [_plain(key) for key in asked["question"]], "learners who tried"
        else:
            asked = asked.groupby("lesson", as_index=False, sort=False).sum(numeric_only=True)
            names, what = [lesson_title(name) for name in asked["lesson"]], "answers"
        shown = asked.head(self.chart.count)
        counts = zip(shown["right"], shown["nearly"], shown["not_yet"], strict=True)
        self.chart.update(names[: self.chart.count], [tuple(map(int, c)) for c in counts], what)
        by_learner = learners.groupby("learner", as_index=False, sort=False).sum(numeric_only=True)
        self.show(
            self._sentence_for(lesson, by_learner, found),
            ["learner", "right", "nearly", "not yet", "tries", "hints", "answers shown"],
            [
                [row.learner, *map(str, (row.right, row.nearly, row.not_yet))]
                + [str(count) for count in (row.tries, row.hints, row.shown)]
                for row in by_learner.itertuples()
            ],
            [
                *(f"{name} was left out. {why}" for name, why in found.refused),
                *found.remarks,
            ],
        )

    def _summary(self, folder: str) -> ClassSummary:
        """Read once: the pictures of many lessons come from one look into the folder."""
        if folder not in self._read:
            demo = self.kit.folder / DEMO
            where = folder or (demo if demo.is_dir() else [])
            self._read[folder] = class_summary(where)
        return self._read[folder]

    @staticmethod
    def _sentence_for(lesson: str, learners, found: ClassSummary) -> str:
        if learners.empty:
            where = f" to the questions of {lesson_title(lesson)}" if lesson else ""
            return (
                f"0 answers{where} so far. Type the folder that holds the progress files your "
                "learners handed in."
            )
        right = int(learners["right"].sum())
        tried = right + int(learners["nearly"].sum() + learners["not_yet"].sum())
        place = f"In {lesson_title(lesson)}" if lesson else "In all lessons"
        who = "1 learner has" if len(learners) == 1 else f"{len(learners)} learners have"
        said = f"{place}, {who} {right} of {tried} questions right."
        hardest = found.hardest_of(lesson)
        if hardest is None:
            return said
        where = "" if lesson else f" in {lesson_title(hardest.lesson)}"
        return (
            f"{said} The hardest was “{_plain(hardest.question)}”{where}: right for "
            f"{hardest.right} of {hardest.met}, with {hardest.tries / hardest.met:.1f} tries each."
        )


def lesson_title(name: str) -> str:
    """A lesson's title from its file's name: ``01 Measure``."""
    number, _, words = name.partition("-")
    return f"{number} {_plain(words).capitalize()}"


def _plain(key: str) -> str:
    return key.replace("-", " ")
