"""A laid-out document as a PDF: the very lines and strokes, with the letters' shapes in it."""

from __future__ import annotations

import logging

from fpdf import FPDF
from fpdf.bidi import BidiParagraph

from kitchenkit import language
from kitchenkit.lettering import clean, font_file
from kitchenkit.sheets import Document
from kitchenkit.typesetting import lay_document

# It tells of each font that it makes smaller, which is no news to a cook.
logging.getLogger("fontTools.subset").setLevel(logging.ERROR)


def print_pdf(document: Document) -> bytes:
    """A document as a PDF file, ready to print at its actual size.

    Parameters
    ----------
    document : Document

    Returns
    -------
    bytes

    Notes
    -----
    What is written from right to left is put in order by the Unicode bidirectional algorithm
    (UAX #9).
    """
    paper = document.paper
    file = FPDF(unit="mm", format=(paper.width_mm, paper.height_mm))
    file.set_auto_page_break(False)
    file.set_margin(0)
    file.set_title(clean(document.title))
    file.set_lang(language.code())
    file.set_producer("kitchenkit")
    for style in ("", "B"):
        file.add_font("plain", style, font_file(style == "B"))
    for laid in lay_document(document):
        for page in laid.pages:
            file.add_page()
            for stroke in page.strokes:
                file.set_line_width(stroke.wide)
                file.set_dash_pattern(*((1.5, 1.5) if stroke.dashed else ()))
                file.line(stroke.x1, stroke.y1, stroke.x2, stroke.y2)
            for line in page.lines:
                file.set_font("plain", "B" if line.bold else "", line.size)
                file.text(line.x, line.y, BidiParagraph(line.text).get_reordered_string())
    return bytes(file.output())
