"""Printed sheets: exact paper, nothing lost, nothing run, and one page where one is promised."""

from __future__ import annotations

import io
import re
import unicodedata
from html.parser import HTMLParser

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader

from kitchenkit.errors import KitchenError
from kitchenkit.lettering import clean, printable, shorten, width_mm, wrap
from kitchenkit.pdf import print_pdf
from kitchenkit.printing import print_html
from kitchenkit.sheets import (
    PAPERS,
    Blanks,
    Cards,
    Care,
    Document,
    Field,
    Grid,
    Heading,
    Listed,
    Sheet,
    Words,
    read_paper,
)
from kitchenkit.typesetting import column_widths, lay_document

# Points: ISO 216 A4 is 210 × 297 mm; US Letter is 8 1/2 × 11 in (ANSI/ASME Y14.1, size A). Both
# sizes from memory, unverified; 72 points are one inch (ISO 32000-1, 8.3.2.3).
MEDIA_BOX = {"A4": (595.28, 841.89), "Letter": (612.0, 792.0)}

HOSTILE = {
    "script": "<script>alert(1)</script>",
    "image": '"><img src=x onerror=alert(1)>',
    "entity": "&lt;b&gt; &amp; &#60;",
    "style": "</style><style>*{display:none}",
    "comment": "<!-- --> ]]> <?php ?>",
    "formula": '=HYPERLINK("http://example.invalid","x")',
    "address": "javascript:alert(1)",
    "long word": "x" * 400,
    "long words": "carrot cake with everything " * 40,
    "control": "a\x00b\x07c\x1b[31m\x9b",
    "lines": "one\r\ntwo\u2028three\u2029four\tfive",
    "turned": "abc\u202egnp.exe\u2066x\u2069",
    "hidden": "in\u200bvis\ufeffi\u00adble\U000e0041",
    "marks": "Z" + "\u0300" * 300,
    "right to left": "עוגת גזר 2 ושיבולת שועל",
    "arabic": "كعكة الجزر والشوفان",
    "picture": "🥕 👩🏽‍🍳 carrot 😀",
    "chinese": "胡萝卜燕麦蛋糕",
    "half a character": "a\ud800b",
    "template": "{0} {name} %s ${x} {{y}}",
    "empty": "",
    "spaces": " \u3000 \u00a0 ",
}


def pages_of(document: Document) -> list[str]:
    return [page.extract_text() for page in PdfReader(io.BytesIO(print_pdf(document))).pages]


def squeezed(text: str) -> str:
    """Letters alone: where a line was broken is not what is asked here."""
    return re.sub(r"\s", "", unicodedata.normalize("NFKC", text))


class Seen(HTMLParser):
    """The tags of a page with their attributes, and its text as a reader sees it."""

    def __init__(self, page: str):
        super().__init__()
        self.tags, self.texts, self._quiet = [], [], False
        self.feed(page)

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        self._quiet = tag in ("style", "title")

    def handle_endtag(self, tag):
        self._quiet = False

    def handle_data(self, data):
        if not self._quiet:
            self.texts.append(data)

    @property
    def text(self) -> str:
        return squeezed("".join(self.texts))


def every_block(text: str) -> tuple:
    field = Field(text, ((12, 1), (8, 2)), bold=True)
    return (
        Heading(text),
        Words(text),
        Listed((text, text), "dot"),
        Listed((text,), "box"),
        Listed((text, text), "number"),
        Grid((text, "how much"), ((text, "1 1/2 cups"), ("oats", text))),
        Care((text,)),
        Blanks(2),
        Cards(((field,), (field,)), 80, 30),
    )


class TestPaper:
    @pytest.mark.parametrize("name", PAPERS)
    def test_media_box_and_number_of_pages(self, name):
        sheets = tuple(Sheet(f"Sheet {n}", (Words("words"),)) for n in range(3))
        reader = PdfReader(io.BytesIO(print_pdf(Document("Three", sheets, PAPERS[name]))))
        assert len(reader.pages) == 3
        for page in reader.pages:
            box = page.mediabox
            assert (box.left, box.bottom) == (0, 0)
            assert (box.width, box.height) == pytest.approx(MEDIA_BOX[name], abs=0.005)

    @pytest.mark.parametrize("name", PAPERS)
    def test_the_page_asks_for_the_same_paper(self, name):
        paper = PAPERS[name]
        page = print_html(Document("One", (Sheet("One", (Words("words"),)),), paper))
        assert f"@page{{size:{paper.width_mm}mm {paper.height_mm}mm;" in page
        width, height = (side.m_as("inch") * 72 for side in paper.size)
        assert (width, height) == pytest.approx(MEDIA_BOX[name], abs=0.005)

    @pytest.mark.parametrize("name", ["a4", "A4 ", "letter", "US Letter"])
    def test_papers_by_name(self, name):
        assert read_paper(name).name.casefold() in name.casefold()

    @pytest.mark.parametrize("name", ["", "A5", "legal", None, "../A4"])
    def test_other_papers_are_refused(self, name):
        with pytest.raises(KitchenError, match="A4 or Letter"):
            read_paper(name)


class TestWhatGoesInComesOut:
    def test_every_kind_of_block(self):
        said = {
            "heading": Heading("A part of it"),
            "words": Words("A paragraph with ½, 350 °F, 177 °C, × and −."),
            "dots": Listed(("one thing", "another"), "dot"),
            "boxes": Listed(("to tick",), "box"),
            "steps": Listed(("first", "second"), "number"),
            "grid": Grid(("what", "how much"), (("oats", "1 1/2 cups"), ("salt", "1/2 tsp"))),
            "care": Care(("Pans burn.",)),
        }
        document = Document("Title", (Sheet("The title", tuple(said.values())),))
        wanted = (
            "The title\nA part of it\nA paragraph with ½, 350 °F, 177 °C, × and −.\n"
            "•one thing\n•another\n☐to tick\n1.first\n2.second\nwhat how much\n"
            "oats 1 1/2 cups\nsalt 1/2 tsp\nTake care: Pans burn."
        )
        [text] = pages_of(document)
        assert squeezed(text) == squeezed(wanted)
        signs = ("•", "☐", "1.", "2.")  # a page makes these itself
        for sign in signs:
            wanted = re.sub(f"^{re.escape(sign)}", "", wanted, flags=re.M)
        assert Seen(print_html(document)).text == squeezed(wanted)

    def test_a_table_over_two_pages_has_its_headings_on_both(self):
        rows = tuple((f"row {n}", f"{n} g") for n in range(60))
        document = Document("Long", (Sheet("Long", (Grid(("what", "weight"), rows),)),))
        one, two = pages_of(document)
        for page in (one, two):
            assert "what" in page
            assert "weight" in page
        assert "This sheet takes 2 pages." in one
        assert "Long (page 2)" in two
        for name, _ in rows:
            assert len(re.findall(rf"{name}\b", one + two)) == 1
        assert "This sheet takes 2 pages." in print_html(document)

    def test_nothing_is_drawn_beyond_the_margins(self):
        for large in (False, True):
            for text in HOSTILE.values():
                sheet = Sheet(text, every_block(text) * 3)
                for laid in lay_document(Document("x", (sheet,), PAPERS["Letter"], large)):
                    for page in laid.pages:
                        for line in page.lines:
                            right = line.x + width_mm(line.text, line.size, line.bold)
                            assert line.x > 9.9
                            assert right < 215.9 - 9.9
                            assert 9.9 < line.y < 279.4 - 9.9
                        for stroke in page.strokes:
                            assert min(stroke.y1, stroke.y2) > 9.9
                            assert max(stroke.y1, stroke.y2) < 279.4 - 9.9

    def test_letters_shrink_to_stay_on_one_page_but_never_below_the_least(self):
        sizes = {}
        for count in (1, 52, 58, 70):
            sheet = Sheet("Lines", tuple(Words(f"line {n}") for n in range(count)))
            for large in (False, True):
                [laid] = lay_document(Document("x", (sheet,), large=large))
                sizes[count, large] = (laid.size, len(laid.pages))
        assert sizes[1, False] == (11, 1)
        assert sizes[1, True] == (16, 1)
        for (_, large), (size, pages) in sizes.items():
            assert size >= (13.5 if large else 9)
            assert size == (16 if large else 11) or pages == 1
        assert sizes[70, True][1] > 1
        shrunk = [
            lay_document(Document("x", (Sheet("L", tuple(Words("a") for _ in range(n))),)))[0]
            for n in range(30, 48)
        ]
        assert any(9 <= laid.size < 11 and len(laid.pages) == 1 for laid in shrunk)


class TestHarmless:
    @pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
    def test_in_every_block(self, text):
        document = Document(text, (Sheet(text, every_block(text)),))
        page = print_html(document)
        seen = Seen(page)
        allowed = {"html", "head", "meta", "title", "style", "body", "section", "h1", "h2", "p"}
        allowed |= {"ul", "ol", "li", "table", "colgroup", "col", "thead", "tbody", "tr", "th"}
        allowed |= {"td", "div", "strong", "span"}
        assert {tag for tag, _ in seen.tags} <= allowed
        names = {name for _, attributes in seen.tags for name in attributes}
        assert names <= {
            *("lang", "charset", "name", "content", "http-equiv", "class", "style", "dir", "scope")
        }
        assert not re.search(r"url\(|@import|https?://(?!example)", page.split("<body>")[0])
        assert "default-src 'none'" in page
        page.encode("utf-8")
        text_of = squeezed(clean(text))
        assert text_of in seen.text
        assert not re.search("[\u202a-\u202e\u2066-\u2069\x00-\x08\x0b-\x1f]", page)

    @pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
    def test_on_paper(self, text):
        drawn = squeezed(printable(clean(text)))
        pages = pages_of(Document(text, (Sheet("Title", (Words(text),)),)))
        found = squeezed("".join(pages)).removeprefix("Title")
        if text in (HOSTILE["right to left"], HOSTILE["arabic"]):  # read back in another order
            assert sorted(found) == sorted(drawn)
        elif text != HOSTILE["marks"]:
            assert found == drawn

    def test_a_pdf_runs_nothing_and_reaches_nowhere(self):
        sheets = tuple(Sheet(text, (Words(text),)) for text in HOSTILE.values())
        raw = print_pdf(Document("x", sheets))
        reader = PdfReader(io.BytesIO(raw))
        for word in (b"/JavaScript", b"/JS", b"/Launch", b"/URI", b"/AA ", b"/EmbeddedFile"):
            assert word not in raw
        opens_at = reader.trailer["/Root"]["/OpenAction"]
        assert isinstance(opens_at, list)  # a place to look at; an action would be a dictionary
        assert not any(page.get("/Annots") for page in reader.pages)
        for page in reader.pages:
            for font in page["/Resources"]["/Font"].values():
                descriptor = font["/DescendantFonts"][0].get_object()["/FontDescriptor"]
                assert "/FontFile2" in descriptor  # the shapes travel with the file


class TestWords:
    @given(st.text(max_size=80))
    def test_clean_words_stay_as_they_are(self, text):
        once = clean(text)
        assert clean(once) == once
        assert "\n" not in once
        once.encode("utf-8")

    @given(st.text(max_size=60), st.floats(5, 80), st.floats(6, 20))
    def test_lines_fit_and_lose_nothing(self, text, room, size):
        text = printable(clean(text))
        lines = wrap(text, room, size)
        assert squeezed("".join(lines)) == squeezed(text)
        widest = max(width_mm(char, size) for char in text or " ")
        assert all(width_mm(line, size) <= max(room, 4 * widest) + 1e-6 for line in lines)

    @given(st.text(min_size=1, max_size=90), st.integers(1, 3))
    def test_what_is_shortened_says_so(self, text, most):
        lines = wrap(printable(clean(text)), 30, 10)
        short = shorten(lines, most, 30, 10)
        assert len(short) <= most
        assert short == lines if len(lines) <= most else short[-1].endswith("…")

    def test_widths_are_the_fonts_own(self):
        """DejaVu Sans in units of 2048: space 651, 0 1303, W 2025; bold 0 1425 (font's hmtx)."""
        for char, units, bold in ((" ", 651, False), ("0", 1303, False), ("0", 1425, True)):
            assert width_mm(char, 72, bold) == pytest.approx(25.4 * units / 2048, abs=0.01)

    def test_a_mixed_number_is_not_broken(self):
        for room in range(12, 40):
            assert not any(line.endswith(" 8") for line in wrap("a pan of 8 1/2 in", room, 10))

    def test_pictures_become_words_and_arabic_is_joined(self):
        assert printable("🥕 cake") == "[carrot] cake"
        # beh, yeh, teh: initial, medial, final (Unicode Standard, Arabic presentation forms-B)
        assert printable("\u0628\u064a\u062a") == "\ufe91\ufef4\ufe96"
        assert printable("\u0644\u0627") == "\ufefb"  # lam with alef is one sign
        assert printable("\u062f\u0628") == "\ufea9\ufe8f"  # dal reaches out to nothing after it

    def test_columns_fill_the_room_and_the_narrow_ones_keep_theirs(self):
        widths = column_widths(["a", "b"], [["x", "many words " * 20]], 100, 10)
        assert sum(widths) == pytest.approx(100)
        assert widths[0] < 10 < widths[1]
        widths = column_widths(["a", "b", "c"], [["x", "y", "z"]], 100, 10)
        assert sum(widths) == pytest.approx(100)
