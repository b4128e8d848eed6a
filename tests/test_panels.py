"""Every panel: each control to both ends, the numbers shown, undo, wrong input, nothing jumping."""

from __future__ import annotations

import html
import re

import ipywidgets as widgets
import numpy as np
import pytest

import kitchenkit as kk
from kitchenkit.errors import KitchenError
from kitchenkit.panels.base import page_text, table_html
from kitchenkit.panels.controls import percent, times
from kitchenkit.panels.pieces import is_shown
from kitchenkit.units import Q

PANELS = ["GlancePanel", "MeasurePanel", "OvenHeatPanel", "ScalePanel", "SwapPanel"]
PANELS += ["SharePanel", "MyPanPanel", "BakePanel", "CostPanel", "HistoryPanel", "LabelsPanel"]
PANELS += ["ClassProgressPanel", "FlavourPanel", "ReplacePanel"]
PANELS += ["StockPanel", "CoolPanel", "FreezePanel", "ClassPanel", "MonthPanel"]
PANELS += ["AfterClassPanel"]


@pytest.fixture(params=PANELS)
def panel(request, kit):
    return getattr(kk, request.param)(kit)


def _ends(control) -> list:
    if isinstance(control, (widgets.IntSlider, widgets.FloatSlider, widgets.BoundedFloatText)):
        return [control.min, control.max]
    if isinstance(control, widgets.Dropdown):
        values = [o[1] if isinstance(o, tuple) else o for o in control.options]
        return [values[0], values[-1], *values[::9]]
    return ["9 cm", "2 kg", "1/3 cup"]


def _answer(panel) -> str:
    """What the panel shows: its sentence and table, or why it refuses."""
    shown = panel._sentence.value
    assert "stumbled" not in shown
    if 'role="alert"' in shown:
        return shown
    assert _numbers(panel.sentence)
    assert html.escape(panel.sentence) in shown
    return panel.sentence + str(panel.table)


def _numbers(words: str) -> list[float]:
    return [float(n.replace(",", "")) for n in re.findall(r"\d[\d,]*(?:\.\d+)?", words)]


class TestEveryPanel:
    def test_every_control_to_both_ends(self, panel):
        """Whatever is moved, the panel answers with finite numbers, or refuses in one sentence."""
        for name, control in panel.controls.items():
            for value in _ends(control):
                control.value = value
                said = _answer(panel)
                assert _numbers(said) or len(said) > 20, (name, value)
                assert not re.search(r"\b(nan|inf)\b", said.casefold()), (name, value)
            panel.reset()

    def test_labels_name_their_units(self, panel):
        for name, control in panel.controls.items():
            assert control.description, name
            if isinstance(control, widgets.BoundedFloatText) or "weight" in name:
                assert re.search(r"\(g\)|minutes|USD", control.description), name

    def test_a_still_for_pages_that_have_not_run(self, panel):
        still = panel._repr_mimebundle_()
        assert "application/vnd.jupyter.widget-view+json" in still
        assert panel.sentence in still["text/plain"]
        assert "data:image/svg+xml;base64," in still["text/html"]
        for cell in panel.table[1]:
            assert page_text(cell) in still["text/html"]

    def test_the_picture_tells_its_sentence_to_a_screen_reader(self, panel):
        assert panel.chart.alt == panel.sentence
        assert 'role="img" aria-label="' in panel._picture.value

    def test_one_figure_kept(self, panel):
        figure = panel.chart.figure
        artists = len(figure.findobj())
        for _ in range(2):
            for control in panel.controls.values():
                for value in _ends(control)[:2]:
                    control.value = value
        panel.reset()
        assert panel.chart.figure is figure
        assert len(figure.findobj()) <= artists + 40  # tick marks come and go with the limits

    def test_start_again_and_one_step_back(self, panel):
        at_first = panel.values()
        name, control = next(iter(panel.controls.items()))
        control.value = next(v for v in _ends(control) if v != control.value)
        moved = panel.values()
        assert not panel._back.disabled
        panel.reset()
        assert panel.values() == at_first
        panel.step_back()
        assert panel.values() == moved
        panel.step_back()
        assert panel.values() == at_first
        assert panel._back.disabled
        assert name in at_first

    def test_a_browser_rounding_is_no_move(self, panel):
        for control in panel.controls.values():
            if isinstance(control, widgets.FloatSlider):
                control.value = control.value * (1 - 1.2e-16)  # what a browser sends for it
        assert panel._back.disabled

    def test_a_fault_of_ours_is_said_and_not_swallowed(self, panel, monkeypatch):
        def stumble():
            raise ZeroDivisionError("planned")

        monkeypatch.setattr(panel, "refresh", stumble)
        control = next(iter(panel.controls.values()))
        control.value = next(v for v in _ends(control) if v != control.value)
        assert "The kit stumbled" in panel._sentence.value
        assert "ZeroDivisionError" in panel._sentence.value
        with pytest.raises(ZeroDivisionError):
            panel.refresh()


def test_no_two_options_or_labels_of_a_panel_are_alike(panel):
    labels = [control.description for control in panel.controls.values()]
    repeated = {label for label in labels if labels.count(label) > 1}
    assert not repeated


class TestMeasure:
    def test_the_weight_shown_is_the_data(self, kit):
        panel = kk.MeasurePanel(kit)
        panel.controls["ingredient"].value = "honey"
        panel.controls["amount"].value = "1 cup"
        assert "339 g" in panel.sentence  # USDA SR 19296
        assert panel.table[1][1].startswith("339 g")

    @pytest.mark.parametrize("wrong", ["", "lots", "2-3 cups", "-1 g", "0 g", "<script>", "9 in"])
    def test_wrong_amounts_are_refused_and_the_picture_stays(self, kit, wrong):
        panel = kk.MeasurePanel(kit)
        before = panel._picture.value, panel._numbers.value
        panel.controls["amount"].value = wrong
        assert "Look again:" in panel._sentence.value
        assert "<script>" not in panel._sentence.value
        assert (panel._picture.value, panel._numbers.value) == before
        panel.controls["amount"].value = "2 cups"
        assert "Look again" not in panel._sentence.value

    def test_heat(self, kit):
        panel = kk.OvenHeatPanel(kit)
        panel.controls["heat"].value = 400
        assert "204 °C" in panel.sentence
        assert "gas mark 6" in panel.sentence
        assert list(panel.chart.line.get_xdata()) == [400, 400]


class TestScale:
    @pytest.mark.parametrize(
        ("way", "shown"),
        [
            ("by", {"by"}),
            ("servings", {"servings"}),
            ("weight", {"weight"}),
            ("using", {"use_up", "use_amount"}),
            ("pans", {"pan", "pan_count"}),
        ],
    )
    def test_only_what_matters_is_shown(self, kit, way, shown):
        panel = kk.ScalePanel(kit)
        panel.controls["way"].value = way
        visible = {n for n, c in panel.controls.items() if is_shown(c)}
        assert visible == shown | {"way"}

    def test_use_up_700_g_of_carrot(self, kit, base):
        panel = kk.ScalePanel(kit)
        panel.controls["way"].value = "using"
        assert panel.controls["use_up"].value == "shredded carrot"
        factor = 700 / base.line("carrot").weight.m_as("g")
        assert f"{factor:.2f} times the recipe" in panel.sentence
        carrot = next(row for row in panel.table if row[0] == "shredded carrot")
        assert carrot[1] == "700 g"

    def test_twice_is_twice_in_the_table_and_the_picture(self, kit, base):
        panel = kk.ScalePanel(kit)
        panel.controls["by"].value = 3
        for bar, line in zip(panel.chart.after, base.lines, strict=True):
            assert bar.get_width() == pytest.approx(3 * line.weight.m_as("g"))

    def test_wrong_amount_to_use_up(self, kit):
        panel = kk.ScalePanel(kit)
        panel.controls["way"].value = "using"
        panel.controls["use_amount"].value = "some"
        assert "Look again:" in panel._sentence.value


class TestPans:
    def test_the_same_pan_holds_the_same(self, kit):
        panel = kk.SwapPanel(kit)
        panel.controls["to_pan"].value = panel.controls["from_pan"].value
        first, second = panel.table[1:3]
        assert first == second

    def test_a_heavier_cup_of_batter_fills_less(self, kit, base):
        panel = kk.SwapPanel(kit)
        before = _numbers(panel.sentence)[0]
        panel.controls["cup"].value = 260
        assert "measured by weighing a cup" in " ".join(panel.notes)
        wanted = base.weight.m_as("g") / 260 * Q(1, "cup").m_as("ml")
        assert _numbers(panel.sentence)[0] == pytest.approx(wanted, abs=0.5)
        assert _numbers(panel.sentence)[0] < before

    def test_an_absurd_cup_is_refused(self, kit):
        panel = kk.SwapPanel(kit)
        panel.controls["cup"].value = 20
        assert "Look again:" in panel._sentence.value

    def test_sharing_with_no_pans_is_said(self, kit):
        panel = kk.SharePanel(kit)
        for name in ("count_1", "count_2", "count_3"):
            panel.controls[name].value = 0
        assert "Look again:" in panel._sentence.value

    def test_shared_batter_adds_up(self, kit, base):
        panel = kk.SharePanel(kit)
        rows = panel.table[1:-1]
        total = sum(_numbers(row[1])[0] * _numbers(row[2])[0] for row in rows)
        assert total == pytest.approx(2 * base.volume.m_as("ml"), abs=len(rows) * 12)

    def test_my_pan_by_ruler_and_by_water(self, kit):
        panel = kk.MyPanPanel(kit)
        panel.controls["kind"].value = "square"
        for name in ("rim_length", "rim_width", "base_length", "base_width"):
            panel.controls[name].value = "9 in"
        panel.controls["deep"].value = "2 in"
        assert _numbers(panel.table[1][1])[0] == pytest.approx(162 * 16.387, abs=1)
        panel.controls["water"].value = 2500
        assert _numbers(panel.table[2][1])[0] == pytest.approx(2500 / 0.9982, abs=1)

    def test_another_kind_starts_from_its_usual_sizes(self, kit):
        panel = kk.MyPanPanel(kit)
        panel.controls["kind"].value = "mini muffin"
        assert _numbers(panel.table[1][1])[0] < 40  # ml: a mini cup, not a loaf called one
        panel.step_back()
        assert panel.controls["kind"].value == "loaf"
        assert _numbers(panel.table[1][1])[0] > 1000

    @pytest.mark.parametrize("deep", ["", "9", "abc", "20 in", "1000 in", "3 cups"])
    def test_my_pan_refuses_what_is_no_depth(self, kit, deep):
        panel = kk.MyPanPanel(kit)
        panel.controls["deep"].value = deep
        assert "Look again:" in panel._sentence.value
        assert "2 1/2 cups" not in panel._sentence.value
        assert "kk-old" in panel._picture._dom_classes
        panel.controls["deep"].value = "2 in"
        assert "kk-old" not in panel._picture._dom_classes

    def test_my_round_pan_asks_for_no_width(self, kit):
        panel = kk.MyPanPanel(kit)
        panel.controls["kind"].value = "round"
        assert not is_shown(panel.controls["rim_width"])
        assert not is_shown(panel.controls["tube"])
        panel.controls["kind"].value = "tube"
        assert is_shown(panel.controls["tube"])


class TestBake:
    def test_the_sentence_names_the_first_to_be_done(self, kit):
        panel = kk.BakePanel(kit)
        likeliest = [_numbers(row[3])[0] for row in panel.table[1:]]
        first = panel.table[1 + likeliest.index(min(likeliest))][0].split(": ")[1]
        assert f"the {first} is done first" in panel.sentence

    def test_deeper_takes_longer_and_hotter_less(self, kit):
        panel = kk.BakePanel(kit)
        before = _numbers(panel.table[1][3])[0]
        panel.controls["depth"].value = 3.0
        deeper = _numbers(panel.table[1][3])[0]
        panel.controls["oven"].value = 400
        assert before < _numbers(panel.table[1][3])[0] < deeper

    def test_my_own_minutes_shrink_the_window(self, kit):
        panel = kk.BakePanel(kit)
        low, high = _numbers(panel.table[1][4])
        panel.controls["known"].value = 50
        assert _numbers(panel.table[1][3]) == [50]
        mine = _numbers(panel.table[1][4])
        assert mine[1] / mine[0] < high / low
        assert "carried over from your 50 min" in " ".join(panel.notes)

    def test_an_oven_of_the_log(self, kit):
        panel = kk.BakePanel(kit)
        before = _numbers(panel.table[1][3])[0]
        panel.controls["which"].value = "left oven"
        factor = kk.correct_oven(kk.read_bake_log(kit), "left oven").factor
        assert _numbers(panel.table[1][3])[0] == pytest.approx(before * factor, abs=1)
        panel.controls["known"].value = 50
        assert "Look again: Choose one" in panel._sentence.value

    def test_too_deep_for_the_pan_is_said(self, kit):
        panel = kk.BakePanel(kit)
        panel.controls["depth"].value = 5.0
        assert "deeper than the muffin tin" in panel._sentence.value

    def test_racks_height_and_glass_add_their_advice(self, kit):
        panel = kk.BakePanel(kit)
        panel.controls["racks"].value = 2
        panel.controls["altitude"].value = 7500
        panel.controls["material"].value = "glass"
        notes = " ".join(panel.notes)
        assert "swap them and turn every pan" in notes
        assert "198 °F" in notes
        assert "25 °F) cooler" in notes

    def test_one_pan_alone(self, kit):
        panel = kk.BakePanel(kit)
        panel.controls["pan_2"].value = ""
        panel.controls["pan_3"].value = ""
        assert len(panel.table) == 2
        assert "longer" not in panel.sentence


def answer(box, written: str) -> None:
    """Type into the box and press Enter."""
    box.answer._handle_custom_msg({"event": "submit"}, [])  # the browser tells of Enter first
    box.answer.value = written


class TestCost:
    @pytest.fixture
    def panel(self, kit):
        return kk.CostPanel(kit, today="2026-11-25")

    def test_the_table_adds_up_and_is_the_calculation(self, panel, kit, base):
        energy = kk.OvenUse(kk.tariff(kit, "electricity", "2026-11-25"), 60)
        found = kk.cost(kit, base, 16, today="2026-11-25", energy=energy)
        rows = {row[0]: row for row in panel.table}
        assert rows["one serving"][2] == str(found.batch)
        parts = sum(_numbers(rows[part][1])[0] for part in ("ingredients", "energy"))
        assert parts == pytest.approx(_numbers(rows["one serving"][1])[0], abs=0.0011)

    def test_money_has_its_currency_date_and_place(self, panel):
        assert "$" in panel.sentence
        assert "2026-11-10, each at its cheapest shop" in panel.sentence
        assert "from the corner shop" in panel.sentence

    def test_history_draws_every_dated_price(self, kit):
        panel = kk.HistoryPanel(kit)
        prices = kk.price_history(kit, panel.controls["item"].value)
        drawn = [value for line in panel.chart.shops for value in line.get_ydata()]
        assert sorted(drawn) == pytest.approx(sorted(float(m) for m in prices["per_100g"]))
        assert len(panel.chart.serving.get_ydata()) == 3

    def test_the_shop_can_win(self, panel):
        assert "Baking is cheaper" in panel.sentence
        panel.controls["snack"].value = "cookie-large-bag"
        assert "Buying is cheaper" in panel.sentence

    def test_a_dearer_carrot_and_more_peel_cost_more(self, panel):
        panel.controls["item"].value = "shredded carrot"
        panel.controls["package"].value = "1 kg"
        before = _numbers(panel.table[1][1])[0]
        panel.controls["price"].value = 6.0
        dearer = _numbers(panel.table[1][1])[0]
        panel.controls["edible"].value = 50
        assert before < dearer < _numbers(panel.table[1][1])[0]

    def test_what_comes_off_a_roll_is_wrapped_by_length(self, panel, kit, base):
        assert not is_shown(panel.controls["length"])
        panel.controls["wrap"].value = "foil"
        assert is_shown(panel.controls["length"])
        energy = kk.OvenUse(kk.tariff(kit, "electricity", "2026-11-25"), 60)
        asked = {"today": "2026-11-25", "energy": energy, "packaging": [("foil", "12 in")]}
        assert panel.table[2][2] == str(kk.cost(kit, base, 16, **asked).parts["packaging"])
        before = _numbers(panel.table[2][1])[0]
        panel.controls["length"].value = "1 m"
        assert _numbers(panel.table[2][1])[0] > before
        panel.controls["length"].value = " "
        assert "what length each piece takes" in panel._sentence.value

    def test_parts_come_and_go(self, panel):
        assert [row[0] for row in panel.table[1:3]] == ["ingredients", "energy"]
        panel.controls["fuel"].value = ""
        panel.controls["hour"].value = 12
        panel.controls["wrap"].value = "paper case"
        assert [row[0] for row in panel.table[1:4]] == ["ingredients", "packaging", "time"]

    def test_wrong_packages_are_refused(self, panel):
        panel.controls["item"].value = "all-purpose flour"
        for wrong in ("", "0 g", "a bag", "9 in"):
            panel.controls["package"].value = wrong
            assert "Look again:" in panel._sentence.value, wrong


class TestStock:
    @pytest.fixture
    def panel(self, kit):
        return kk.StockPanel(kit, today="2026-11-25")

    def test_the_table_is_the_plan(self, panel, kit):
        found = kk.freezer_plan(
            4,
            5,
            batch=16,
            room="40 l",
            portion="250 ml",
            start="2026-11-29",
            keep=kk.keep_by(kit, "quick bread", "freezer"),
        )
        assert [row[0] for row in panel.table[1:]] == [f"Sun {d}" for d in found.bakes["date"]]
        assert [row[2] for row in panel.table[1:]] == [str(n) for n in found.bakes["portions"]]
        assert panel.table[1][1] == "Sat 2026-11-28"
        assert panel.table[1][4] == "Thu 2027-01-28"
        assert panel.sentence.startswith("20 portions a week: 3 bake days in 4 weeks")

    def test_too_little_says_what_to_change_and_the_change_is_enough(self, panel):
        panel.controls["eaters"].value = 12
        assert "112 portions are short" in panel.sentence
        assert "up to 4 batches on a bake day" in panel.notes[1]
        panel.controls["most"].value = 4
        assert "short" not in panel.sentence

    def test_a_missed_bake_is_advised_on_and_marked(self, panel):
        panel.controls["missed"].value = 2
        assert panel.sentence.startswith("Without the bake of 2026-12-06, 16 portions are short")
        assert list(panel.chart.missed.get_xdata()) == [7]
        panel.controls["most"].value = 4
        panel.controls["spare"].value = 20
        assert panel.sentence.endswith("Then nobody goes without.")
        panel.controls["missed"].value = 0
        assert "Without" not in panel.sentence

    def test_a_bake_that_is_not_there_cannot_be_missed(self, panel):
        panel.controls["weeks"].value = 1
        panel.controls["missed"].value = 4
        assert "Look again: The plan has 1 bake." in panel._sentence.value

    def test_what_needs_cold_says_so(self, panel):
        assert "needs cold" not in " ".join(panel.notes)
        panel.controls["product"].value = "cream-cheese-topped"
        assert "It needs cold" in " ".join(panel.notes)
        assert "of 30 days old" in panel.sentence

    def test_only_what_keeps_in_a_freezer_is_offered(self, panel, kit):
        offered = [key for _, key in panel.controls["product"].options]
        assert "raw-batter" not in offered
        assert set(offered) == {*kit.keeping} - {"raw-batter"}

    def test_a_year_has_more_bakes_than_the_table(self, panel):
        panel.controls["weeks"].value = 52
        assert panel.table[-1][0].startswith("and ")
        assert len(panel.table) == 10

    def test_a_kit_without_keeping_times(self, data_folder):
        (data_folder / "keeping.csv").unlink()
        with pytest.raises(KitchenError, match="Nothing keeps in the freezer yet"):
            kk.StockPanel(kk.open_kit(data_folder))


class TestAnswerBox:
    def test_right_nearly_again_and_unreadable(self, kit):
        box = kk.ask(kit, "01-measure", "oats")
        for written, state in (
            ("202.5", "right"),
            ("215", "nearly"),
            ("7.143 oz", "right"),
            ("7.1 oz", "right"),  # the answer, rounded to the digits typed
            ("90", "again"),
        ):
            answer(box, written)
            assert box.verdict.state == state, written
        answer(box, "202.5")
        assert "✓" in box._said.value
        answer(box, "<b>lots</b>")
        assert box.verdict is None
        assert "Look again:" in box._said.value
        assert "<b>" not in box._said.value

    def test_nothing_is_judged_before_enter_or_check(self, kit):
        box = kk.ask(kit, "01-measure", "oats")
        box.answer.value = "7.14"
        assert box.verdict is None
        box.unit.value = "oz"
        box.check()
        assert box.verdict.state == "right"
        box.unit.value = "g"
        assert box.verdict is None
        assert not box._said.value

    @pytest.mark.parametrize("written", ["3", "3 times", "3x", "3.0"])
    def test_the_unit_may_be_typed(self, kit, written):
        box = kk.ask(kit, "00-welcome", "times")
        answer(box, written)
        assert box.verdict.state == "right"

    def test_unit_matters(self, kit):
        box = kk.ask(kit, "01-measure", "oats")
        box.answer.value = "202.5"
        box.unit.value = "oz"
        box.check()
        assert box.verdict.state == "again"

    def test_unknown_question(self, kit):
        with pytest.raises(KitchenError, match="has no question"):
            kk.ask(kit, "01-measure", "nothing")

    def test_the_still_shows_the_question_and_not_the_answer(self, kit):
        box = kk.ask(kit, "03-pans", "square")
        still = box._repr_mimebundle_()
        assert "9 inches square" in still["text/html"]
        assert "2,655" not in str(still)


def test_two_prices_are_no_formula():
    """A page typesets what stands between two dollar signs of one run of text."""
    page = table_html(["a", "b"], [["$1 or $2", "$3"]])
    assert not re.search(r"\$[^<]*\$", page)


def test_table_html_escapes_what_it_is_given():
    page = table_html(["a", "<i>"], [["<b>x</b>", "=1+1 & 2"]])
    assert "<b>" not in page
    assert "<i>" not in page
    assert "&amp; 2" in page


@pytest.mark.parametrize(("share", "words"), [(0, "0 %"), (0.0144, "+1.4 %"), (-0.2, "−20.0 %")])
def test_percent(share, words):
    assert percent(share) == words


def test_times():
    assert times(1) == "the recipe once"
    assert times(1.9351) == "1.94 times the recipe"
    assert times(2.0) == "2 times the recipe"


def test_other_data_than_the_demo_s(data_folder):
    """Names come from the recipe, and what a kitchen has not yet is said, not stumbled over."""
    batter = data_folder / "recipes" / "carrot-oat-base.toml"
    text = batter.read_text(encoding="utf-8")
    batter.write_text(text.replace('"plain yogurt"', '"buttermilk"'), encoding="utf-8")
    (data_folder / "snacks.csv").unlink()
    (data_folder / "prices.csv").unlink()
    kit = kk.open_kit(data_folder)
    shown = str(kk.GlancePanel(kit).table)
    assert "buttermilk" in shown
    assert "yogurt" not in shown
    with pytest.raises(KitchenError, match=r"snacks\.csv"):
        kk.CostPanel(kit)
    with pytest.raises(KitchenError, match=r"prices\.csv"):
        kk.HistoryPanel(kit)


def test_high_up_the_picture_and_the_window_agree(kit):
    """Water boils at 90 °C there: the crumb is done below that, in the words and in the curve."""
    panel = kk.BakePanel(kit)
    panel.controls["altitude"].value = 10000
    done = panel.chart.crumb.get_ydata()[0]
    assert done < 90
    likeliest = _numbers(panel.table[1][3])[0]
    minutes, celsius = panel.chart.curves[0].get_data()
    assert abs(float(minutes[celsius.searchsorted(done)]) - likeliest) < 2


class TestFlavour:
    TODAY = "2026-11-25"

    def test_the_plain_base_first(self, kit, base):
        panel = kk.FlavourPanel(kit, today=self.TODAY)
        assert panel.sentence.startswith("Plain: 994 g")
        assert "Nothing is stretched." in panel.sentence
        assert [bar.get_width() for bar in panel.chart.before] == [
            bar.get_width() for bar in panel.chart.after
        ]

    def test_a_flavour_shows_what_it_does(self, kit, base):
        panel = kk.FlavourPanel(kit, today=self.TODAY)
        panel.controls["flavour"].value = "raisin-seed"
        found = kk.flavour_effects(kit, base, kit.flavours["raisin-seed"], today=self.TODAY)
        low, high = (round(t.m_as("min")) for t in (found.bakes[1].low, found.bakes[1].high))
        assert f"most likely {low} to {high}" in panel.sentence
        assert "USD" in panel.sentence
        assert "2026-11-10" in panel.sentence
        assert panel.chart.after[-1].get_width() == pytest.approx(found.table.after["other"])

    def test_too_much_is_said_and_squeezing_helps(self, kit):
        panel = kk.FlavourPanel(kit, today=self.TODAY)
        panel.controls["add_1"].value = "raisins"
        panel.controls["grams_1"].value = 280
        assert "sink" in panel.sentence
        panel.reset()
        panel.controls["add_1"].value = "chopped-zucchini"
        wet = next(row for row in panel.table if row[0].startswith("water"))
        panel.controls["squeeze"].value = 0.35
        dry = next(row for row in panel.table if row[0].startswith("water"))
        assert _numbers(dry[2])[0] < _numbers(wet[2])[0]

    def test_a_finish_of_another_flavour_is_kept_cold(self, kit):
        panel = kk.FlavourPanel(kit, today=self.TODAY)
        assert "keep it cold" not in " ".join(panel.notes)
        panel.controls["finish"].value = "carrot-cream"
        assert "keep it cold" in " ".join(panel.notes)
        assert any("cream cheese" in note for note in panel.notes if "Allergens" in note)
        panel.controls["flavour"].value = "apple-ginger"
        panel.controls["finish"].value = "none"
        assert not any(row[0].startswith("finish") for row in panel.table)

    def test_allergens_are_always_told_and_never_promised_away(self, kit):
        panel = kk.FlavourPanel(kit, today=self.TODAY)
        for key in ("", *kit.flavours):
            panel.controls["flavour"].value = key
            assert any(n.startswith("Allergens. In the data: milk") for n in panel.notes)
            assert "other traces are possible" in " ".join(panel.notes)


class TestReplace:
    def test_every_swap_of_the_base_is_said(self, kit):
        panel = kk.ReplacePanel(kit, today="2026-11-25")
        for swap in kit.swaps.values():
            panel.controls["swap"].value = swap.key
            assert swap.does in panel.sentence
            assert any(swap.fails in note for note in panel.notes)
            assert any(note.startswith("Source: ") for note in panel.notes)
            assert any(note.startswith("Allergens. In the data:") for note in panel.notes)

    def test_half_of_the_eggs(self, kit):
        panel = kk.ReplacePanel(kit, today="2026-11-25")
        panel.controls["share"].value = 0.5
        assert panel.sentence.startswith("For 1 egg (50% of it) put 1 tbsp ground flaxseed")

    def test_a_recipe_that_no_swap_fits_is_refused(self, kit, data_folder):
        (data_folder / "swaps.csv").unlink()
        with pytest.raises(KitchenError, match="No swap fits"):
            kk.ReplacePanel(kk.open_kit(data_folder))


class TestFreezing:
    def test_cooling_says_what_the_calculation_says(self, kit):
        panel = kk.CoolPanel(kit)
        loaf = kit.pans[panel.controls["pan"].value]
        crumb = kk.crumb_of(panel.recipe)
        found = kk.cool_time(loaf, loaf.usual_volume, room=Q(70.0, "degF"), crumb=crumb)
        whole = next(row for row in panel.table if row[0].startswith("1:"))
        assert _numbers(whole[1]) == [round(found.minutes.m)]
        assert _numbers(whole[2]) == [round(found.low.m), round(found.high.m)]
        window = f"({found.low.m:.0f} to {found.high.m:.0f})"
        assert f"about {found.minutes.m:.0f} min {window}." in panel.sentence

    def test_in_its_pan_and_in_thick_slices_it_cools_longer(self, kit):
        panel = kk.CoolPanel(kit)
        before = [_numbers(row[1])[0] for row in panel.table[1:]]
        panel.controls["how"].value = "pan"
        panel.controls["thick"].value = 3.0
        after = [_numbers(row[1])[0] for row in panel.table[1:]]
        assert after[0] > before[0]
        assert after[1] > before[1]
        assert after[2] == before[2]

    def test_the_curves_meet_the_wrapping_line_at_the_marks(self, kit):
        chart = kk.CoolPanel(kit).chart
        wrap = chart.wrap.get_ydata()[0]
        for curve, mark in zip(chart.curves, chart.likeliest, strict=True):
            minutes, celsius = curve.get_data()
            assert np.interp(mark.get_xdata()[0], minutes, celsius) == pytest.approx(wrap, abs=0.6)

    def test_freezing_says_what_the_calculation_says(self, kit):
        panel = kk.FreezePanel(kit)
        crumb = kk.crumb_of(panel.recipe)
        found = kk.freeze_time("2 cm", "10 cm", "7 cm", freezer=Q(0.0, "degF"), crumb=crumb)
        assert f"is frozen through in {found}, at 0 °F" in panel.sentence
        assert panel.chart.likeliest.get_xdata()[0] == pytest.approx(found.hours.m)
        assert panel.chart.plank.get_xdata()[0] == pytest.approx(found.plank.m)
        assert panel.chart.middle.get_ydata()[-1] == pytest.approx(found.to.m, abs=0.5)

    def test_a_full_tray_and_a_loose_wrap_take_longer(self, kit):
        panel = kk.FreezePanel(kit)
        hours = [panel.chart.likeliest.get_xdata()[0]]
        for name, value in (("packing", "side by side"), ("packing", "two deep")):
            panel.controls[name].value = value
            hours.append(panel.chart.likeliest.get_xdata()[0])
        panel.controls["wrap"].value = "box or puffed bag"
        hours.append(panel.chart.likeliest.get_xdata()[0])
        assert hours == sorted(hours)
        assert len(set(hours)) == 4

    def test_a_larger_freezer_takes_more_at_once(self, kit):
        panel = kk.FreezePanel(kit)
        panel.controls["inside"].value = 100
        assert "3,204 g (7.1 lb) to 4,806 g (10.6 lb)" in " ".join(panel.notes)

    def test_thawing_hides_what_does_not_matter_and_warns(self, kit):
        panel = kk.FreezePanel(kit)
        panel.controls["way"].value = "room"
        assert not is_shown(panel.controls["inside"])
        assert "thaws in the room" in panel.sentence
        assert "cream cheese" in " ".join(panel.notes)
        assert list(panel.chart.plank.get_xdata()) == []
        room = panel.chart.likeliest.get_xdata()[0]
        panel.controls["way"].value = "fridge"
        assert panel.chart.likeliest.get_xdata()[0] > room
        panel.reset()
        assert is_shown(panel.controls["inside"])


def test_the_rules_of_flavouring_are_shown_with_their_sources(kit):
    shown = kk.FlavourRules(kit)
    assert "dry add-ins | 0 to 100 g | " in repr(shown)
    assert repr(shown).count("no source") >= 5
    assert "University of Illinois Extension" in shown._repr_html_()
    for swap in kit.swaps.values():
        assert page_text(swap.fails) in shown._repr_html_()


def test_a_serving_is_told_from_the_day_on_which_nothing_was_missing(data_folder):
    table = data_folder / "prices.csv"
    row = "all-purpose-flour,5 lb,2.79,USD,the market,2026-01-05,lantern-street,\n"
    table.write_text(table.read_text("utf-8") + row, "utf-8")
    panel = kk.HistoryPanel(kk.open_kit(data_folder))
    assert "2026-01-05" not in panel.sentence
    assert any("a price was missing" in note for note in panel.notes)


def test_more_shops_than_a_picture_holds_are_said_to_be_in_the_table(data_folder):
    table = data_folder / "prices.csv"
    rows = "".join(
        f"all-purpose-flour,5 lb,3.{n}9,USD,shop {n},2026-11-10,lantern-street,\n" for n in range(3)
    )
    table.write_text(table.read_text("utf-8") + rows, "utf-8")
    panel = kk.HistoryPanel(kk.open_kit(data_folder))
    assert "The picture shows 4 shops; all are in the table." in panel.notes
    assert sum("shop 2" in row[0] for row in panel.table) == 1


def test_a_cooling_time_is_never_said_without_its_window(kit):
    panel = kk.CoolPanel(kit)
    assert len(re.findall(r"about \d+ min \(\d+ to \d+\)", panel.sentence)) == 3
