"""One direction of import, from data to lessons by way of the kit; nothing points back."""

import ast
import json
import subprocess
import sys

import pytest

import kitchenkit
from kitchenkit.places import PACKAGE, shipped_folder

CALCULATIONS = sorted(path.stem for path in PACKAGE.glob("*.py") if not path.stem.startswith("__"))
CALCULATIONS += sorted(f"exercises.{path.stem}" for path in PACKAGE.glob("exercises/[a-z]*.py"))
CHARTS = sorted((PACKAGE / "charts").glob("*.py"))
PANELS = sorted((PACKAGE / "panels").glob("*.py"))
LESSONS = sorted(shipped_folder("lessons").rglob("*.ipynb"))

# Imports each module as the first of its kind, and reports what it brought along.
PROBE = """
import importlib, json, sys
unwanted = ("ipywidgets", "matplotlib", "IPython", "kitchenkit.charts", "kitchenkit.panels")
found = {}
for name in json.loads(sys.argv[1]):
    importlib.import_module("kitchenkit." + name)
    found[name] = [word for word in unwanted if word in sys.modules]
    for loaded in list(sys.modules):
        if loaded.split(".")[0] in ("kitchenkit", *unwanted[:3]):
            del sys.modules[loaded]
print(json.dumps(found))
"""


def probe(names):
    command = [sys.executable, "-W", "error", "-c", PROBE, json.dumps(names)]
    done = subprocess.run(command, capture_output=True, text=True, check=False, cwd=PACKAGE.parent)
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


@pytest.fixture(scope="module")
def brought_along():
    return probe(CALCULATIONS)


@pytest.mark.parametrize("name", CALCULATIONS)
def test_importing_a_calculation_loads_no_widget_and_no_chart(brought_along, name):
    assert brought_along[name] == []


def test_the_probe_would_see_a_chart_and_a_widget():
    found = probe(["charts.base", "panels.base"])
    assert "matplotlib" in found["charts.base"]
    assert "ipywidgets" in found["panels.base"]


def test_the_package_itself_loads_nothing_but_the_standard_library():
    code = "import sys, kitchenkit; print({'pint', 'pandas', 'numpy'} & set(sys.modules))"
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=PACKAGE.parent
    )
    assert done.stdout.strip() == "set()"


def imported(source):
    """Every module named in an import, also those inside functions; relative ones in full."""
    names = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert not node.level, "imports are written in full, so that the flow can be read"
            names.add(node.module)
            names |= {f"{node.module}.{alias.name}" for alias in node.names}
    return names


def reaches(source, *forbidden):
    return {
        name
        for name in imported(source)
        if any(name == word or name.startswith(f"{word}.") for word in forbidden)
    }


@pytest.mark.parametrize("name", CALCULATIONS)
def test_a_calculation_names_no_chart_no_panel_and_no_widget(name):
    source = (PACKAGE / f"{name.replace('.', '/')}.py").read_text(encoding="utf-8")
    far = ("kitchenkit.charts", "kitchenkit.panels", "matplotlib", "ipywidgets", "IPython")
    assert not reaches(source, *far)


@pytest.mark.parametrize("path", CHARTS, ids=lambda path: path.stem)
def test_a_chart_names_no_panel_and_no_widget(path):
    source = path.read_text(encoding="utf-8")
    assert not reaches(source, "kitchenkit.panels", "ipywidgets", "IPython")


@pytest.mark.parametrize("path", PANELS, ids=lambda path: path.stem)
def test_a_panel_draws_by_way_of_charts_only(path):
    assert not reaches(path.read_text(encoding="utf-8"), "matplotlib")


def test_there_are_charts_panels_and_lessons_to_look_at():
    assert len(CALCULATIONS) > 10
    assert CHARTS
    assert PANELS
    assert LESSONS


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_a_lesson_imports_the_kit_alone(path):
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    code = ["".join(cell["source"]) for cell in cells if cell["cell_type"] == "code"]
    names = set().union(*map(imported, code))
    assert {name.split(".")[0] for name in names} == {"kitchenkit"}


def test_no_public_name_is_a_modules_too():
    """Importing a module would put it in the place of the name that the package gives."""
    modules = {path.stem for path in PACKAGE.glob("*.py")}
    assert not modules & set(kitchenkit.__all__)
