"""The pages of a planned class: each station's own figures, and a page to take home a flavour."""

from __future__ import annotations

import html
import io
import math

import pytest
from pypdf import PdfReader

import kitchenkit as kk
from kitchenkit.classpages import class_handout, home_page, station_page
from kitchenkit.pdf import print_pdf
from kitchenkit.printing import print_html

DAY = "2026-11-25"


@pytest.fixture(scope="module")
def plan(kit):
    flavours = ["lemon-poppy", "cheese-chive", "carrot-cream"]
    return kk.plan_class(kit, flavours=flavours, on=DAY)


@pytest.fixture(scope="module")
def mixed(kit):
    """Muffins and a loaf on one rack of the only oven."""
    pans = {"muffin-12": 1, "loaf-8.5x4.5": 1}
    return kk.plan_class(
        kit,
        on=DAY,
        students=4,
        stations=2,
        ovens=1,
        pans=pans,
        minutes=600,
        flavours=["pear-honey"],
    )


@pytest.fixture(scope="module")
def pages(plan):
    reader = PdfReader(io.BytesIO(print_pdf(class_handout(plan))))
    return [page.extract_text().replace("\n", " ") for page in reader.pages]


def test_one_page_for_each_station_and_each_flavour(plan, pages):
    assert len(pages) == len(plan.stations) + len(plan.flavours)
    for station, page in zip(plan.stations, pages, strict=False):
        assert page.startswith(f"{station.name.capitalize()}: {station.flavour}")
        assert f"{station.students} students" in page
    for name, page in zip(plan.flavours, pages[len(plan.stations) :], strict=True):
        assert page.startswith(name)
    assert len(class_handout(plan, home=False).sheets) == len(plan.stations)


def test_a_station_measures_what_the_plan_says(plan, pages):
    for station, page in zip(plan.stations, pages, strict=False):
        for name, row in plan.amounts(station).iterrows():
            assert name in page
            assert row.us.replace(" ", "") in page.replace(" ", "")
            assert row.metric.replace(" ", "") in page.replace(" ", "")


@pytest.mark.parametrize("which", ["plan", "mixed"])
def test_its_minutes_are_its_own_pans_with_the_loads_racks(which, request):
    plan = request.getfixturevalue(which)
    for load in plan.timetable.loads:
        for name, _, many in load.pans:
            station = plan.station(name)
            bake = kk.bake_time(station.pan, station.fit.each, plan.asked["oven"], racks=load.racks)
            first = bake.check_from.m_as("min")
            last = math.ceil(bake.high.m_as("min"))
            page = station_page(plan, station)
            (use,) = [use for use in page.pans if use.count == many]
            assert use.look_from == first
            assert use.window == (first, last)
            said = " ".join(page.notes)
            assert f"in at {plan.clock.at(load.into)}" in said
            assert f"look from {plan.clock.at(load.into + first)} on" in said
            assert f"out at {plan.clock.at(load.into + last)} at the latest" in said


def test_all_its_wells_are_told(plan):
    wells = sum(use.wells for s in plan.stations for use in station_page(plan, s).pans)
    assert wells == sum(s.fit.count for s in plan.stations)


def test_stations_that_share_a_load_have_each_their_own_minutes(mixed):
    (load,) = mixed.timetable.loads
    assert load.racks == 1
    assert [pan.key for _, pan, _ in load.pans] == ["muffin-12", "loaf-8.5x4.5"]
    muffins, loaf = (station_page(mixed, station) for station in mixed.stations)
    assert muffins.pans[0].window[1] < loaf.pans[0].window[0]  # done before the loaf is looked at
    assert muffins.notes != loaf.notes
    # The timetable keeps the load from the first of them to the last.
    assert muffins.pans[0].look_from == load.look_from - load.into
    assert loaf.pans[0].window[1] == load.out - load.into


def test_a_page_to_take_home_is_in_the_size_of_the_base(kit, plan):
    for name, (station, *_) in plan.flavours.items():
        page = home_page(plan, station)
        written = next(x for x in kit.flavours.values() if x.name == name)
        whole = written.applied_to(plan.recipe).whole
        assert page.recipe.servings == pytest.approx(plan.recipe.servings)
        assert page.recipe.weight.m_as("g") == pytest.approx(whole.weight.m_as("g"))
        assert page.cost.batch == kk.cost(kit, page.recipe, today=DAY).batch
        product = written.keeping
        frozen = kk.keep_by(kit, product, "freezer", DAY)
        assert page.label.best_by == frozen.by
        assert page.label.name == name
        assert page.label.advice.startswith("Keep at −18 °C (0 °F) or below.")
        assert {one.product for one in page.kept} == {frozen.product}


def test_a_topping_that_needs_cold_is_told(plan):
    for station in plan.stations:
        care = " ".join(station_page(plan, station).care)
        told = "keep it cold" in care
        assert told == ("1 hour above 32 °C (90 °F)" in care)
        assert told == (station.flavour == "carrot with a cream cheese glaze")
        at_home = " ".join(home_page(plan, station).care)
        assert told == ("keep it cold" in at_home)
        assert "1 hour above 32 °C (90 °F)" in at_home or not told


def test_what_needs_cold_by_itself_is_told_at_home(kit):
    plan = kk.plan_class(kit, on=DAY, students=4, stations=1, flavours=("cheese-chive",))
    (station,) = plan.stations
    assert any("It needs cold" in care for care in home_page(plan, station).care)


def test_a_flavour_of_ones_own_has_no_dates(kit, base):
    plan = kk.plan_class(kit, on=DAY, students=4, stations=2)
    page = home_page(plan, plan.stations[0])
    assert page.kept == ()
    assert page.label.best_by is None
    assert "Best by: ____" in " ".join(page.label.lines)


def test_wrong_tools_are_refused(plan):
    with pytest.raises(kk.KitchenError, match="are not known"):
        class_handout(plan, tools="spoons")


def test_what_is_printed_is_the_class_as_its_panel_stands(kit, tmp_path):
    evening = kk.ClassPanel(kit, today=DAY)
    prints = kk.ClassPrints(evening, tmp_path)
    assert len(prints.document().sheets) == 8 + 1  # eight stations, one flavour to take home
    evening.controls["stations"].value = 5
    prints.controls["what"].value = False
    assert len(prints.document().sheets) == 5
    prints.buttons.save("pdf")
    (saved,) = (tmp_path / "to-print").glob("*.pdf")
    assert str(saved) in prints.buttons.said
    assert len(PdfReader(saved).pages) == 5
    prints.controls["large"].value = True
    prints.controls["paper"].value = "Letter"
    assert prints.document().large
    assert prints.document().paper.name == "Letter"


def test_a_worksheet_comes_apart_from_its_key(kit, tmp_path):
    prints = kk.ClassPrints(kk.ClassPanel(kit, today=DAY), tmp_path)
    asked = kk.questions(kit, "03-pans")
    for key in (False, True):
        prints.controls["what"].value = ("03-pans", key)
        page = print_html(prints.document())
        assert all(html.escape(one.ask[:40]) in page for one in asked)
        assert any(html.escape(one.working) in page for one in asked) is key


def test_a_class_that_cannot_be_is_not_printed(kit, tmp_path):
    evening = kk.ClassPanel(kit, today=DAY)
    prints = kk.ClassPrints(evening, tmp_path)
    evening.controls["students"].value = 4  # at eight stations
    prints.buttons.save("html")
    assert prints.buttons.said.startswith("Not saved. 8 stations are too many for 4 students")
    assert not (tmp_path / "to-print").exists()
