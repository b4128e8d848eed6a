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
from kitchenkit.panels.base import Panel, page_text, stumbled, table_html
from kitchenkit.panels.controls import dropdown, messages, percent
from kitchenkit.saying import say_both
from kitchenkit.shelf import plain
from kitchenkit.swapping import counted
from kitchenkit.taking_over import TakingOver
from kitchenkit.temperature import say_temperature
from kitchenkit.units import Q

_TABLES = {"bake-log": "the bake log", "prices": "the prices"}
_STATES = {
    "new": "to note down",
    "noted": "noted already",
    "again": "bought twice, noted once",
    "odd": "odd: look again",
    "unlike": "two prices: look again",
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

    title = "After the class"
    cautions = (
        "The clock is no proof: a skewer, the look and 93 to 98 °C (200 to 209 °F) in the middle "
        "say when a bake is done.",
        "Write no names of learners into the table; a station's number will do.",
        "Entries noted as invented for the demo are just that.",
    )

    def __init__(self, kit, plan=None):
        self._plan = plan
        self._read(kit)
        self._taking: TakingOver | None = None
        self._taken: TakingOver | None = None
        super().__init__(kit)
        self._make_actions()

    def _read(self, kit) -> None:
        if not has_class_results(kit):
            raise KitchenError(
                "There are no results of a class yet. Fill in what the stations noted, save it, "
                "then run this cell again."
            )
        self._results = read_class_results(kit)
        self._reviews: dict[tuple[str, str], ClassReview] = {}  # until they are read again
        self.kit = kit

    def make_chart(self) -> AfterClassChart:
        return AfterClassChart()

    def make_controls(self) -> dict[str, widgets.ValueWidget]:
        self._sheets = {
            "minutes": self._minutes,
            "ovens": self._ovens,
            "prices": self._prices,
            "rows for the bake log": lambda review: _offered(review.bake_rows, "the bake log"),
            "rows for the prices": lambda review: _offered(review.price_rows, "the prices"),
        }
        days = self._days()
        return {
            "sheet": dropdown("Show the sheet", list(self._sheets), "minutes"),
            "day": dropdown("Class of", days, days[0]),
            "oven": dropdown("Baked in", self._oven_options(), ""),
        }

    def _days(self) -> list[str]:
        """The days of the classes, the latest first."""
        return sorted({f"{result.date}" for result in self._results}, reverse=True)

    def _oven_options(self) -> list[tuple[str, str]]:
        named = {plain(r.oven): r.oven for r in self._results if r.oven}
        return [("any oven", ""), *((name, key) for key, name in named.items())]

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
            [(b.result.station, b.window, b.result.minutes, b.verdict) for b in review.bakes]
        )
        self._review = review
        self.show(self._sentence_for(review), headings, rows, self._notes(review))

    def _reviewed(self, day: str, oven: str) -> ClassReview:
        if (day, oven) not in self._reviews:
            of_day = [r for r in self._results if f"{r.date}" == day]
            # What a station only bought has no oven, so it is left out where one is chosen.
            chosen = [r for r in of_day if not oven or plain(r.oven) == oven]
            if not chosen:
                raise KitchenError("Nobody baked in this oven on that day. Choose another.")
            plan = None if oven else self._plan
            self._reviews[day, oven] = review_class(self.kit, chosen, plan)
        return self._reviews[day, oven]

    # Sheets ------------------------------------------------------------------------------------

    @staticmethod
    def _minutes(review: ClassReview):
        headings = ["station", "baked", "oven", "predicted", "real", "against the window"]
        return headings, [_minutes_row(bake) for bake in review.bakes] or [["no bake"] + [""] * 5]

    @staticmethod
    def _ovens(review: ClassReview):
        rows = [
            [
                oven.oven,
                _factor(oven.before.factor),
                _factor(oven.after.factor),
                f"{oven.after.bakes}",
                f"{oven.after.odd}",
                f"± {2 * oven.after.spread:.0%}",
            ]
            for oven in review.ovens
        ]
        headings = ["oven", "minutes until now", "minutes from now on", "bakes", "odd", "how sure"]
        return headings, rows or [["no bake"] + [""] * 5]

    @staticmethod
    def _prices(review: ClassReview):
        headings = ["bought", "station", "paid", "expected", "difference", "noted?"]
        return headings, [_price_row(some) for some in _packages(review)] or [
            ["nothing"] + [""] * 5
        ]

    # Words -------------------------------------------------------------------------------------

    @staticmethod
    def _sentence_for(review: ClassReview) -> str:
        timed = [b for b in review.bakes if b.verdict not in ("not timed", "not done")]
        said = f"{review.count('inside')} of {len(timed)} timed bakes were done in their window"
        apart = {
            "early": "earlier",
            "late": "later",
            "odd": "odd, without a say",
        }
        parts = [f"{n} {words}" for verdict, words in apart.items() if (n := review.count(verdict))]
        said += f" ({', '.join(parts)})." if parts else "."
        for oven in review.ovens:
            said += (
                f" Plan {oven.oven} with {_factor(oven.after.factor)} the model's minutes, "
                f"until now {_factor(oven.before.factor)}."
            )
        if review.paid:
            paid, expected = review.paid
            gap = paid - expected
            more = "more" if gap.amount >= 0 else "less"
            said += f" The receipts say {paid} {paid.currency}, {abs(gap)} {more} than expected."
        return said

    def _notes(self, review: ClassReview) -> list[str]:
        notes = [*review.to_ask]
        if len(review.bakes) > STATIONS:
            notes.append(f"The picture shows the first {STATIONS} of {len(review.bakes)} bakes.")
        noted = say_days(one.seen.date for one in review.prices if one.seen is not None)
        if noted:
            notes.append(
                f"Expected prices are the latest before the class, noted {noted}, by weight where "
                "the package differs."
            )
        notes.append(
            "The windows are what the bake log says without this class. How sure: in two classes "
            "of three the oven's own number is nearer than half of that."
        )
        return notes

    # Taking over -------------------------------------------------------------------------------

    def _make_actions(self) -> None:
        self._said = messages()
        self.ask = {
            table: _button(f"Add to {words} …", lambda table=table: self._offer(table))
            for table, words in _TABLES.items()
        }
        self.save = _button("Yes, save these rows", self._save)
        self.leave = _button("No, leave it", self._leave)
        self.back = _button("Take it back", self._take_back)
        self.again = _button("Read the results again", self.read_again)
        for button in (*self.ask.values(), self.save, self.leave, self.back, self.again):
            button.on_click(lambda pressed: self._do(pressed.action))
        rows = [
            widgets.HBox([*self.ask.values(), self.again]),
            self._said,
            widgets.HBox([self.save, self.leave, self.back]),
        ]
        for row in (rows[0], rows[2]):
            row.layout.flex_flow = "row wrap"
            row.layout.padding = "4px"  # room for the ring around the button in use
        self.children = (*self.children[:-1], *rows, self.children[-1])
        self._show_buttons()

    def _show_buttons(self) -> None:
        waiting = self._taking is not None
        self.save.layout.display = self.leave.layout.display = "" if waiting else "none"
        self.back.layout.display = "" if self._taken is not None and not waiting else "none"
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
        self._said.value = f'<p class="{look}" role="{role}">{page_text(words)}</p>{more}'

    def _offer(self, table: str) -> None:
        self._taking = None
        self._reread()  # the tables may have got these rows elsewhere meanwhile
        if self._review is None:
            raise KitchenError("Choose a class and an oven with results first.")
        self._taking = TakingOver(self._review, table, self.kit.folder)
        rows = self._taking.rows
        many = f"{counted(len(rows), 'row')} would be added"
        said = f"Nothing is saved yet. {many} to {self._taking.name}:"
        if not is_own(self.kit.folder):
            said = (
                f"{many} to {self._taking.name} in a folder of your own; these are the kit's own "
                "data, which stay as they are:"
            )
        self._say(said, more=table_html(*_offered(rows, _TABLES[table])))

    def _save(self) -> None:
        if self._taking is None:
            return
        path = self._taking.save()
        self._taken, self._taking = self._taking, None
        self._reread()
        self._say(f"Saved in {path}. Run a lesson again (▶▶) to see it there.")

    def _leave(self) -> None:
        self._taking = None
        self._say("Nothing was saved.")

    def _take_back(self) -> None:
        if self._taken is None:
            return
        self._taken.take_back()
        name, self._taken = self._taken.name, None
        self._reread()
        self._say(f"{name} is again what it was.")

    def read_again(self) -> None:
        """Read the folder anew, after something was noted elsewhere.

        Raises
        ------
        DataError
            With every fault in it; what is shown has not changed then.
        """
        self._taking = None
        self._reread()
        self._say("Read again.")

    def _reread(self) -> None:
        self._read(open_kit(self.kit.folder))
        self._busy = True
        for name, options in (("day", self._days()), ("oven", self._oven_options())):
            control, held = self.controls[name], self.controls[name].value
            control.options = options
            known = [o[1] if isinstance(o, tuple) else o for o in options]
            control.value = held if held in known else known[0]
            if self._start[name] not in known:
                self._start[name] = known[0]
        self._busy = False
        self._past, self._now = [], self.values()
        self._answer()


def _button(words: str, action) -> widgets.Button:
    button = widgets.Button(description=words)
    button.action = action
    return button


def _factor(factor: float) -> str:
    return f"{factor:.2f} times"


def _minutes_row(bake: BakeReview) -> list[str]:
    result, (low, likely, high) = bake.result, bake.window
    heat = say_temperature(Q(result.real_c, "degC"))
    batter = say_both(Q(result.volume_m3 * 1e6, "ml"))
    minutes = "not noted" if result.minutes is None else f"{result.minutes:g} min"
    return [
        result.station,
        f"{result.flavour or 'batter'}; {result.pan.name}; {batter} in each",
        f"{result.oven}, {heat}",
        f"{likely} min ({low} to {high})",
        minutes,
        bake.verdict,
    ]


def _packages(review: ClassReview) -> list[list[PriceReview]]:
    """Prices that were paid at once, for what comes out of one package."""
    found: dict[int, list[PriceReview]] = {}
    for one in review.prices:
        found.setdefault(one.row, []).append(one)
    return list(found.values())


def _price_row(some: list[PriceReview]) -> list[str]:
    one = some[0]
    names = "; ".join(each.name for each in some)
    expected, gap = "not known", ""
    if one.expected is not None:
        expected = f"{one.expected}"
        if not one.same_shop:
            expected += f" ({one.seen.place})"
        gap = percent(float(one.price.money / one.expected) - 1) if one.expected else ""
    return [
        f"{names}, {say_package(one.price.amount)}",
        one.station,
        f"{one.price.money} ({one.price.place})",
        expected,
        gap,
        _STATES[one.state],
    ]


def _offered(rows: tuple[dict, ...], what: str):
    if not rows:
        return [what, ""], [["nothing new to note down", ""]]
    headings = [name for name in rows[0] if name != "source"]
    return headings, [[row[name] for name in headings] for row in rows]
