"""Panels for lesson 03: swap a pan, share a batter over several, measure a pan of your own."""

from __future__ import annotations

import ipywidgets as widgets

from kitchenkit.charts.pans import FillChart, PanChart
from kitchenkit.errors import KitchenError
from kitchenkit.language import mark, num, tr, trc, trn
from kitchenkit.panels.base import Panel
from kitchenkit.panels.controls import dropdown, number, pan_dropdown, slider, text
from kitchenkit.panels.pieces import show_if
from kitchenkit.panels.scale import RecipePanel
from kitchenkit.pans import KINDS, MATERIALS, Pan
from kitchenkit.saying import say_both, say_inches
from kitchenkit.sharing import share_batch
from kitchenkit.swapping import swap_pan
from kitchenkit.units import Q

_HOT = mark("Pans and racks burn: dry mitts, a clear path, and tell the room before you carry one.")
_FILLS = [
    (mark("as full as usual"), 0.0),
    (mark("half full"), 0.5),
    (mark("two-thirds full"), 2 / 3),
    (mark("three-quarters full"), 0.75),
]


def _fit_row(fit) -> list[str]:
    said = num(fit.count, "d")
    return [
        tr(fit.pan.name),
        trn("{n} pan", "{n} pans", fit.count, n=said)
        if fit.pan.wells == 1
        else trn("{n} well", "{n} wells", fit.count, n=said),
        say_both(fit.each),
        num(fit.fill, ".0%"),
        say_both(fit.depth),
        say_both(fit.pan.capacity),
    ]


def _headings() -> list[str]:
    return [
        tr("pan"),
        tr("filled"),
        tr("batter in each"),
        tr("how full"),
        tr("batter depth"),
        tr("holds, brimful"),
    ]


class SwapPanel(RecipePanel):
    """One batter in two pans: how many, how full, how deep."""

    title = mark("Swap a pan")
    cautions = (
        _HOT,
        mark("Deeper batter takes longer and shallower less: after a swap, look early and often."),
    )

    def make_chart(self) -> PanChart:
        return PanChart([trc("a pan", "from"), trc("a pan", "to")])

    def make_controls(self) -> dict[str, widgets.ValueWidget]:
        return {
            "batches": slider(tr("Times the recipe"), 1, 0.5, 4, 0.25),
            "from_pan": pan_dropdown(self.kit, tr("From this pan"), "loaf"),
            "to_pan": pan_dropdown(self.kit, tr("To this pan"), "muffin"),
            "fill": dropdown(
                tr("Fill the new pan"), [(tr(words), fill) for words, fill in _FILLS], 0.0
            ),
            "cup": number(
                tr("A level cup of your batter weighs (g); 0: not weighed"), 0, 0, 400, 1
            ),
        }

    def refresh(self) -> None:
        value = self.values()
        made = self.recipe.scale(by=value["batches"])
        if value["cup"]:
            made = made.with_cup_weight(Q(value["cup"], "g"))
        was = swap_pan(made.volume, self.kit.pans[value["from_pan"]])
        fit = swap_pan(made.volume, self.kit.pans[value["to_pan"]], fill=value["fill"] or None)
        self.chart.update([was.pan, fit.pan], [was.each, fit.each], [was.count, fit.count])
        rows = [_fit_row(was), _fit_row(fit)]
        self.show(
            tr("{volume} of batter. {advice}", volume=say_both(made.volume), advice=fit.advice),
            _headings(),
            rows,
            [
                tr("Batter weighs {density}.", density=made.density_why),
                self._source_note(fit.pan),
            ],
        )

    def _source_note(self, pan: Pan) -> str:
        return tr(
            "Sizes of the {pan}: {source}.", pan=tr(pan.name), source=self.kit.cite(pan.source)
        )


class SharePanel(RecipePanel):
    """One batter over the pans you own: one loaf, and the rest muffins."""

    title = mark("Share a batter over your pans")
    cautions = (
        _HOT,
        mark(
            "Small pans are done first: take them out as they are ready, and shut the door quickly."
        ),
    )

    def make_chart(self) -> FillChart:
        return FillChart()

    def make_controls(self) -> dict[str, widgets.ValueWidget]:
        controls = {"batches": slider(tr("Times the recipe"), 2, 0.5, 6, 0.25)}
        order = (
            (tr("First, pan 1"), "loaf", 1),
            (tr("Then, pan 2"), "muffin", 24),
            (tr("Last, pan 3"), "mini loaf", 0),
        )
        for at, (label, kind, count) in enumerate(order, start=1):
            controls[f"pan_{at}"] = pan_dropdown(self.kit, label, kind)
            controls[f"count_{at}"] = slider(
                tr("How many of pan {at} you have (pans or wells)", at=num(at, "d")),
                count,
                0,
                48,
                1,
            )
        return controls

    def refresh(self) -> None:
        value = self.values()
        made = self.recipe.scale(by=value["batches"])
        owned = [(self.kit.pans[value[f"pan_{at}"]], value[f"count_{at}"]) for at in (1, 2, 3)]
        share = share_batch(made.volume, owned)
        fits = share.fits
        self.chart.update([f.pan for f in fits], [f.fill for f in fits], [f.count for f in fits])
        left = say_both(share.left_over) if share.left_over.magnitude else tr("nothing")
        self.show(
            tr("{volume} of batter. {advice}", volume=say_both(made.volume), advice=share.advice),
            _headings(),
            [*map(_fit_row, fits), [tr("left over"), "", left, "", "", ""]],
        )


class MyPanPanel(Panel):
    """Measure a pan of your own with a ruler, and better, with water."""

    title = mark("Measure a pan of your own")
    cautions = (
        mark("Weigh the water in a dry, cool pan on a steady scale, away from plugs and sockets."),
    )

    def make_chart(self) -> PanChart:
        return PanChart([trc("a pan", "yours")])

    def make_controls(self) -> dict[str, widgets.ValueWidget]:
        return {
            "kind": dropdown(tr("Kind of pan"), [(tr(kind), kind) for kind in KINDS], "loaf"),
            "rim_length": text(tr("Inside length, or width across, at the rim"), "8 3/4 in"),
            "rim_width": text(tr("Inside width at the rim (boxes)"), "4 3/4 in"),
            "base_length": text(tr("The same at the bottom: length or width across"), "8 in"),
            "base_width": text(tr("The same at the bottom: width (boxes)"), "4 in"),
            "deep": text(tr("Inside depth, straight up"), "2 3/4 in"),
            "tube": text(tr("Tube's width across, if it has one"), "2 in"),
            "material": dropdown(tr("Made of"), [(tr(what), what) for what in MATERIALS], "metal"),
            "water": number(
                tr("Water that fills it to the brim (g); 0: not weighed"), 0, 0, 9000, 1
            ),
        }

    def respond(self, change=None) -> None:
        """Another kind of pan starts from that kind's usual sizes."""
        if change is not None and change["owner"] is self.controls["kind"] and not self._busy:
            self._busy = True
            for name, size in self._usual_sizes(change["new"]).items():
                self.controls[name].value = size
            self._busy = False
        super().respond(change)

    def _usual_sizes(self, kind: str) -> dict:
        pan = next((p for p in self.kit.pans.values() if p.kind == kind), None)
        if pan is None:
            return {}

        def inches(metres: float | None) -> str:
            return say_inches(Q(metres or 0.0, "m"))

        return {
            "rim_length": inches(pan.top_length),
            "rim_width": inches(pan.top_width),
            "base_length": inches(pan.bottom_length),
            "base_width": inches(pan.bottom_width),
            "deep": inches(pan.height),
            "tube": inches(pan.tube_bottom),
            "water": 0,
        }

    def refresh(self) -> None:
        value = self.values()
        shape = KINDS[value["kind"]].shape
        for name in ("rim_width", "base_width"):
            show_if(self.controls[name], shape == "box")
        show_if(self.controls["tube"], shape == "tube")
        box = shape == "box"
        pan = Pan.from_sizes(
            value["kind"],
            (value["rim_length"], value["rim_width"]) if box else value["rim_length"],
            value["deep"],
            (value["base_length"], value["base_width"]) if box else value["base_length"],
            tube=value["tube"] if shape == "tube" else None,
            material=value["material"],
            name=mark("pan you measured"),
        )
        by_ruler = pan.capacity
        if value["water"]:
            pan = pan.with_water(Q(value["water"], "g"))
        if not pan.capacity.magnitude:
            raise KitchenError(tr("That pan holds nothing. Measure it again."))
        usual = pan.usual_volume
        self.chart.update([pan], [usual], [1])
        limits = pan.fill_limits
        by_water = say_both(pan.capacity) if value["water"] else tr("not weighed")
        depth = say_both(pan.depth(usual))
        rows = [
            [tr("holds, brimful, by ruler"), say_both(by_ruler)],
            [tr("holds, brimful, by water"), by_water],
            [tr("least batter"), say_both(limits.low * pan.capacity)],
            [tr("usual batter"), say_both(usual)],
            [tr("most batter"), say_both(limits.high * pan.capacity)],
            [tr("depth at usual"), depth],
        ]
        said = {"capacity": say_both(pan.capacity), "usual": say_both(usual), "depth": depth}
        self.show(
            tr(
                "Your pan holds {capacity} to the brim (by water). Fill it with about {usual} of "
                "batter, {depth} deep.",
                **said,
            )
            if value["water"]
            else tr(
                "Your pan holds {capacity} to the brim (by ruler; water is surer). Fill it with "
                "about {usual} of batter, {depth} deep.",
                **said,
            ),
            [tr("your pan"), tr("figure")],
            rows,
        )
