"""The panel for preparing a class: its sheets, its sentence, what it refuses."""

import re
from dataclasses import replace

import pytest

import kitchenkit as kk
from kitchenkit import language
from kitchenkit.classroom import plan_class
from kitchenkit.printing import print_html
from kitchenkit.shelf import Shelf
from kitchenkit.shopping import with_code

TODAY = "2026-11-25"


@pytest.fixture
def panel(kit):
    return kk.ClassPanel(kit, today=TODAY)


def sheet(panel, name):
    panel.controls["sheet"].value = name
    headings, *rows = panel.table
    assert all(len(row) == len(headings) for row in rows)
    return rows


def test_the_sentence_says_whether_it_fits_and_what_it_costs(kit, panel):
    plan = plan_class(kit, on=TODAY)
    assert panel.sentence.startswith("16 students at 8 stations bake 96 servings and are done at")
    assert plan.clock.at(plan.finish) in panel.sentence
    assert f"{plan.spare:.0f} min to spare of 120" in panel.sentence
    assert f"costs {plan.cost_student} USD a student" in panel.sentence
    assert f"whole packages {plan.paid_student}" in panel.sentence
    assert "2026-11-10" in panel.sentence
    assert "the discount store" in panel.sentence


def test_narrow_racks_do_not_fit_and_the_first_change_does(kit, panel):
    panel.controls["rack"].value = "narrow"
    assert "too long for 120. Change first: " in panel.sentence
    rows = sheet(panel, "what to change")
    assert rows[0][0] in panel.sentence
    assert rows[0][3] == "yes"
    pan = next(p for p in kit.pans.values() if p.name in rows[0][0])
    panel.controls["pan"].value = pan.key
    assert "to spare" in panel.sentence


@pytest.mark.parametrize(
    ("name", "least"),
    [
        ("timetable", 3),
        ("stations", 1),
        ("what a station weighs out", 11),
        ("shopping, by aisle", 12),
        ("left over after shopping", 11),
        ("allergens", 2),
        ("to have ready", 8),
        ("cleaning up", 6),
        ("what to change", 1),
    ],
)
def test_every_sheet_has_its_rows(panel, name, least):
    assert len(sheet(panel, name)) >= least


def test_shopping_adds_up_to_what_the_sentence_shares_out(panel):
    *rows, total = sheet(panel, "shopping, by aisle")
    paid = sum(float(row[4].removeprefix("$")) for row in rows)
    assert total[4] == f"${paid:.2f} USD"
    assert f"whole packages ${paid / 16:.2f}" in panel.sentence


def test_students_and_stations_change_the_shopping_and_the_timetable(panel):
    before = sheet(panel, "shopping, by aisle"), sheet(panel, "timetable")
    panel.controls["students"].value = 12
    panel.controls["stations"].value = 6
    after = sheet(panel, "shopping, by aisle"), sheet(panel, "timetable")
    assert before[0] != after[0]
    assert before[1] != after[1]
    assert panel.plan.students == 12


def test_flavours_join_the_base_or_stand_alone(kit, panel):
    panel.controls["flavour_2"].value = "cocoa-cherry"
    assert len(panel.plan.flavours) == 2  # the base and the other, in turn
    panel.controls["flavour_1"].value = "cheese-chive"
    assert list(panel.plan.flavours) == [
        kit.flavours[key].name for key in ("cheese-chive", "cocoa-cherry")
    ]
    rows = sheet(panel, "what a station weighs out")
    assert any(row[0] == "chives" for row in rows)
    assert all(re.search(r"stations? \d", row[1]) for row in rows)


def test_more_stations_than_students_are_refused_in_words(panel):
    panel.controls["students"].value = 4
    assert "8 stations are too many for 4 students" in panel._sentence.value
    panel.controls["stations"].value = 4
    assert panel.sentence.startswith("4 students at 4 stations")


def test_an_odd_start_is_refused_in_words(panel):
    panel.controls["start"].value = "<b>noon</b>"
    assert "is no time of day" in panel._sentence.value
    assert "<b>" not in panel._sentence.value
    panel.controls["start"].value = "6:30 pm"
    assert "pm" in panel.sentence


def test_a_panel_may_start_elsewhere(kit):
    panel = kk.ClassPanel(kit, today=TODAY, rack="narrow", sheet="what to change")
    assert "too long" in panel.sentence
    assert panel.table[0][0] == "change"
    panel.controls["rack"].value = "wide"
    panel.reset()
    assert panel.controls["rack"].value == "narrow"
    for wrong in ({"rack": "huge"}, {"colour": "red"}):
        with pytest.raises(kk.KitchenError, match="no choice"):
            kk.ClassPanel(kit, **wrong)


def test_a_kit_without_prices_still_plans(kit):
    bare = kk.ClassPanel(replace(kit, prices=Shelf("price")), today=TODAY)
    assert "No price is known yet" in bare.sentence
    rows = sheet(bare, "shopping, by aisle")
    assert {row[3] for row in rows} == {"no price is known"}


def test_a_price_that_is_missing_makes_it_at_least(kit):
    some = [kit.prices[key] for key in kit.prices if key != "plain-yogurt"]
    gap = kk.ClassPanel(replace(kit, prices=Shelf("price", some)), today=TODAY)
    assert "costs at least" in gap.sentence
    assert ["plain yogurt", "", "as much as it takes", "no price is known", "", ""] in sheet(
        gap, "shopping, by aisle"
    )


def test_another_language_keeps_the_class_and_prints_it_in_that(told, kit):
    panel = kk.ClassPanel(kit, today=kit.today, sheet="to have ready")
    panel.controls["stations"].value = 3
    prints = kk.ClassPrints(panel)
    prints.controls["what"].value = False
    prints.controls["paper"].value = "Letter"
    sentence, ready = panel.sentence, panel.table
    with told("es_ES"):
        assert panel.controls["stations"].value == 3
        assert panel.sentence.startswith("16 estudiantes en 3 estaciones")
        assert prints.controls["what"].value is False
        document = prints.document()
        assert document.paper.name == "Letter"
        assert [sheet.title[:10] for sheet in document.sheets] == [
            f"Estación {n}" for n in (1, 2, 3)
        ]
        assert '<html lang="es">' in print_html(document)
        fit = panel.plan.stations[0].fit.advice
    assert panel.sentence == sentence
    assert panel.table == ready
    assert panel.plan.stations[0].fit.advice != fit


def test_a_sum_has_its_currency_once(kit):
    money = kk.Money("2.69", "USD")
    assert with_code(money) == "$2.69 USD"
    with language.speaking("es_ES"):
        assert with_code(money).count("US") == 1
