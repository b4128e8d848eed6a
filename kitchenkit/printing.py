"""A document as one HTML page that prints: no script, nothing fetched, every text escaped."""

from __future__ import annotations

import html
import re

from kitchenkit import language
from kitchenkit import typesetting as ts
from kitchenkit.lettering import clean
from kitchenkit.sheets import (
    Blanks,
    Cards,
    Care,
    Document,
    Grid,
    Heading,
    Listed,
    Paper,
    Words,
)

# The widest of the usual fonts come first, as the lines were measured with them: whatever else a
# computer has is narrower and fits too.
_STYLE = """
@page{{size:{width}mm {height}mm;margin:{margin}mm {margin}mm {foot}mm}}
@page bare{{size:{width}mm {height}mm;margin:0}}
*{{box-sizing:border-box;margin:0;padding:0}}
body{{font-family:"DejaVu Sans",Verdana,sans-serif;line-height:{leading};color:#000;background:#fff;
 overflow-wrap:anywhere;text-size-adjust:none;-webkit-text-size-adjust:none}}
.sheet{{break-before:page}}
.sheet:first-of-type{{break-before:auto}}
.sheet h1{{font-size:{title}em;line-height:{leading}}}
.sheet h2{{font-size:{heading}em;line-height:{leading};break-after:avoid}}
.sheet>*+*{{margin-top:{gap}em}}
.sheet>*+h2{{margin-top:{heading_gap}em}}
.sheet h1+.note{{margin-top:0}}
ul,ol{{list-style:none}}
li{{position:relative;padding-left:{indent}em}}
li::before{{content:"•";position:absolute;left:0}}
.box li::before{{content:"☐"}}
ol{{counter-reset:step}}
ol li{{padding-left:{indent_number}em;counter-increment:step}}
ol li::before{{content:counter(step) "."}}
table{{border-collapse:collapse;width:100%;table-layout:fixed}}
thead{{display:table-header-group}}
tr{{break-inside:avoid}}
th,td{{text-align:start;vertical-align:top;padding:{cell_gap}mm {cell}mm;
 border-bottom:.15mm solid #000}}
thead th{{border-bottom-width:.4mm}}
tbody th{{font-weight:400}}
.care{{border-left:.9mm solid #000;padding-left:{care}mm;break-inside:avoid}}
.care li{{padding-left:0}}
.care li::before{{content:none}}
.blank{{height:{blank}mm;border-bottom:.15mm solid #000}}
.blanks{{break-inside:avoid}}
.whole{{white-space:nowrap}}
.bare{{page:bare;position:relative;width:{width}mm;height:{inner}mm;overflow:hidden;
 break-before:page;font-size:8pt}}
.bare:first-of-type{{break-before:auto}}
.cards{{position:relative;break-inside:avoid}}
.card{{position:absolute;overflow:hidden;outline:.15mm dashed #000}}
.card>*{{position:absolute;left:{pad}mm;right:{pad}mm;font-weight:400;white-space:pre}}
.card>.bold{{font-weight:700}}
.foot{{position:absolute;left:0;right:0;bottom:4mm;text-align:center}}
@media screen{{
 body{{background:#ddd}}
 .sheet,.bare{{background:#fff;margin:5mm auto;box-shadow:0 0 2mm #888}}
 .sheet{{width:{width}mm;max-width:100%;min-height:{inner}mm;padding:{margin}mm}}
}}
"""


def print_html(document: Document) -> str:
    """A document as one HTML page, ready to print from a browser at its actual size.

    Parameters
    ----------
    document : Document

    Returns
    -------
    str
        The page asks nothing of the network, and forbids itself to.
    """
    paper = document.paper
    style = _STYLE.format(
        width=paper.width_mm,
        height=paper.height_mm,
        # A hair less than the paper: rounding must not bring an empty page.
        inner=round(paper.height_mm - 0.2, 2),
        margin=paper.margin_mm,
        # Room to spare: what keeps to one page as a PDF keeps to one page here too.
        foot=paper.margin_mm - 3,
        leading=ts.LEADING,
        title=ts.TITLE,
        heading=ts.HEADING,
        gap=round(ts.GAP * ts.LEADING, 3),
        heading_gap=round(ts.HEADING_GAP * ts.LEADING / ts.HEADING, 3),
        indent=ts.INDENT,
        indent_number=round(ts.INDENT * 1.4, 3),
        cell=ts.CELL,
        cell_gap=ts.CELL_GAP - 0.15,  # the line under it has a width of its own
        care=ts.CARE_MM,
        blank=ts.BLANK_MM,
        pad=ts.CARD_PAD[0],
    )
    policy = "default-src 'none'; style-src 'unsafe-inline'"
    sheets = "\n".join(_sheet(paper, laid) for laid in ts.lay_document(document))
    return (
        f'<!DOCTYPE html>\n<html lang="{language.code()}"><head><meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">\n'
        '<meta name="viewport" content="width=device-width">\n'
        f"<title>{html.escape(clean(document.title))}</title>\n<style>{style}</style></head>\n"
        f"<body>\n{sheets}\n</body></html>\n"
    )


def _text(words: str) -> str:
    """Escaped, with dates and numbers such as 8 1/2 kept in one line."""
    whole = r'<span class="whole">\g<0></span>'
    return re.sub(r"\b\d{4}-\d\d-\d\d\b|\b\d+ \d+/\d+\b", whole, html.escape(clean(words)))


def _tag(name: str, words: str, style: str = "") -> str:
    return f'<{name} dir="auto"{style}>{_text(words)}</{name}>'


def _sheet(paper: Paper, laid: ts.Laid) -> str:
    sheet = laid.sheet
    if sheet.bare:
        [cards] = sheet.blocks
        placed = "\n".join(
            _card(card, cards, *ts.place_of_card(paper, cards.size, at))
            for at, card in enumerate(cards.cards)
        )
        foot = f'<p class="foot">{_text(sheet.foot)}</p>' if sheet.foot else ""
        return f'<div class="bare">\n{placed}\n{foot}</div>'
    parts = [_tag("h1", sheet.title)] if sheet.title else []
    if laid.note:
        parts.append(f'<p class="note">{laid.note}</p>')
    room = paper.width_mm - 2 * paper.margin_mm
    parts += [_block(block, room, laid.size) for block in sheet.blocks]
    body = "\n".join(parts)
    return f'<section class="sheet" style="font-size:{laid.size:g}pt">\n{body}\n</section>'


def _block(block, room: float, size: float) -> str:
    match block:
        case Heading():
            return _tag("h2", block.text)
        case Words():
            return _tag("p", block.text, ' style="font-weight:700"' if block.bold else "")
        case Listed():
            items = "".join(_tag("li", item) for item in block.items)
            if block.sign == "number":
                return f"<ol>{items}</ol>"
            return f'<ul class="{block.sign}">{items}</ul>'
        case Grid():
            return _grid(block, room, size)
        case Care():
            said = "".join(_tag("li", item) for item in ts.care_words(block))
            return f'<div class="care"><ul>{said}</ul></div>'
        case Blanks():
            return f'<div class="blanks">{"<div class=blank></div>" * block.count}</div>'
        case Cards():
            return _cards(block, room)


def _grid(block: Grid, room: float, size: float) -> str:
    rows = [[clean(cell) for cell in row] for row in block.rows]
    widths = ts.column_widths([clean(head) for head in block.headings], rows, room, size)
    columns = "".join(f'<col style="width:{width:.2f}mm">' for width in widths)
    head = "".join(f'<th scope="col" dir="auto">{_text(cell)}</th>' for cell in block.headings)
    body = ""
    for first, *rest in block.rows:
        cells = "".join(_tag("td", cell) for cell in rest)
        body += f'<tr><th scope="row" dir="auto">{_text(first)}</th>{cells}</tr>'
    return (
        f"<table><colgroup>{columns}</colgroup><thead><tr>{head}</tr></thead>"
        f"<tbody>{body}</tbody></table>"
    )


def _cards(block: Cards, room: float) -> str:
    columns = ts.card_columns(block, room)
    placed = "\n".join(
        _card(card, block, at % columns * block.width_mm, at // columns * block.height_mm)
        for at, card in enumerate(block.cards)
    )
    height = -(-len(block.cards) // columns) * block.height_mm
    return f'<div class="cards" style="height:{height:g}mm">\n{placed}\n</div>'


def _card(card, cards: Cards, left: float, top: float) -> str:
    fields = ""
    for at, one in enumerate(ts.lay_card(card, cards.width_mm, str)):
        name = "h2" if at == 0 else "p"
        look = ' class="bold"' if one.bold else ""
        where = f"top:{one.top:.2f}mm;font-size:{one.size:g}pt;line-height:{one.step:.3f}mm"
        lines = "\n".join(map(html.escape, one.lines))
        fields += f'<{name}{look} dir="auto" style="{where}">{lines}</{name}>'
    box = (
        f"left:{left:.2f}mm;top:{top:.2f}mm;width:{cards.width_mm:g}mm;height:{cards.height_mm:g}mm"
    )
    return f'<div class="card" style="{box}">{fields}</div>'
