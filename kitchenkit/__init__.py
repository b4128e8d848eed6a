"""kitchenkit: budget baking for a class - measure, scale, fit the pans, and plan.

``import kitchenkit as kk`` gives every public name, each loaded when it is first asked for. So the
launcher starts before anything is installed, and a calculation loads no widget and no chart.
"""

# Any Python must be able to read this file, even one far too old, to be told so plainly.

from importlib import import_module

__version__ = "0.1.0"

# Public name -> the module of this package that holds it.
_WHERE = {
    "AllergenList": "allergens",
    "AnswerBox": "panels.answer",
    "AnswerKey": "panels.answerkey",
    "BakeError": "baking",
    "BakePanel": "panels.bake",
    "BakeTime": "baking",
    "Balance": "panels.balance",
    "Batch": "timetable",
    "Clock": "clock",
    "ClassProgressPanel": "panels.progress",
    "ClassSummary": "summary",
    "Comparison": "savings",
    "CoolTime": "freezer",
    "Cost": "costs",
    "CostPanel": "panels.cost",
    "DataError": "errors",
    "Effects": "effects",
    "Flavour": "flavours",
    "Flavoured": "flavours",
    "FreezeTime": "freezer",
    "FreezerLoad": "freezer",
    "FreezerPlan": "stock",
    "GlancePanel": "panels.scale",
    "HistoryPanel": "panels.cost",
    "Ingredient": "ingredients",
    "IngredientSwap": "swap_table",
    "KeepBy": "keeping",
    "Kit": "kit",
    "KitchenError": "errors",
    "Label": "labels",
    "LabelSheet": "labels",
    "Load": "timetable",
    "Matters": "savings",
    "MeasureError": "errors",
    "MeasurePanel": "panels.measure",
    "Money": "money",
    "MoneyError": "money",
    "MyPanPanel": "panels.pans",
    "Oven": "racks",
    "OvenHeatPanel": "panels.measure",
    "OvenUse": "costs",
    "Ovens": "panels.ovens",
    "Pan": "pans",
    "PanError": "pans",
    "Price": "prices",
    "Q": "units",
    "Recipe": "recipe",
    "ScalePanel": "panels.scale",
    "SharePanel": "panels.pans",
    "ShoppingList": "shopping",
    "Snack": "prices",
    "Sources": "panels.sources",
    "SwapPanel": "panels.pans",
    "Swapped": "replacing",
    "Tariff": "prices",
    "ThawTime": "freezer",
    "Timetable": "timetable",
    "YourNumbers": "panels.learner",
    "add_in": "flavours",
    "addin_checks": "addins",
    "allergens_in": "allergens",
    "altitude_advice": "altitude",
    "ask": "panels.answer",
    "bake_minutes": "baking",
    "bake_time": "baking",
    "baked_weight": "costs",
    "boiling_point": "altitude",
    "buy_weight": "costs",
    "change_first": "savings",
    "cheapest_of": "savings",
    "check_ratios": "ratios",
    "class_summary": "summary",
    "compare": "savings",
    "cool_time": "freezer",
    "correct_oven": "bakelog",
    "cost": "costs",
    "cost_history": "history",
    "cost_many": "costs",
    "crumb_of": "thermal",
    "edible_price": "costs",
    "flavour_effects": "effects",
    "footprint": "racks",
    "freeze_time": "freezer",
    "freezer_labels": "labels",
    "freezer_load": "freezer",
    "freezer_plan": "stock",
    "keep_by": "keeping",
    "label_for": "labels",
    "on_racks": "racks",
    "open_kit": "kit",
    "oven_timetable": "timetable",
    "pieces": "costs",
    "price_history": "history",
    "print_html": "printing",
    "print_pdf": "pdf",
    "questions": "exercises",
    "read_bake_log": "bakelog",
    "read_measure": "units",
    "read_money": "money",
    "read_temperature": "temperature",
    "recipe_table": "costs",
    "same_depth": "swapping",
    "say_both": "saying",
    "say_measure": "saying",
    "say_money": "money",
    "say_temperature": "temperature",
    "share_batch": "sharing",
    "shopping_list": "shopping",
    "slices": "costs",
    "squeezed": "flavours",
    "swap_ingredient": "replacing",
    "swap_pan": "swapping",
    "tariff": "costs",
    "thaw_time": "freezer",
    "to_volume": "ingredients",
    "to_weight": "ingredients",
    "unit_price": "costs",
    "unit_prices": "costs",
    "what_matters": "savings",
}

__all__ = sorted(_WHERE)


def __getattr__(name):
    if name not in _WHERE:
        raise AttributeError("module 'kitchenkit' has no attribute %r" % name)
    value = getattr(import_module("kitchenkit." + _WHERE[name]), name)
    globals()[name] = value
    return value


def __dir__():
    return sorted(set(globals()) | set(_WHERE))
