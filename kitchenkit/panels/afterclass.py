"""The panel for after the class: predicted against real, and what to note down, on request."""

from __future__ import annotations

import ipywidgets as widgets

from kitchenkit.afterclass import (
    BakeReview,
    ClassReview,
    PriceReview,
    has_class_results,
    read_class_results,
    review_class,
)
from kitchenkit.charts.afterclass import STATIONS, AfterClassChart
from kitchenkit.costs import say_days, say_package
from kitchenkit.editing import is_own
from kitchenkit.errors import KitchenError
from kitchenkit.kit import open_kit
from kitchenkit.language import current, day, mark, num, tr, trc, trn
from kitchenkit.panels.base import Panel, page_text, spoken, stumbled, table_html
from kitchenkit.panels.controls import dropdown, percent
from kitchenkit.panels.editor_words import column_words
from kitchenkit.panels.pieces import abreast, button, messages, show_if
from kitchenkit.saying import say_both
from kitchenkit.shelf import plain
from kitchenkit.taking_over import TakingOver
from kitchenkit.temperature import say_temperature
from kitchenkit.units import Q

_TABLES = {"bake-log": mark("the bake log"), "prices": mark("the prices")}
_ADD = {"bake-log": mark("Add to the bake log …"), "prices": mark("Add to the prices …")}
_STATES = {
    "new": mark("to note down"),
    "noted": mark("noted already"),
    "again": mark("bought twice, noted once"),
    "odd": mark("odd: look again"),
    "unlike": mark("two prices: look again"),
}


class AfterClassPanel(Panel):
    """What the stations noted against what was predicted; rows for the tables, on request.

    Parameters
    ----------
    kit : Kit
        With a class-results.csv in its folder.
    plan : ClassPlan, optional
        Of the class, to tell which stations noted nothing.

    Raises
    ------
    KitchenError
        If there are no results yet.
    DataError
        With every fault in them.
    """

    title = mark("After the class")
    cautions = (
        mark(
            "The clock is no proof: a skewer, the look and 93 to 98 °C (200 to 209 °F) in the "
            "middle say when a bake is done."
        ),
        mark("Write no names of learners into the table; a station's number will do."),
        mark("Entries noted as invented for the demo are just that."),
    )

    def __init__(self, kit, plan=None):
        self._plan = plan
        self._read(kit)
        self._taking: TakingOver | None = None
        self._taken: TakingOver | None = None
        super().__init__(kit)

    def _read(self, kit) -> None:
        if not has_class_results(kit):
            raise KitchenError(
                tr(
                    "There are no results of a class yet. Fill in what the stations noted, save "
                    "it, then run this cell again."
                )
            )
        self._results = read_class_results(kit)
        self._reviews: dict[tuple, ClassReview] = {}  # until they are read again
        self.kit = kit

    def make_chart(self) -> AfterClassChart:
        return AfterClassChart()

    def make_controls(self) -> dict[str, widgets.ValueWidget]:
        self._sheets = {
            "minutes": self._minutes,
            "ovens": self._ovens,
            "prices": self._prices,
            "rows for the bake log": lambda review: _offered(review.bake_rows, "bake-log"),
            "rows for the prices": lambda review: _offered(review.price_rows, "prices"),
        }
        words = [
            *(tr("minutes"), tr("ovens"), tr("prices")),
            *(tr("rows for the bake log"), tr("rows for the prices")),
        ]
        sheets, days = list(zip(words, self._sheets, strict=True)), self._days()
        return {
            "sheet": dropdown(tr("Show the sheet"), sheets, "minutes"),
            "day": dropdown(tr("Class of"), days, days[0][1]),
            "oven": dropdown(trc("after the class", "Baked in"), self._oven_options(), ""),
        }

    def _days(self) -> list[tuple[str, str]]:
        """The days of the classes, the latest first."""
        held = sorted({result.date for result in self._results}, reverse=True)
        return [(day(one), f"{one}") for one in held]

    def _oven_options(self) -> list[tuple[str, str]]:
        named = {plain(r.oven): r.oven for r in self._results if r.oven}
        return [(tr("any oven"), ""), *((tr(name), key) for key, name in named.items())]

    @property
    def review(self) -> ClassReview | None:
        """The class as it stands, for going on with; None where there is nothing to show."""
        return self._review

    def refresh(self) -> None:
        value = self.values()
        self._review = None  # what cannot be shown offers nothing either
        review = self._reviewed(value["day"], value["oven"])
        headings, rows = self._sheets[value["sheet"]](review)
        self.chart.update(
            [(tr(b.result.station), b.window, b.result.minutes, b.verdict) for b in review.bakes]
        )
        self._review = review
        self.show(self._sentence_for(review), headings, rows, self._notes(review))

    def _reviewed(self, day: str, oven: str) -> ClassReview:
        asked = day, oven, current()  # what is to be asked is said in words
        if asked not in self._reviews:
            of_day = [r for r in self._results if f"{r.date}" == day]
            # What a station only bought has no oven, so it is left out where one is chosen.
            chosen = [r for r in of_day if not oven or plain(r.oven) == oven]
            if not chosen:
                raise KitchenError(tr("Nobody baked in this oven on that day. Choose another."))
            plan = None if oven else self._plan
            self._reviews[asked] = review_class(self.kit, chosen, plan)
        return self._reviews[asked]

    # Sheets ------------------------------------------------------------------------------------

    @staticmethod
    def _minutes(review: ClassReview):
        headings = [
            *(tr("station"), trc("after the class", "baked"), tr("oven")),
            *(tr("predicted"), trc("minutes", "real"), tr("against the window")),
        ]
        none = [[trc("after the class", "no bake")] + [""] * 5]
        return headings, [_minutes_row(bake) for bake in review.bakes] or none

    @staticmethod
    def _ovens(review: ClassReview):
        rows = [
            [
                tr(oven.oven),
                tr("{n} times", n=num(oven.before.factor, ".2f")),
                tr("{n} times", n=num(oven.after.factor, ".2f")),
                f"{oven.after.bakes}",
                f"{oven.after.odd}",
                tr("± {n}%", n=num(200 * oven.after.spread)),
            ]
            for oven in review.ovens
        ]
        headings = [
            *(tr("oven"), tr("minutes until now"), tr("minutes from now on")),
            *(trc("after the class", "bakes"), trc("bakes", "odd"), tr("how sure")),
        ]
        return headings, rows or [[trc("after the class", "no bake")] + [""] * 5]

    @staticmethod
    def _prices(review: ClassReview):
        headings = [
            *(tr("bought"), tr("station"), tr("paid")),
            *(tr("expected"), tr("difference"), tr("noted?")),
        ]
        none = [[tr("nothing")] + [""] * 5]
        return headings, [_price_row(some) for some in _packages(review)] or none

    # Words -------------------------------------------------------------------------------------

    @staticmethod
    def _sentence_for(review: ClassReview) -> str:
        timed = [b for b in review.bakes if b.verdict not in ("not timed", "not done")]
        early, late, odd = (review.count(verdict) for verdict in ("early", "late", "odd"))
        apart = [
            trn("{n} earlier", "{n} earlier", early) if early else "",
            trn("{n} later", "{n} later", late) if late else "",
            trn("{n} odd, without a say", "{n} odd, without a say", odd) if odd else "",
        ]
        figures = {"n": review.count("inside"), "all": len(timed)}
        said = [
            tr(
                "{n} of {all} timed bakes were done in their window ({apart}).",
                apart=", ".join(filter(None, apart)),
                **figures,
            )
            if any(apart)
            else tr("{n} of {all} timed bakes were done in their window.", **figures)
        ]
        said += [
            tr(
                "Plan {oven} with {after} times the model's minutes, until now {before} times.",
                oven=tr(oven.oven),
                after=num(oven.after.factor, ".2f"),
                before=num(oven.before.factor, ".2f"),
            )
            for oven in review.ovens
        ]
        if review.paid:
            paid, expected = review.paid
            gap = paid - expected
            sums = {"paid": paid, "currency": paid.currency, "gap": abs(gap)}
            said.append(
                tr("The receipts say {paid} {currency}, {gap} more than expected.", **sums)
                if gap.amount >= 0
                else tr("The receipts say {paid} {currency}, {gap} less than expected.", **sums)
            )
        return " ".join(said)

    def _notes(self, review: ClassReview) -> list[str]:
        notes = [*review.to_ask]
        if len(review.bakes) > STATIONS:
            notes.append(
                tr(
                    "The picture shows the first {n} of {all} bakes.",
                    n=STATIONS,
                    all=len(review.bakes),
                )
            )
        noted = say_days(one.seen.date for one in review.prices if one.seen is not None)
        if noted:
            notes.append(
                tr(
                    "Expected prices are the latest before the class, noted {days}, by weight "
                    "where the package differs.",
                    days=noted,
                )
            )
        notes.append(
            tr(
                "The windows are what the bake log says without this class. How sure: in two "
                "classes of three the oven's own number is nearer than half of that."
            )
        )
        return notes

    # Taking over -------------------------------------------------------------------------------

    def below(self) -> list[widgets.Widget]:
        self._said = messages()
        self.ask = {
            table: _button(tr(words), lambda table=table: self._offer(table))
            for table, words in _ADD.items()
        }
        self.save = _button(tr("Yes, save these rows"), self._save)
        self.leave = _button(tr("No, leave it"), self._leave)
        self.back = _button(tr("Take it back"), self._take_back)
        self.again = _button(tr("Read the results again"), self.read_again)
        for made in (*self.ask.values(), self.save, self.leave, self.back, self.again):
            made.on_click(lambda pressed: self._do(pressed.action))
        rows = [
            abreast([*self.ask.values(), self.again]),
            self._said,
            abreast([self.save, self.leave, self.back]),
        ]
        if self._taking is not None:  # the question that was open still is
            self._say_offer(self._taking)
        self._show_buttons()
        return rows

    def _show_buttons(self) -> None:
        waiting = self._taking is not None
        show_if(self.save, waiting)
        show_if(self.leave, waiting)
        show_if(self.back, self._taken is not None and not waiting)
        self.save.disabled = not is_own(self.kit.folder)

    def _do(self, action) -> None:
        """Carry out what a person asked for; say in words what went wrong."""
        try:
            action()
        except KitchenError as error:
            self._say(str(error), "kk-wrong", "alert")
        except Exception as error:  # a fault of ours: say so rather than seem frozen
            self._say(stumbled(error), "kk-wrong", "alert")
        self._show_buttons()

    def _say(self, words: str, look: str = "kk-say", role: str = "status", more: str = "") -> None:
        self._said.value = f'<p class="{look}" role="{role}"{spoken()}>{page_text(words)}</p>{more}'

    def _offer(self, table: str) -> None:
        self._taking = None
        self._reread()  # the tables may have got these rows elsewhere meanwhile
        if self._review is None:
            raise KitchenError(tr("Choose a class and an oven with results first."))
        self._taking = TakingOver(self._review, table, self.kit.folder)
        self._say_offer(self._taking)

    def _say_offer(self, taking: TakingOver) -> None:
        rows = taking.rows
        if is_own(self.kit.folder):
            said = trn(
                "Nothing is saved yet. {n} row would be added to {file}:",
                "Nothing is saved yet. {n} rows would be added to {file}:",
                len(rows),
                file=taking.name,
            )
        else:
            said = trn(
                "{n} row would be added to {file} in a folder of your own; these are the kit's "
                "own data, which stay as they are:",
                "{n} rows would be added to {file} in a folder of your own; these are the kit's "
                "own data, which stay as they are:",
                len(rows),
                file=taking.name,
            )
        self._say(said, more=table_html(*_offered(rows, taking.table)))

    def _save(self) -> None:
        if self._taking is None:
            return
        path = self._taking.save()
        self._taken, self._taking = self._taking, None
        self._reread()
        self._say(
            tr("Saved in {path}. Close a lesson and open it again to see it there.", path=path)
        )

    def _leave(self) -> None:
        self._taking = None
        self._say(tr("Nothing was saved."))

    def _take_back(self) -> None:
        if self._taken is None:
            return
        self._taken.take_back()
        name, self._taken = self._taken.name, None
        self._reread()
        self._say(tr("{file} is again what it was.", file=name))

    def read_again(self) -> None:
        """Read the folder anew, after something was noted elsewhere.

        Raises
        ------
        DataError
            With every fault in it; what is shown has not changed then.
        """
        self._taking = None
        self._reread()
        self._say(tr("Read again."))

    def _reread(self) -> None:
        self._read(open_kit(self.kit.folder))
        self._busy = True
        for name, options in (("day", self._days()), ("oven", self._oven_options())):
            control, held = self.controls[name], self.controls[name].value
            control.options = options
            known = [value for _, value in options]
            control.value = held if held in known else known[0]
            if self._start[name] not in known:
                self._start[name] = known[0]
        self._busy = False
        self._past, self._now = [], self.values()
        self._answer()


def _button(words: str, action) -> widgets.Button:
    made = button(words)
    made.action = action
    return made


def _verdict(bake: BakeReview) -> str:
    return {
        "inside": trc("a bake was done", "inside"),
        "early": trc("a bake was done", "early"),
        "late": trc("a bake was done", "late"),
        "odd": trc("a bake was", "odd"),
        "not done": trc("a bake was", "not done"),
        "not timed": trc("a bake was", "not timed"),
    }[bake.verdict]


def _minutes_row(bake: BakeReview) -> list[str]:
    result, (low, likely, high) = bake.result, bake.window
    heat = say_temperature(Q(result.real_c, "degC"))
    batter = say_both(Q(result.volume_m3 * 1e6, "ml"))
    minutes = result.minutes
    return [
        tr(result.station),
        tr(
            "{flavour}; {pan}; {batter} in each",
            flavour=tr(result.flavour) if result.flavour else tr("batter"),
            pan=tr(result.pan.name),
            batter=batter,
        ),
        f"{tr(result.oven)}, {heat}",
        tr("{likely} min ({low} to {high})", likely=likely, low=low, high=high),
        trc("minutes", "not noted") if minutes is None else f"{num(minutes, 'g')} min",
        _verdict(bake),
    ]


def _packages(review: ClassReview) -> list[list[PriceReview]]:
    """Prices that were paid at once, for what comes out of one package."""
    found: dict[int, list[PriceReview]] = {}
    for one in review.prices:
        found.setdefault(one.row, []).append(one)
    return list(found.values())


def _price_row(some: list[PriceReview]) -> list[str]:
    one = some[0]
    names = "; ".join(tr(each.name) for each in some)
    expected, gap = tr("not known"), ""
    if one.expected is not None:
        expected = f"{one.expected}"
        if not one.same_shop:
            expected += f" ({tr(one.seen.place)})"
        gap = percent(float(one.price.money / one.expected) - 1) if one.expected else ""
    return [
        f"{names}, {say_package(one.price.amount)}",
        tr(one.station),
        f"{one.price.money} ({tr(one.price.place)})",
        expected,
        gap,
        tr(_STATES[one.state]),
    ]


def _offered(rows: tuple[dict, ...], table: str):
    """The rows as they would stand in the table, in whatever language that is."""
    if not rows:
        return [tr(_TABLES[table]), ""], [[tr("nothing new to note down"), ""]]
    names = [name for name in rows[0] if name != "source"]
    return [column_words(name) for name in names], [[row[name] for name in names] for row in rows]
