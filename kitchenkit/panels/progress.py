"""The panel for the instructor: how the class stands, from the files that learners hand in."""

from __future__ import annotations

import ipywidgets as widgets

from kitchenkit import language
from kitchenkit.charts.progress import ProgressChart
from kitchenkit.exercises import LESSONS, questions
from kitchenkit.language import mark, num, tr, trc, trn
from kitchenkit.panels.base import Panel
from kitchenkit.panels.controls import dropdown, text
from kitchenkit.summary import ClassSummary, class_summary

DEMO = "demo-progress"  # in the data folder

_AGAIN = mark("To look again, empty the folder's box and type it anew.")


class ClassProgressPanel(Panel):
    """Which questions a class has got right, which it found hard, and who may want help."""

    title = mark("How the class stands")
    cautions = (
        mark(
            "A count of answers is no mark: it says where to explain once more. Keep the files as "
            "you would any record of a learner."
        ),
    )

    def __init__(self, kit):
        self._read: dict[tuple[str, str], ClassSummary] = {}
        super().__init__(kit)

    def make_chart(self) -> ProgressChart:
        return ProgressChart()

    def make_controls(self) -> dict[str, widgets.ValueWidget]:
        lessons = [(tr("all lessons"), ""), *((lesson_title(name), name) for name in LESSONS)]
        return {
            "lesson": dropdown(tr("Lesson"), lessons, ""),
            "folder": text(tr("Folder with the progress files; empty: the invented demo"), ""),
        }

    def refresh(self) -> None:
        lesson = self.controls["lesson"].value
        folder = self.controls["folder"].value.strip()
        found = self._summary(folder)
        learners, asked = found.learners, found.questions
        if lesson:
            learners = learners[learners["lesson"] == lesson]
            asked = asked[asked["lesson"] == lesson]
            order = {question.key: at for at, question in enumerate(questions(self.kit, lesson))}
            asked = asked.sort_values("question", key=lambda keys: keys.map(order))
            names, what = list(map(question_name, asked["question"])), tr("learners who tried")
        else:
            asked = asked.groupby("lesson", as_index=False, sort=False).sum(numeric_only=True)
            names, what = list(map(lesson_title, asked["lesson"])), tr("answers")
        shown = asked.head(self.chart.count)
        counts = zip(shown["right"], shown["nearly"], shown["not_yet"], strict=True)
        self.chart.update(names[: self.chart.count], [tuple(map(int, c)) for c in counts], what)
        by_learner = learners.groupby("learner", as_index=False, sort=False).sum(numeric_only=True)
        self.show(
            self._sentence_for(lesson, by_learner, found),
            [
                tr("learner"),
                tr("right"),
                tr("nearly"),
                tr("not yet"),
                tr("tries"),
                tr("hints"),
                tr("answers shown"),
            ],
            [
                [row.learner, *map(str, (row.right, row.nearly, row.not_yet))]
                + [str(count) for count in (row.tries, row.hints, row.shown)]
                for row in by_learner.itertuples()
            ],
            [
                *(
                    tr("{file} was left out. {why}", file=name, why=why)
                    for name, why in found.refused
                ),
                *found.remarks,
                *([tr(_AGAIN)] if folder else []),
            ],
        )

    def _summary(self, folder: str) -> ClassSummary:
        """Read once for all lessons; a folder that is typed anew is looked into again."""
        at = folder, language.current()  # what is remarked on is told in words
        if at not in self._read:
            demo = self.kit.folder / DEMO
            where = folder or (demo if demo.is_dir() else [])
            self._read = {at: class_summary(where)}
        return self._read[at]

    @staticmethod
    def _sentence_for(lesson: str, learners, found: ClassSummary) -> str:
        if learners.empty:
            none = (
                tr("0 answers to the questions of {lesson} so far.", lesson=lesson_title(lesson))
                if lesson
                else tr("0 answers so far.")
            )
            folder = tr("Type the folder that holds the progress files your learners handed in.")
            return f"{none} {folder}"
        right = int(learners["right"].sum())
        tried = right + int(learners["nearly"].sum() + learners["not_yet"].sum())
        said = trn(
            "{place}, {n} learner has {right} of {tried} questions right.",
            "{place}, {n} learners have {right} of {tried} questions right.",
            len(learners),
            place=_place(lesson),
            right=right,
            tried=tried,
        )
        hardest = found.hardest_of(lesson)
        if hardest is None:
            return said
        known = {
            "question": question_name(hardest.question),
            "lesson": lesson_title(hardest.lesson),
            "right": hardest.right,
            "met": hardest.met,
            "tries": num(hardest.tries / hardest.met, ".1f"),
        }
        if lesson:
            more = tr(
                "The hardest was “{question}”: right for {right} of {met}, with {tries} tries "
                "each.",
                **known,
            )
        else:
            more = tr(
                "The hardest was “{question}” in {lesson}: right for {right} of {met}, with "
                "{tries} tries each.",
                **known,
            )
        return f"{said} {more}"


def _place(lesson: str) -> str:
    return tr("In {lesson}", lesson=lesson_title(lesson)) if lesson else tr("In all lessons")


def lesson_title(name: str) -> str:
    """A lesson's title from its file's name: ``01 Measure``."""
    number, _, words = name.partition("-")
    titles = {
        "welcome": trc("lesson", "Welcome"),
        "measure": trc("lesson", "Measure"),
        "scale": trc("lesson", "Scale"),
        "pans": trc("lesson", "Pans"),
        "bake": trc("lesson", "Bake"),
        "cost": trc("lesson", "Cost"),
        "flavours": trc("lesson", "Flavours"),
        "freezer": trc("lesson", "Freezer"),
        "plan": trc("lesson", "Plan"),
    }
    return f"{number} {titles.get(words) or _plain(words).capitalize()}"


def question_name(key: str) -> str:
    """What a question is called, from its key: ``use up``."""
    names = {
        "times": trc("question", "times"),
        "oats": trc("question", "oats"),
        "packing": trc("question", "packing"),
        "factor": trc("question", "factor"),
        "use-up": trc("question", "use up"),
        "square": trc("question", "square"),
        "wells": trc("question", "wells"),
        "carry-over": trc("question", "carry over"),
        "racks": trc("question", "racks"),
        "unit-price": trc("question", "unit price"),
        "yield": trc("question", "yield"),
        "serving": trc("question", "serving"),
        "percent": trc("question", "percent"),
        "squeeze": trc("question", "squeeze"),
        "dearer": trc("question", "dearer"),
        "batches": trc("question", "batches"),
        "fits": trc("question", "fits"),
        "load": trc("question", "load"),
        "may-cost": trc("question", "may cost"),
        "paid-back": trc("question", "paid back"),
        "waits": trc("question", "waits"),
    }
    return names.get(key) or _plain(key)


def _plain(key: str) -> str:
    return key.replace("-", " ")
