"""What the pictures show: drawn sizes against the geometry, labels, limits, text kept as text."""

from __future__ import annotations

import itertools
import re

import numpy as np
import pytest
from matplotlib.text import Text

import kitchenkit as kk
from kitchenkit import language
from kitchenkit.charts.bake import BakeChart
from kitchenkit.charts.classroom import ClassChart
from kitchenkit.charts.cost import PARTS, CostChart
from kitchenkit.charts.flavours import PairsChart
from kitchenkit.charts.freezing import CoolChart, FreezeChart
from kitchenkit.charts.labels import LabelChart
from kitchenkit.charts.measure import HeatChart, SameAmountChart
from kitchenkit.charts.pans import FillChart, PanChart
from kitchenkit.charts.progress import STATES, ProgressChart
from kitchenkit.charts.scale import BatterChart, BeforeAfterChart
from kitchenkit.charts.stock import StockChart
from kitchenkit.clock import Clock
from kitchenkit.labels import LABEL_MM, Label, freezer_labels
from kitchenkit.language import LANGUAGES, speaking
from kitchenkit.racks import Oven
from kitchenkit.stock import freezer_plan
from kitchenkit.timetable import Batch, oven_timetable
from kitchenkit.typesetting import lay_card
from kitchenkit.units import Q


def _area(points: np.ndarray) -> float:
    x, y = points.T
    return abs(np.dot(x, np.roll(y, 1)) - np.dot(y, np.roll(x, 1))) / 2


def _outlines(patch) -> list[np.ndarray]:
    return [np.array(p) for p in patch.get_path().to_polygons(closed_only=False)]


def test_svg_is_one_sized_to_its_column_with_text_and_alt():
    chart = HeatChart()
    chart.alt = 'A "quoted" <sentence>'
    chart.update(350)
    page = chart.svg()
    assert page.startswith("<svg role=")
    assert page.count("<svg") == 1
    assert "width:100%" in page[:200]
    assert "&quot;quoted&quot; &lt;sentence&gt;" in page
    assert re.search(r"<text[^>]*>gas mark</text>", page)
    assert "<style" not in page  # a rule in a picture is one for the whole page around it


def test_same_state_same_picture():
    one, two = HeatChart(), HeatChart()
    assert one.svg() == two.svg()


def test_heat_scales_agree():
    """The line crosses 350 °F, 177 °C and gas mark 4 at one place."""
    chart = HeatChart()
    chart.update(350)
    places = {text.get_text(): text.get_position() for text in chart.axes.texts}
    assert places["350"][0] == 350
    assert places["4"][0] == 350
    assert places["180"][0] == pytest.approx(356)


def test_same_amount_bars():
    chart = SameAmountChart()
    grams = [122.0, 356, 188, 300, 327, 129]
    chart.update(list("abcdef"), grams)
    assert [bar.get_width() for bar in chart.bars] == grams
    assert chart.bars[0].get_hatch()  # the chosen one differs by more than its colour
    assert not chart.bars[1].get_hatch()
    assert chart.axes.get_xlim()[1] > 356


def test_before_and_after():
    chart = BeforeAfterChart(["flour", "salt"], [188.0, 3.0])
    chart.update([376.0, 6.0])
    assert [bar.get_width() for bar in chart.before] == [188, 3]
    assert [bar.get_width() for bar in chart.after] == [376, 6]
    assert [label.get_text() for label in chart.labels] == ["376", "6.0"]
    assert chart.before[0].get_hatch() != chart.after[0].get_hatch()


def test_batter_parts_differ_by_hatch_or_lightness():
    chart = BatterChart(list("abcdefgh"))
    looks = [(bar.get_hatch(), bar.get_facecolor()) for bar in chart.bars]
    assert len(set(looks)) == len(looks)


@pytest.mark.parametrize("share", [0.1, 0.5, 0.66, 1.0])
def test_pan_drawings_are_to_scale(kit, share):
    """Cross-section and plan of the batter, as areas on the paper, are those of the solid."""
    chart = PanChart(["one"])
    (place,) = chart.places
    for pan in kit.pans.values():
        volume = pan.capacity * share
        chart.update([pan], [volume], [1])
        level = pan.depth(volume).m_as("cm")
        low, high = pan.size_at("0 cm"), pan.size_at(Q(level, "cm"))
        sides = [(size[0] - size[2]).m_as("cm") for size in (low, high)]
        assert sum(map(_area, _outlines(place.batter))) == pytest.approx(
            level * sum(sides) / 2, rel=1e-6
        ), pan.key
        plan = sum(map(_area, _outlines(place.plan_batter)))
        hole = sum(map(_area, _outlines(place.hole)))
        top = pan.top_area(volume).m_as("cm**2")
        assert plan - hole == pytest.approx(top, rel=6e-3), pan.key


def test_two_pans_share_one_scale(kit):
    chart = PanChart(["from", "to"])
    loaf, muffin = kit.pans["loaf-9x5"], kit.pans["muffin-12"]
    chart.update([loaf, muffin], [loaf.usual_volume, muffin.usual_volume], [1, 12])
    left, right = chart.places
    assert left.axes.get_xlim() == right.axes.get_xlim()
    assert left.axes.get_ylim() == right.axes.get_ylim()
    assert left.axes.get_aspect() == right.axes.get_aspect() == 1
    assert "12 wells" in chart.captions[1].get_text()


def test_every_pan_fits_its_picture(kit):
    chart = PanChart(["one"])
    (place,) = chart.places
    for pan in kit.pans.values():
        chart.update([pan], [pan.usual_volume], [1])
        (x0, x1), (y0, y1) = place.axes.get_xlim(), place.axes.get_ylim()
        for patch in (place.wall, place.rim, place.batter):
            for points in _outlines(patch):
                assert x0 < points[:, 0].min(), pan.key
                assert points[:, 0].max() < x1, pan.key
                assert y0 < points[:, 1].min(), pan.key
                assert points[:, 1].max() < y1, pan.key


@pytest.mark.parametrize("name", LANGUAGES)
def test_no_caption_runs_into_its_drawing_or_its_neighbour(kit, name):
    """Names are longer in some languages than in others."""
    with speaking(name):
        chart = PanChart(["one", "two"])
        left, right = chart.captions
        page = chart.figure.bbox
        for pan in kit.pans.values():
            chart.update([pan] * 2, [pan.usual_volume] * 2, [12] * 2)
            for caption, size, place in zip(chart.captions, chart.sizes, chart.places, strict=True):
                drawing = place.axes.get_window_extent()
                assert caption.get_window_extent().y0 >= drawing.y1, pan.key
                assert size.get_window_extent().y1 <= drawing.y0, pan.key
            for texts in ((left, right), chart.sizes):
                first, second = (text.get_window_extent() for text in texts)
                assert page.x0 <= first.x0 < first.x1 < second.x0 < second.x1 <= page.x1, pan.key


@pytest.mark.parametrize("name", LANGUAGES)
def test_no_bar_of_a_fill_runs_into_the_next_one_s_name(kit, name):
    with speaking(name):
        chart = FillChart()
        page = chart.figure.bbox
        for pan in kit.pans.values():
            chart.update([pan] * 3, [0.6] * 3, [24] * 3)
            names = [label.get_window_extent() for label in chart.axes.get_yticklabels()]
            assert all(page.x0 <= place.x0 for place in names), pan.key
            for above, below in itertools.pairwise(names):
                assert above.y0 >= below.y1, pan.key


def _shown(figure) -> list[Text]:
    """Its words and numbers but those of ticks beyond the ends of an axis, which are not drawn."""
    beyond = {
        label
        for axes in figure.axes
        for axis in (axes.xaxis, axes.yaxis)
        for tick in axis.get_major_ticks()
        if not min(axis.get_view_interval()) <= tick.get_loc() <= max(axis.get_view_interval())
        for label in (tick.label1, tick.label2)
    }
    texts = [text for text in figure.findobj(Text) if text not in beyond and text.get_visible()]
    return [text for text in texts if text.get_text().strip()]


@pytest.mark.parametrize("name", LANGUAGES)
def test_no_word_of_a_panel_s_picture_is_cut_off_in_any_language(kit, name, monkeypatch):
    monkeypatch.setattr(language, "_speech", language._Speech(name))
    for panel in (panel for panel in kk.__all__ if panel.endswith("Panel")):
        chart = getattr(getattr(kk, panel)(kit), "chart", None)
        if chart is not None:
            page = chart.figure.bbox
            for text in _shown(chart.figure):
                place, words = text.get_window_extent(), (panel, text.get_text())
                assert page.x0 - 1 <= place.x0 <= place.x1 <= page.x1 + 1, words
                assert page.y0 - 1 <= place.y0 <= place.y1 <= page.y1 + 1, words


def test_an_overfull_pan_is_drawn_to_the_rim_and_said(kit):
    chart = PanChart(["one"])
    pan = kit.pans["loaf-9x5"]
    chart.update([pan], [pan.capacity * 1.2], [1])
    assert chart.sizes[0].get_text().startswith("batter more than it holds")
    top = max(points[:, 1].max() for points in _outlines(chart.places[0].batter))
    assert top == pytest.approx(pan.height * 100)


def test_bake_curves_and_windows_share_one_clock():
    chart = BakeChart()
    clock = np.linspace(0, 60, 7)
    curves = [(clock, np.linspace(20, 110, 7)), (clock, np.linspace(20, 60, 7))]
    chart.update(curves, [(30.0, 40.0, 55.0), (20.0, 30.0, 40.0)], 96.0)
    assert chart.curves_axes.get_xlim() == chart.bars_axes.get_xlim()
    assert [bar.get_x() for bar in chart.bars[:2]] == [30, 20]
    assert [bar.get_width() for bar in chart.bars] == [25, 20, 0]
    assert list(chart.done[0].get_xdata()) == [40]
    assert list(chart.done[2].get_xdata()) == []
    assert max(chart.curves[0].get_ydata()) < 100  # nothing is drawn past boiling
    assert list(chart.crumb.get_ydata()) == [96, 96]
    assert len({line.get_linestyle() for line in chart.curves}) == 3


def test_costs_stack_up_beside_the_bought_snack():
    chart = CostChart()
    parts = {"ingredients": 0.16, "energy": 0.03}
    swings = [("yogurt", 0.17, 0.21), ("egg", 0.18, 0.20)]
    chart.update(parts, 1.80, ("$0.19", "$1.80"), swings, "USD a serving")
    ends = [(bar.get_x(), bar.get_width()) for bar in chart.stack]
    assert np.allclose(ends, [(0, 0.16), (0.16, 0), (0.16, 0.03), (0.19, 0)])
    assert chart.bought.get_width() == 1.80
    assert [bar.get_width() for bar in chart.swings] == pytest.approx([0.04, 0.02, 0, 0, 0])
    assert [text.get_text() for text in chart.key.get_texts()] == list(PARTS)
    assert chart.unit.get_text() == "USD a serving"
    assert len({bar.get_hatch() for bar in chart.stack}) == 4


def test_a_label_is_drawn_to_scale_and_its_places_are_counted():
    chart = LabelChart()
    label = Label("carrot $3$ cake", "2026-11-25", "2027-01-24", ("wheat",), 2)
    sheet = freezer_labels([(label, 20)])
    size = LABEL_MM[False]
    fields = lay_card(label.card(), size[0])
    chart.update(fields, size, sheet)
    assert chart.card.get_path().get_extents().size == pytest.approx(size)
    drawn = [artist.get_text() for artist in chart.lines if artist.get_text()]
    assert drawn == [line for one in fields for line in one.lines]
    name = chart.lines[0]
    assert not name.get_parse_math()  # two dollars are money, not a formula
    assert name.get_fontsize() == pytest.approx(13 * chart.scale)
    assert 0.9 < chart.scale < 1
    smallest = min(artist.get_fontsize() for artist in chart.lines[: len(drawn)])
    assert smallest >= 7
    assert len(chart.full.get_path().to_polygons()) == 20
    assert len(chart.empty.get_path().to_polygons()) == 8
    assert chart.caption.get_text() == "20 of 28 places on A4"


def test_fill_bars(kit):
    chart = FillChart()
    loaf, muffin = kit.pans["loaf-9x5"], kit.pans["muffin-12"]
    chart.update([loaf, muffin], [0.6, 0.7], [1, 12])
    assert [bar.get_width() for bar in chart.bars] == pytest.approx([60, 70, 0])
    assert [label.get_text() for label in chart.labels] == ["60%", "70%", ""]
    usual = [loaf.fill_limits.usual * 100, muffin.fill_limits.usual * 100]
    assert list(chart.usual.get_xdata()) == pytest.approx(usual)


def test_pairs_before_and_after_and_what_changes():
    chart = PairsChart(["fat", "sugar"], ["minutes", "cost"], ("base", "flavoured"))
    chart.update([29.3, 59.1], [29.3, 5.5], [6.0, -12.0], ["29 → 31 min", "$0.16 → $0.14"])
    assert [bar.get_width() for bar in chart.before] == [29.3, 59.1]
    assert [bar.get_width() for bar in chart.after] == [29.3, 5.5]
    assert [label.get_text() for label in chart.labels] == ["29", "59 → 5.5"]
    assert [bar.get_width() for bar in chart.bars] == [6, -12]
    assert [text.get_text() for text in chart.shares] == ["+6", "−12"]
    low, high = chart.change_axes.get_xlim()
    assert low < -12
    assert high > 12
    assert chart.before[0].get_hatch() != chart.after[0].get_hatch()
    assert re.search(r"<text[^>]*>\$0.16 → \$0.14</text>", chart.svg())  # money, no formula


def test_stock_in_steps_with_its_bakes_under_the_room():
    chart = StockChart()
    usual = {"batch": 16, "room": "40 l", "portion": "250 ml", "start": "2026-11-29"}
    plan = freezer_plan(4, 5, **usual)
    chart.update(plan.days, plan.room, plan.keep)
    assert list(chart.stock.get_ydata()) == list(plan.days["stock"])
    assert chart.stock.get_drawstyle() == "steps-post"
    assert list(chart.bakes.get_xdata()) == [0, 7, 14]  # Sundays from the first day on
    assert list(chart.room.get_ydata()) == [96, 96]
    assert chart.room_label.get_text() == "room for 96"
    assert list(chart.age.get_ydata()) == list(plan.days["oldest"])
    assert list(chart.keep.get_ydata()) == [60, 60]
    assert chart.stock_axes.get_ylim()[1] > 96
    assert chart.age_axes.get_ylim()[1] > 60
    assert chart.stock_axes.get_xlim() == chart.age_axes.get_xlim()
    assert [t.get_text() for t in chart.age_axes.get_xticklabels()][:2] == ["29 Nov", "6 Dec"]
    assert not len(chart.unchanged.get_xdata())
    lost = plan.without("2026-12-06")
    chart.update(lost.plan.days, plan.room, plan.keep, lost.unchanged.days, lost.dates)
    assert list(chart.unchanged.get_ydata()) == list(lost.unchanged.days["stock"])
    assert list(chart.missed.get_xdata()) == [7]
    short = [n for n, much in enumerate(lost.plan.days["short"]) if much]
    assert list(chart.short.get_xdata()) == short
    assert short
    assert {chart.stock.get_linestyle(), chart.unchanged.get_linestyle()} == {"-", ":"}


def test_cooling_curves_and_windows_share_one_clock():
    chart = CoolChart()
    clock = np.linspace(0, 200, 21)
    curves = [21 + 75 * np.exp(-clock / scale) for scale in (60, 20, 30)]
    chart.update(
        clock, curves, [(100.0, 150.0, 180.0), (40.0, 50.0, 60.0), (60.0, 75.0, 90.0)], 27, 21
    )
    assert chart.curves_axes.get_xlim() == chart.bars_axes.get_xlim() == (0, 200)
    assert [bar.get_x() for bar in chart.bars] == [100, 40, 60]
    assert [bar.get_width() for bar in chart.bars] == [80, 20, 30]
    assert list(chart.wrap.get_ydata()) == [27, 27]
    assert list(chart.room.get_ydata()) == [21, 21]
    assert "27 °C (81 °F)" in chart.wrap_label.get_text()
    assert len({line.get_linestyle() for line in chart.curves}) == 3
    assert len({bar.get_hatch() for bar in chart.bars}) == 3


def test_a_freezing_course_with_its_window_and_plank():
    chart = FreezeChart()
    hours = np.array([0.0, 1.0, 2.0, 3.0])
    middle, surface = np.array([20.0, -4, -6, -16]), np.array([20.0, -6, -9, -17])
    levels = [(-5.0, "ice forms"), (-16.0, "frozen through")]
    chart.update((hours, middle, surface), (2.0, 3.0, 4.0), levels, -18.0, "until frozen", 1.5)
    assert chart.middle.get_ydata()[-1] == -16
    assert np.interp(1.0, *chart.surface.get_data()) == pytest.approx(-6, abs=0.5)
    assert [list(line.get_ydata()) for line in chart.levels] == [[-5, -5], [-16, -16]]
    assert chart.bar.get_x() == 2
    assert chart.bar.get_width() == 2
    assert list(chart.plank.get_xdata()) == [1.5]
    assert chart.curves_axes.get_xlim() == chart.bar_axes.get_xlim()
    chart.update((hours, -middle, -surface), (2.0, 3.0, 4.0), levels[:1], 21.0, "until thawed")
    assert list(chart.plank.get_xdata()) == []
    assert [label.get_text() for label in chart.level_labels] == ["ice forms", ""]


def test_a_class_as_lanes_against_the_clock(kit):
    """Three tins in one narrow oven of one rack: loads go in at 25, 58 and 91 min."""
    window = (20.0, 25.0, 30.0)
    some = [Batch("a", kit.pans["muffin-12"], 3, Q(175, "degC"), (window,) * 3)]
    table = oven_timetable(some, [Oven("the oven", 1, "46 cm", "36 cm")])
    chart = ClassChart()
    chart.update(table, 120, Clock("18:00"))

    def spans(name):
        paths = chart.bars[name].get_paths()
        return [(min(p.vertices[:, 0]), max(p.vertices[:, 0])) for p in paths]

    assert spans("bench") == [(0, 25)]
    assert spans("warm") == [(10, 25)]
    assert spans("bake") == [(25, 45), (58, 78), (91, 111)]
    assert spans("window") == [(45, 55), (78, 88), (111, 121)]
    assert spans("cool") == [(55, 85), (88, 118), (121, 151)]
    assert spans("pack") == [(151, 156)]
    lanes = [label.get_text() for label in chart.axes.get_yticklabels()]
    assert lanes == ["bench", "the oven", "cooling"]
    heights = [path.vertices[:, 1].mean() for path in chart.bars["bake"].get_paths()]
    assert np.allclose([round(height) for height in heights], 1)
    assert list(chart.end.get_xdata()) == [120, 120]
    assert chart.end_label.get_text() == "end, 20:00"
    assert [n.get_text() for n in chart.numbers if n.get_visible()] == ["1", "2", "3"]
    assert chart.axes.get_xlim()[1] > 156
    hatches = [bars.get_hatch() for bars in chart.bars.values()]
    assert len(set(hatches)) == len(hatches)
    late = chart.end.get_color()
    chart.update(table, 160, Clock("6:00 pm"))
    assert chart.end.get_color() != late  # over time or not, by its colour and by the sentence
    assert chart.axes.get_xticklabels()[0].get_text() == "6:00\npm"


def test_a_class_s_answers_stack_up_and_differ_by_more_than_colour():
    chart = ProgressChart()
    chart.update(["use up", "factor"], [(4, 1, 1), (6, 0, 0)], "learners who tried")
    for at, counts in enumerate([(4, 1, 1), (6, 0, 0), (0, 0, 0)]):
        left = 0
        for bars, count in zip(chart.bars, counts, strict=True):
            assert (bars[at].get_x(), bars[at].get_width()) == (left, count)
            assert bars[at].get_visible() is (count > 0)
            left += count
    assert [label.get_text() for label in chart.labels[:3]] == ["4 of 6", "6 of 6", ""]
    assert len({bars[0].get_hatch() for bars in chart.bars}) == len(STATES)
    assert [tick.get_text() for tick in chart.axes.get_yticklabels()] == ["use up", "factor"]
    assert chart.axes.get_xlim()[1] > 6
    chart.update([], [], "answers")
    assert not any(bar.get_visible() for bars in chart.bars for bar in bars)
