"""The built wheel works by itself, outside the checkout, with data and lessons inside."""

import json
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from kitchenkit import places

TOP = places.checkout()
NEVER = (".kitchen", "my-lessons", ".ipynb_checkpoints", "__pycache__", ".saving", "tests/")


def run(words: list, cwd: Path) -> str:
    ran = subprocess.run([str(word) for word in words], cwd=cwd, capture_output=True, text=True)
    assert ran.returncode == 0, ran.stdout + ran.stderr
    return ran.stdout


@pytest.fixture(scope="module")
def wheel(tmp_path_factory) -> Path:
    """Built with what is installed: nothing is fetched."""
    folder = tmp_path_factory.mktemp("wheel")
    run([sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", folder], TOP)
    [built] = folder.glob("kitchenkit-*.whl")
    return built


@pytest.fixture(scope="module")
def installed(wheel, tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("installed")
    pip = [sys.executable, "-m", "pip", "install", "--quiet", "--no-deps", "--no-index"]
    run([*pip, "--disable-pip-version-check", "--target", folder, wheel], folder)
    return folder


def tracked(name: str) -> set[str]:
    """The files of a folder of the checkout, without what tools leave there."""
    files = (path for path in (TOP / name).rglob("*") if path.is_file())
    found = {path.relative_to(TOP).as_posix() for path in files}
    return {path for path in found if not any(part in path for part in NEVER)}


def test_the_wheel_holds_the_package_data_and_lessons_and_no_more(wheel):
    held = {name for name in zipfile.ZipFile(wheel).namelist() if ".dist-info/" not in name}
    wanted = tracked("kitchenkit")
    for name in ("data", "lessons"):
        wanted |= {f"kitchenkit/shipped/{path}" for path in tracked(name)}
    assert held == wanted


def test_it_finds_its_own_data_and_lessons_and_reads_them(installed, tmp_path):
    code = (
        f"import sys; sys.path.insert(0, {str(installed)!r})\n"
        "import json, kitchenkit as kk\n"
        "from kitchenkit import places\n"
        "kit = kk.open_kit()\n"
        "print(json.dumps({\n"
        "    'package': kk.__file__, 'checkout': places.checkout(),\n"
        "    'data': str(places.shipped_folder('data')),\n"
        "    'lessons': [p.name for p in places.shipped_folder('lessons').glob('*.ipynb')],\n"
        "    'ingredients': len(kit.ingredients), 'pans': len(kit.pans),\n"
        "}))"
    )
    said = json.loads(run([sys.executable, "-I", "-c", code], tmp_path))
    assert Path(said["package"]).is_relative_to(installed)
    assert Path(said["data"]) == installed / "kitchenkit/shipped/data"
    assert said["checkout"] is None
    assert sorted(said["lessons"]) == sorted(path.name for path in TOP.glob("lessons/*.ipynb"))
    assert said["ingredients"] >= 45
    assert said["pans"] >= 30


def test_its_lessons_are_copied_and_its_settings_found(installed, tmp_path):
    code = (
        f"import sys; sys.path.insert(0, {str(installed)!r})\n"
        "from pathlib import Path\n"
        "from kitchenkit import copies, server\n"
        "copies.refresh(Path('mine'))\n"
        "assert (Path('mine') / 'data/ingredients.csv').is_file()\n"
        "settings = Path(server.surroundings(Path('mine'))['JUPYTER_CONFIG_PATH'])\n"
        "assert (settings / 'labconfig/page_config.json').is_file()\n"
    )
    run([sys.executable, "-I", "-c", code], tmp_path)
