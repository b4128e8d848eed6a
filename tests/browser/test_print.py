"""Printed pages in a real browser: paper, pages and labels to the millimetre, and nothing run."""

from __future__ import annotations

import io
from dataclasses import replace

import pytest
from pypdf import PdfReader
from test_printing import HOSTILE, MEDIA_BOX

import kitchenkit as kk
from kitchenkit.handouts import HomePage, PanUse, StationPage, handout, worksheet
from kitchenkit.kit import ALLERGENS
from kitchenkit.labels import LABEL_MM, Label, freezer_labels, label_for
from kitchenkit.recipe import Line
from kitchenkit.sheets import PAPERS
from kitchenkit.typesetting import lay_document, place_of_card
from kitchenkit.units import Q

PIXEL = 25.4 / 96  # mm: CSS Values and Units, absolute lengths
DAY = "2026-11-25"


class Printed:
    """A document as this browser shows and prints it."""

    def __init__(self, page, folder, document):
        self.page, self.document = page, document
        self.faults: list[str] = []
        self.asked: list[str] = []
        page.on("console", lambda message: self.faults.append(message.text))
        page.on("pageerror", lambda error: self.faults.append(str(error)))
        page.on("dialog", self._refuse)
        page.on("request", lambda request: self.asked.append(request.url))
        file = folder / "sheets.html"
        file.write_text(kk.print_html(document), encoding="utf-8")
        page.goto(file.as_uri())
        page.emulate_media(media="print")

    def _refuse(self, dialog) -> None:
        self.faults.append(f"a dialog: {dialog.message}")
        dialog.dismiss()

    def pdf(self) -> PdfReader:
        return PdfReader(io.BytesIO(self.page.pdf(prefer_css_page_size=True)))

    def check(self) -> None:
        """As many pages of the same paper as the PDF has, nothing run and nothing fetched."""
        printed = self.pdf()
        due = sum(len(laid.pages) for laid in lay_document(self.document))
        assert len(printed.pages) == due
        for one in printed.pages:
            size = (one.mediabox.width, one.mediabox.height)
            # A browser rounds paper to its pixels, of 3/4 point.
            assert size == pytest.approx(MEDIA_BOX[self.document.paper.name], abs=0.8)
        assert self.faults == []
        assert len(self.asked) == 1

    def boxes(self) -> list[tuple[float, float, float, float]]:
        """Left, top, width and height of every card, in mm on its own sheet."""
        found = self.page.locator(".card").evaluate_all("""cards => cards.map(card => {
            const box = card.getBoundingClientRect();
            const home = card.parentElement.getBoundingClientRect();
            return [box.left - home.left, box.top - home.top, box.width, box.height];
        })""")
        return [tuple(side * PIXEL for side in box) for box in found]

    def cut_off(self) -> list[str]:
        """Texts that their card hides a part of, or that leave their sheet."""
        return self.page.evaluate("""() => {
            const over = [];
            for (const card of document.querySelectorAll('.card'))
                for (const text of card.children) {
                    const box = text.getBoundingClientRect(), home = card.getBoundingClientRect();
                    if (text.scrollWidth > text.clientWidth + 1 || box.bottom > home.bottom + 1)
                        over.push(text.textContent);
                }
            for (const sheet of document.querySelectorAll('.sheet'))
                for (const text of sheet.querySelectorAll('*'))
                    if (text.getBoundingClientRect().right
                            > sheet.getBoundingClientRect().right + 1)
                        over.push(text.textContent);
            return over;
        }""")


@pytest.fixture
def printed(browser, tmp_path):
    """Show a document as its paper is wide."""
    contexts = []

    def printed(document) -> Printed:
        wide = round((document.paper.width_mm - 2 * document.paper.margin_mm) / PIXEL)
        contexts.append(browser.new_context(viewport={"width": max(wide, 400), "height": 1000}))
        return Printed(contexts[-1].new_page(), tmp_path, document)

    yield printed
    for context in contexts:
        context.close()


def twelve(kit):
    base = kit.recipes["carrot-oat-base"]
    return replace(base, lines=(*base.lines, Line(kit.ingredients["raisins"], Q(0.5, "cup"))))


@pytest.mark.parametrize("large", [False, True])
@pytest.mark.parametrize("paper", PAPERS)
class TestBothPapers:
    def test_labels_to_the_millimetre(self, printed, base, paper, large):
        sheet = freezer_labels([(label_for(base, DAY, "2027-01-24", 2), 17)], paper, large)
        shown = printed(sheet)
        shown.check()
        boxes = shown.boxes()
        assert len(boxes) == 17
        size = LABEL_MM[large]
        for at, box in enumerate(boxes):
            due = (*place_of_card(sheet.paper, size, at % sheet.per_sheet), *size)
            assert box == pytest.approx(due, abs=0.1)
        assert shown.cut_off() == []

    def test_a_class_of_stations_and_a_page_to_take_home(self, printed, kit, paper, large):
        recipe = twelve(kit)
        pans = (PanUse("muffin tin, 12 wells", 1, Q(2.9, "cm"), 18, (18, 26), wells=12),)
        kept = tuple(kk.keep_by(kit, "muffins", place, DAY) for place in ("counter", "freezer"))
        home = HomePage(
            recipe,
            pans=pans,
            cost=kk.cost(kit, recipe, today=DAY),
            kept=kept,
            label=label_for(recipe, DAY, kept[1].by, 2),
        )
        stations = [
            StationPage(f"Station {n}", flavour.applied_to(recipe).whole, "two students", pans=pans)
            for n, flavour in enumerate(list(kit.flavours.values())[:4], start=1)
        ]
        station = StationPage("Station 5", recipe, "two students", pans=pans, oven="350 °F, 177 °C")
        document = handout(kit, *stations, station, home, paper=paper, large=large)
        assert [len(laid.pages) for laid in lay_document(document)[-2:]] == [1, 1]
        shown = printed(document)
        shown.check()
        assert shown.cut_off() == []
        assert all(box[2:] == pytest.approx(LABEL_MM[False], abs=0.1) for box in shown.boxes())

    def test_a_worksheet_and_its_key(self, printed, kit, paper, large):
        questions = kk.questions(kit, "01-measure") + kk.questions(kit, "02-scale")
        for key in (False, True):
            shown = printed(worksheet(questions, key, paper=paper, large=large))
            printed_pages = len(shown.pdf().pages)
            [laid] = lay_document(shown.document)
            assert printed_pages <= len(laid.pages)
            assert shown.cut_off() == []
            assert shown.faults == []


@pytest.mark.parametrize("large", [False, True])
@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
def test_hostile_words_do_nothing_and_are_not_cut(printed, base, kit, text, large):
    label = Label(text, DAY, "2027-01-24", (*ALLERGENS, text), 2, text)
    shown = printed(freezer_labels([label, label], large=large))
    shown.check()
    assert shown.cut_off() == []
    recipe = replace(base, name=text, note=text)
    shown = printed(handout(kit, StationPage(text, recipe, text, notes=(text,)), title=text))
    assert shown.pdf().pages
    assert shown.faults == []
    assert len(shown.asked) == 1
    assert shown.cut_off() == []
