"""The pages of a planned class: each station's own figures, and a page to take home a flavour."""

from __future__ import annotations

import html
import io

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


def test_its_minutes_are_the_timetables(plan):
    for load in plan.timetable.loads:
        for name, _, many in load.pans:
            page = station_page(plan, plan.station(name))
            window = (load.look_from - load.into, load.out - load.into)
            assert any(use.count == many and use.window == window for use in page.pans)
            said = " ".join(page.notes)
            assert f"in at {plan.clock.at(load.into)}" in said
            assert f"out at {plan.clock.at(load.out)} at the latest" in said
    wells = sum(use.wells for s in plan.stations for use in station_page(plan, s).pans)
    assert wells == sum(s.fit.count for s in plan.stations)


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
        assert {one.product for one in page.kept} == {frozen.product}


def test_a_topping_that_needs_cold_is_told(plan):
    for station in plan.stations:
        told = any("keep it cold" in care for care in station_page(plan, station).care)
        assert told == (station.flavour == "carrot with a cream cheese glaze")


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
