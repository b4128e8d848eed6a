"""The one shape of every panel: controls, a picture, a sentence, a table, cautions, a way back."""

from __future__ import annotations

import html

import ipywidgets as widgets

from kitchenkit import language
from kitchenkit.errors import KitchenError
from kitchenkit.language import tr
from kitchenkit.panels.pieces import Frame, abreast, boxed, button, messages, passage, stacked

STYLE = """<style>
.kk-panel{max-width:1100px;padding:12px;border:1px solid #b9a98a;border-radius:4px;
 background:#fffdf8;color:#2e2a26;font-size:15px;line-height:1.45;color-scheme:light;
 --jp-widgets-input-color:#2e2a26;--jp-widgets-input-background-color:#fff;
 --jp-widgets-input-border-color:#8b8378;--jp-widgets-input-focus-border-color:#1f6f78;
 --jp-widgets-slider-handle-size:24px;--jp-widgets-slider-active-handle-color:#14565e}
.kk-panel.kk-panel .noUi-handle{background:#1f6f78;border-color:#14565e}
.kk-panel.kk-panel .noUi-connects{background:#8b8378}
.kk-panel .kk-row{display:flex;flex-flow:row wrap;gap:16px;align-items:flex-start}
.kk-panel .kk-controls{flex:1 1 250px;min-width:0;gap:6px}
.kk-panel .kk-picture{flex:2 1 300px;min-width:0;max-width:500px}
.kk-panel .widget-inline-hbox{flex-flow:row wrap;height:auto;width:100%;margin:0;row-gap:0}
.kk-panel .widget-inline-hbox>.widget-label{flex:1 1 100%;width:100%;max-width:none;
 text-align:left;font-size:15px;font-weight:600;color:#2e2a26;white-space:normal;line-height:1.3;
 height:auto;padding:2px 0}
.kk-panel .widget-readout{font-size:15px;min-width:5em;color:#2e2a26;background:#fff;
 border:1px solid #8b8378;text-align:center}
.kk-panel textarea{font-size:15px}
.kk-panel select,.kk-panel input[type=text],.kk-panel input[type=number]{font-size:15px;
 min-height:34px;height:34px;background-color:#fff;color:#2e2a26;border:1px solid #8b8378}
.kk-panel .widget-dropdown,.kk-panel .widget-text{height:auto}
.kk-panel .slider-container{min-width:120px}
.kk-panel .widget-hbox{flex-flow:row wrap;padding:5px}
.kk-panel .kk-away{display:none}
.kk-panel button.jupyter-button{font-size:15px;height:36px;line-height:34px;width:auto;flex:none;
 border:1px solid #8b8378;border-radius:4px;background:#f1e9da;color:#2e2a26}
.kk-panel.kk-panel :focus-visible{outline:3px solid #1f6f78!important;outline-offset:2px}
.kk-panel .widget-html,.kk-panel .widget-html-content{height:auto;margin:0;width:100%;
 font-size:15px;line-height:1.45;white-space:normal;color:#2e2a26}
.kk-title{font-size:17px;font-weight:700;margin:0 0 4px}
.kk-say{font-size:17px;padding:4px 0;margin:0}
.kk-picture .kk-say{min-height:7.2em}
.kk-panel .kk-old{opacity:.3}
.kk-wrong{border-left:5px solid #c2571a;padding:6px 10px;margin:4px 0;background:#fbeee4}
.kk-care{border-left:5px solid #d9a441;padding:4px 10px;margin:6px 0}
.kk-care ul{margin:0;padding-left:1.1em}
.kk-scroll{overflow-x:auto}
.kk-panel.kk-panel .kk-table{border-collapse:collapse;font-size:14px;margin:4px 0;color:#2e2a26}
.kk-panel.kk-panel .kk-table tr{background:transparent}
.kk-panel.kk-panel .kk-table :is(th,td){border:0;border-bottom:1px solid #ddd2bd;padding:4px 9px;
 text-align:left;vertical-align:top;max-width:none;white-space:normal}
.kk-panel.kk-panel .kk-table td.kk-num{text-align:right;font-variant-numeric:tabular-nums}
.kk-panel.kk-panel .kk-table thead th{border-bottom:2px solid #8b8378}
@media (max-width:600px){
 .kk-panel{padding:8px 6px}
 .kk-panel.kk-panel .kk-table thead{position:absolute;left:-9999px}
 .kk-panel.kk-panel .kk-table,.kk-panel.kk-panel .kk-table :is(tbody,tr,th,td){display:block;
  width:100%;box-sizing:border-box}
 .kk-panel.kk-panel .kk-table tr{border-bottom:2px solid #ddd2bd;padding:4px 0}
 .kk-panel.kk-panel .kk-table :is(th,td,td.kk-num){border:0;padding:1px 4px;text-align:left}
 .kk-panel.kk-panel .kk-table td:empty{display:none}
 .kk-table td:not(:empty)::before{content:attr(data-heading) ": ";color:#6b6359}
}
</style>"""


_OLD = "kk-old"  # pales what no longer answers the controls


def page_text(words: str) -> str:
    """Words for a page: escaped, and each dollar by itself, since two would enclose a formula."""
    return html.escape(words).replace("$", "<span>$</span>")


def care_html(notes) -> str:
    """Cautions and notes as a list; nothing where there are none."""
    items = "".join(f"<li>{page_text(note)}</li>" for note in notes)
    return f'<div class="kk-care"{spoken()}><ul>{items}</ul></div>' if items else ""


def spoken() -> str:
    """What tells a screen reader the language, where it is not the page's own."""
    return "" if language.code() == "en" else f' lang="{language.code()}"'


def close(box: widgets.Widget) -> None:
    """Let a widget and all within it go, in the browser too."""
    for inner in getattr(box, "children", ()):
        close(inner)
    box.close()


def at_rest(name: str) -> str:
    """What stands over the still of a panel that nothing has run yet."""
    return tr(
        "{name}, as it stands at the start. Run the lesson (the ▶▶ button above) to move it.",
        name=name,
    )


def stumbled(error: Exception) -> str:
    """What is said of a fault of ours where files are saved."""
    return tr(
        "The kit stumbled ({error}). Nothing is lost that was saved; if it returns, please tell "
        "whoever gave you this page.",
        error=f"{type(error).__name__}: {error}",
    )


def table_html(headings: list[str], rows: list[list[str]]) -> str:
    """A small table; numbers are set to the right, and a phone shows each row as a list.

    Parameters
    ----------
    headings : list of str
    rows : list of list of str
        As many cells as headings; all are escaped here.
    """
    head = "".join(f'<th scope="col">{html.escape(cell)}</th>' for cell in headings)
    body = ""
    for first, *rest in rows:
        cells = "".join(
            f'<td{_side(cell)} data-heading="{html.escape(heading)}">{page_text(cell)}</td>'
            for heading, cell in zip(headings[1:], rest, strict=True)
        )
        body += f'<tr><th scope="row">{page_text(first)}</th>{cells}</tr>'
    return (
        f'<div class="kk-scroll"{spoken()}><table class="kk-table">'
        f"<thead><tr>{head}</tr></thead><tbody>{body}</tbody></table></div>"
    )


def _side(cell: str) -> str:
    numeric = cell.strip("+-−±%. ").replace(",", "").replace(".", "").isdigit()
    return ' class="kk-num"' if numeric else ""


class Panel(Frame):
    """Controls with units, one kept picture, one sentence, the numbers, cautions, a way back.

    A subclass names itself in `title`, makes its controls in `make_controls` (name → widget) and
    its `chart` in `make_chart`, and answers in `refresh`.
    """

    title = ""
    cautions: tuple[str, ...] = ()

    def __init__(self, kit):
        self.kit = kit
        parts = self._parts()
        self._start = self.values()
        self._past: list[dict] = []
        self._now = self._start
        super().__init__(parts)
        self.refresh()
        self._listen()
        language.listen(self)

    def _parts(self) -> list[widgets.Widget]:
        """All that is shown, made in the language in use."""
        self.chart = self.make_chart()
        self.controls: dict[str, widgets.ValueWidget] = self.make_controls()
        self._picture, self._numbers, self._care = passage(), passage(), passage()
        self._sentence = messages()
        self._busy = False
        self._back = button(tr("One step back"), disabled=True, tooltip=tr("Undo the last move"))
        self._reset = button(tr("Start again"), tooltip=tr("Every control as it was"))
        self._back.on_click(lambda _: self.step_back())
        self._reset.on_click(lambda _: self.reset())
        buttons = abreast([self._back, self._reset])
        controls = stacked([*self.controls.values(), buttons], "kk-controls")
        # The answer beside its controls: on a projector both must be seen at once.
        picture = stacked([self._sentence, self._picture], "kk-picture")
        answer = boxed(widgets.Box, [controls, picture], "kk-row")
        return [self._title_html(), answer, self._numbers, self._care, *self.below()]

    def _listen(self) -> None:
        for control in self.controls.values():
            control.observe(self.respond, names="value")

    def retell(self) -> None:
        """Say everything anew, in another language, with the controls as they stand."""
        values, was = self.values(), self.children
        self.children = self._parts()
        for gone in was:
            close(gone)
        self._put(values)
        self._listen()

    # For subclasses ----------------------------------------------------------------------------

    def make_chart(self):
        """The one chart, kept for the panel's life."""
        raise NotImplementedError

    def make_controls(self) -> dict[str, widgets.ValueWidget]:
        """Name → control, in the order in which they are shown."""
        raise NotImplementedError

    def below(self) -> list[widgets.Widget]:
        """What else stands under the cautions, in the order in which it is shown."""
        return []

    def refresh(self) -> None:
        """Answer the controls as they stand: calculate, then `show`.

        Raises
        ------
        KitchenError
            If the controls ask for what cannot be; nothing shown has changed then.
        """
        raise NotImplementedError

    def show(self, sentence: str, headings, rows, notes=()) -> None:
        """Put an answer on the screen: the chart as it stands, the sentence, the table, notes."""
        self.sentence, self.table = sentence, [headings, *rows]
        self.notes = [*notes, *(tr(caution) for caution in self.cautions)]
        self.chart.alt = sentence
        self._picture.value = self.chart.svg()
        self._sentence.value = (
            f'<p class="kk-say" role="status"{spoken()}>{html.escape(sentence)}</p>'
        )
        self._numbers.value = table_html(headings, rows)
        self._care.value = care_html(self.notes)
        for box in (self._picture, self._numbers):
            box.remove_class(_OLD)

    @property
    def name(self) -> str:
        """The panel's title in the language in use."""
        return tr(self.title)

    # What a person does ------------------------------------------------------------------------

    def values(self) -> dict:
        """The controls' values by name."""
        return {name: control.value for name, control in self.controls.items()}

    def respond(self, change=None) -> None:
        """A control moved: answer, or say in words why not, keeping the last good picture."""
        if self._busy or self._now == self.values():
            return
        self._past = [*self._past[-49:], self._now]
        self._now = self.values()
        self._back.disabled = False
        self._answer()

    def _answer(self) -> None:
        try:
            self.refresh()
        except KitchenError as error:
            self._complain(str(error))
        except Exception as error:  # a fault of ours: say so rather than seem frozen
            self._complain(
                tr(
                    "The kit stumbled ({error}). Press Start again; if it returns, please tell "
                    "whoever gave you this lesson.",
                    error=f"{type(error).__name__}: {error}",
                )
            )

    def step_back(self) -> None:
        """Undo the last move."""
        if self._past:
            self._put(self._past.pop())

    def reset(self) -> None:
        """Every control as it was at the start; one step back returns."""
        if self.values() != self._start:
            self._past.append(self._now)
            self._put(self._start)

    def _put(self, values: dict) -> None:
        self._busy = True
        for name, value in values.items():
            self.controls[name].value = value
        self._busy = False
        self._now = self.values()
        self._back.disabled = not self._past
        self._answer()

    def _complain(self, message: str) -> None:
        for box in (self._picture, self._numbers):
            box.add_class(_OLD)
        words = tr("Look again: {fault}", fault=message)
        self._sentence.value = (
            f'<p class="kk-say kk-wrong" role="alert"{spoken()}>{html.escape(words)}</p>'
        )

    def _title_html(self) -> widgets.HTML:
        return passage(f'{STYLE}<p class="kk-title"{spoken()}>{html.escape(self.name)}</p>')

    # Without a running kernel ------------------------------------------------------------------

    def __repr__(self) -> str:
        return f"{self.name}: {self.sentence}"

    def _repr_mimebundle_(self, **kwargs):
        """The live panel, and a still of it for pages where nothing has been run yet."""
        bundle = super()._repr_mimebundle_(**kwargs)
        still = (
            f'{STYLE}<div class="kk-panel">'
            f"<p><em>{html.escape(at_rest(self.name))}</em></p>"
            f"{self.chart.image()}<p>{page_text(self.sentence)}</p>"
            f"{table_html(self.table[0], self.table[1:])}{care_html(self.notes)}</div>"
        )
        return bundle | {"text/plain": repr(self), "text/html": still}
