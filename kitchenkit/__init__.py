"""kitchenkit: budget baking for a class - measure, scale, fit the pans, and plan.

``import kitchenkit as kk`` gives every public name, each loaded when it is first asked for. So the
launcher starts before anything is installed, and a calculation loads no widget and no chart.
"""

# Any Python must be able to read this file, even one far too old, to be told so plainly.

from importlib import import_module

__version__ = "0.1.0"

# Public name -> the module of this package that holds it.
_WHERE = {
    "AnswerBox": "panels.answer",
    "BakeError": "baking",
    "BakeTime": "baking",
    "BakePanel": "panels.bake",
    "Balance": "panels.balance",
    "DataError": "errors",
    "GlancePanel": "panels.scale",
    "Ingredient": "ingredients",
    "Kit": "kit",
    "KitchenError": "errors",
    "MeasureError": "errors",
    "MeasurePanel": "panels.measure",
    "MyPanPanel": "panels.pans",
    "OvenHeatPanel": "panels.measure",
    "Ovens": "panels.ovens",
    "Pan": "pans",
    "PanError": "pans",
    "Q": "units",
    "Recipe": "recipe",
    "ScalePanel": "panels.scale",
    "SharePanel": "panels.pans",
    "Sources": "panels.sources",
    "SwapPanel": "panels.pans",
    "altitude_advice": "altitude",
    "ask": "panels.answer",
    "bake_minutes": "baking",
    "bake_time": "baking",
    "boiling_point": "altitude",
    "check_ratios": "ratios",
    "correct_oven": "bakelog",
    "open_kit": "kit",
    "questions": "exercises",
    "read_bake_log": "bakelog",
    "read_measure": "units",
    "read_temperature": "temperature",
    "same_depth": "swapping",
    "say_both": "saying",
    "say_measure": "saying",
    "say_temperature": "temperature",
    "share_batch": "sharing",
    "swap_pan": "swapping",
    "to_volume": "ingredients",
    "to_weight": "ingredients",
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
