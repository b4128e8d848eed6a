"""Two hundred hostile texts through every form: none runs or leaves its folder, each is answered.

Each text is typed into every field of every form; one form then adds it as a row and saves it,
where it is taken as plain words. Afterwards the pages hold no markup of it, the folder holds no
file more than it should, and a saved table has no cell that a spreadsheet would run.
"""

import csv
import io
import os
import shutil
from html.parser import HTMLParser

import ipywidgets as widgets
import pytest

import kitchenkit as kk
from kitchenkit.editing import TABLES
from kitchenkit.errors import KitchenError
from kitchenkit.places import shipped_folder

RAN = "ran-by-a-hostile-text"  # a file that a text would make if it ran

MARKUP = [
    "<b>bold</b>",
    "<script>alert(1)</script>",
    "</style><script>alert(1)</script>",
    "<img src=x onerror=alert(1)>",
    "<svg onload=alert(1)>",
    "<iframe src=javascript:alert(1)></iframe>",
    '"><script>alert(1)</script>',
    "'><img src=x onerror=alert(1)>",
    "</p></div></table><h1>gone</h1>",
    "<a href='javascript:alert(1)'>x</a>",
    "<style>*{display:none}</style>",
    "<!-- comment",
    "]]>",
    "<![CDATA[x]]>",
    "&lt;script&gt;",
    "&#60;img src=x onerror=alert(1)&#62;",
    "&amp;&quot;&apos;",
    "<math><mtext></mtext></math>",
    "<form action=x><input>",
    "<meta http-equiv=refresh content=0>",
    "<object data=x>",
    "<body onload=alert(1)>",
    "<base href=x>",
    "<link rel=stylesheet href=x>",
    "<p hidden>",
    "$\\alpha$ and $x$",
    "$$\\href{javascript:alert(1)}{x}$$",
    "\\(x\\)",
    "[link](javascript:alert(1))",
    "![x](x)",
    "# heading",
    "```python\nprint(1)\n```",
    "| a | b |",
    "{{7*7}}",
    "${7*7}",
    "<%= 7*7 %>",
    "{0.__class__}",
    "{kit!r}",
    "%s%s%n",
    "%(name)s",
]
FORMULAS = [
    f"{sign}{rest}"
    for sign in ("=", "+", "-", "@", "＝", " =", "\t=", "\r=", "'=", '"=')
    for rest in (
        'HYPERLINK("http://x.example","click")',
        "cmd|' /C calc'!A0",
        "SUM(A1:A9)",
        "1+1",
    )
] + ["a;=1+1", "a,@SUM(1)", "milk;+1+1"]
CODE = [
    f"__import__('os').system('touch {RAN}')",
    f"open('{RAN}','w')",
    f"$(touch {RAN})",
    f"`touch {RAN}`",
    f"; touch {RAN}",
    f"| touch {RAN}",
    f"&& touch {RAN}",
    f"!touch {RAN}",
    f"%system touch {RAN}",
    f"%%bash\ntouch {RAN}",
    "'; DROP TABLE pans; --",
    "1 OR 1=1",
    "lambda: 0",
    "!!python/object/apply:os.system ['true']",
    "\\x41\\u0041",
    "\\",
    '"',
    '""',
    '"""',
    "'''",
    'a"b',
    "[[ingredients]]",
    'x"\nservings = 99\nname = "y',
    "]\n[batter]\n",
    "a = 1",
    "# no note",
    "true",
    "null",
    "None",
    "nan",
    "inf",
    "1e309",
    "0x10",
    "9" * 400,
    "1/0",
    "½½",
    "٣٤",
    "1_000",
    "1,2,3",
    "--1",
]
PATHS = [
    "../outside",
    "../../../../etc/passwd",
    "..\\..\\windows\\system32",
    "/etc/passwd",
    "C:\\x",
    "\\\\server\\share",
    "file:///etc/passwd",
    "~/x",
    "$HOME/x",
    "%USERPROFILE%",
    "con",
    "NUL",
    "aux.toml",
    "com1",
    ".",
    "..",
    "...",
    ".hidden",
    "a/b/c",
    "a\\b",
    "name.",
    "name ",
    "pans.csv",
    "recipes/x.toml",
    "earlier-versions",
    ".saving",
    "x" * 255,
    "a:b",
    "a*b?",
    "<>|",
    "a\x00.toml",
    "/dev/null",
    "-rf",
    "--help",
    "sources.csv/../pans.csv",
    "%2e%2e%2f",
    "..%00/",
    "．．／",
    "a\u2044b",
    "loaf-9x5/../..",
]
TEXTS = [
    "x" * 501,
    "x" * 5_000,
    "é" * 500,
    "word " * 2_000,
    "(" * 600,
    "\x00",
    "a\x00b",
    "\x1b[31mred",
    "\x07",
    "\x7f",
    "\x85",
    "\u202eright to left",
    "\u200bunseen",
    "\ufeffmark",
    "\ufffd",
    "\ud800",
    "\udfff\ud800",
    "Ã—",
    "cafÃ©",
    "â€™",
    "e\u0301\u0301\u0301\u0301" * 40,
    "\u2028line",
    "a\r\nb",
    "a\nb",
    "x\n=1+1",
    "\t",
    " ",
    "\u3000",
    "\U0001f955",
    "\U000e0041",
    "ﷺ" * 100,
    "כן",
    "日本語",
    "ǅ",
    "ﬃ",
    ";;;;",
    ",,,,",
]
HOSTILE = [*MARKUP, *FORMULAS, *CODE, *PATHS, *TEXTS]
FORMS = [*TABLES, "recipes"]


def test_there_are_two_hundred():
    assert len(HOSTILE) == 200
    assert len(set(HOSTILE)) == 200


class Tags(HTMLParser):
    """Collects what a page would make of its text."""

    def __init__(self, page: str):
        super().__init__()
        self.found = []
        self.feed(page)

    def handle_starttag(self, tag, attrs):
        self.found.append(tag)
        for name, value in attrs:
            if name.startswith("on") or name in ("href", "src", "action", "style", "hidden"):
                self.found.append(f"{name}={value}")


OURS = {"style", "div", "p", "em", "strong", "span", "ul", "li"}
OURS |= {"table", "thead", "tbody", "tr", "th", "td"}


def check_pages(form):
    """Every piece of page that a form shows is of our own making."""
    pages = [form._repr_mimebundle_()["text/html"]]
    todo = list(form.children)
    while todo:
        widget = todo.pop()
        todo += getattr(widget, "children", ())
        if isinstance(widget, widgets.HTML):
            pages.append(widget.value)
            assert not widget.description
        else:
            assert not getattr(widget, "description_allow_html", False)
    for page in pages:
        assert set(Tags(page).found) <= OURS


@pytest.fixture(scope="module")
def home(tmp_path_factory):
    top = tmp_path_factory.mktemp("hostile")
    shutil.copytree(shipped_folder("data"), top / "data")
    return top


@pytest.fixture(scope="module")
def forms(home):
    made = {name: kk.TableEditor(name, home / "data") for name in TABLES}
    return made | {"recipes": kk.RecipeEditor(home / "data")}


def usual(form):
    """Texts of a good new row: the first row's under another name."""
    texts = dict(form.edited.rows[0].texts)
    for name in ("key", "name", "product", "item"):
        if name in texts:
            texts[name] = "another" if name != "name" else "another one"
    if "also" in texts:
        texts["also"] = ""
    if "date" in texts:
        texts["date"] = "2026-11-25"
    if "place" in texts and form.name != "keeping":
        texts["place"] = "another shop"
    return texts


def free(controls):
    return {n: c for n, c in controls.items() if not isinstance(c, widgets.Dropdown)}


def all_fields(form):
    groups = [form.fields] + ([form.line_fields] if hasattr(form, "line_fields") else [])
    return [(group, name) for group in groups for name in free(group.controls)]


def type_everywhere(form, words):
    """Type a text into every field; what each answers."""
    told = {}
    for group, name in all_fields(form):
        group.controls[name].value = words
        told[name] = group.messages[name].value
        assert group.controls[name].value == words
    check_pages(form)
    for group, name in all_fields(form):
        group.controls[name].value = ""
    return told


def add_row(form, words, told):
    """Add a row with the text in every field that takes it, and save where that is allowed."""
    texts = usual(form)
    for name in free(form.fields.controls):
        if not told[name] and name not in ("source", "composition_source", "pan", "ingredient"):
            texts[name] = words
    form.pick.value = -1
    for name, cell in texts.items():
        form.fields.controls[name].value = cell
    form.add.click()
    assert form._said.value, "each is answered"
    check_pages(form)
    form._buttons["Save"].click()
    check_pages(form)
    check_file(form)
    while form.edited.can_undo:
        form._buttons["Undo"].click()
    form._buttons["Save"].click()
    assert form.edited.unsaved == 0


def add_recipe(form, words, told):
    form.pick.value = ""
    texts = {"name": "another", "servings": "8", "serving": "", "source": "lantern-street"}
    for name in ("name", "serving", "note"):
        if not told[name]:
            texts[name] = words
    for name, cell in texts.items():
        form.fields.controls[name].value = cell
    form.change.click()
    assert form._said.value, "each is answered"
    line = {"ingredient": "salt", "amount": "1 tsp", "note": "" if told["note"] else words}
    for name, cell in line.items():
        form.line_fields.controls[name].value = cell
    form.add_line.click()
    check_pages(form)
    form._buttons["Save"].click()
    check_pages(form)
    if form.edited.key:
        found = kk.open_kit(form.folder).recipes[form.edited.key]
        assert found.name == " ".join(texts["name"].split())
        form.remove.click()
    while form.edited.can_undo:
        form._buttons["Undo"].click()
    form.fields.show({})


def check_file(form):
    """No cell of a saved table is one that a spreadsheet would run, and it reads as one table."""
    rows = csv.reader(io.StringIO(form.path.read_bytes().decode("utf-8-sig"), newline=""))
    for row in rows:
        for cell in row:
            assert not cell.lstrip().startswith(("=", "+", "@", "-")), cell
    kk.open_kit(form.folder)


def held(folder):
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}


def allowed(name):
    parts = name.split("/")
    return "earlier-versions" in parts or parts[-1] == ".saving"


@pytest.mark.parametrize("n", range(len(HOSTILE)))
def test_a_hostile_text(n, forms, home, monkeypatch):
    monkeypatch.chdir(home)
    words = HOSTILE[n]
    before, above = held(home), set(os.listdir(home.parent))
    told = {name: type_everywhere(form, words) for name, form in forms.items()}
    form = forms[FORMS[n % len(FORMS)]]
    if form is forms["recipes"]:
        add_recipe(form, words, told["recipes"])
    else:
        add_row(form, words, told[form.name])
    if words in PATHS:  # a recipe's name becomes a file's
        add_recipe(forms["recipes"], words, told["recipes"])
    assert {name for name in held(home) - before if not allowed(name)} == set()
    assert {name for name in before if not allowed(name)} <= held(home)
    assert set(os.listdir(home.parent)) == above
    assert not (home / RAN).exists()
    kk.open_kit(home / "data")


@pytest.mark.parametrize("words", FORMULAS)
def test_every_formula_is_refused_by_every_field_of_every_form(words, forms):
    for form in forms.values():
        for name, message in type_everywhere(form, words).items():
            assert "kk-wrong" in message, (form.title, name)


@pytest.mark.parametrize("words", [*PATHS, *CODE[:10]])
def test_a_form_is_opened_by_no_other_name(words, home):
    with pytest.raises((KitchenError, ValueError)):
        kk.TableEditor(words, home / "data")
