"""Hostile recipes give a sound recipe or one plain error; nothing runs, nothing is written."""

import json
import sys
import time
from dataclasses import replace

import pytest
from test_exchange import DANGEROUS, FOREIGN, FORMS, MARKUP, same

from kitchenkit.errors import KitchenError
from kitchenkit.exchange import read_recipe, recipe_text
from kitchenkit.recipe import Recipe
from kitchenkit.tables import is_key


def attempt(call, *args, **options):
    """What a call gives, or the words of its one error."""
    try:
        return call(*args, **options), ""
    except KitchenError as error:
        return None, str(error)


AREAS = ("subprocess", "socket", "shutil", "urllib", "ctypes")
DEEDS = ("os.system", "os.exec", "os.remove", "os.rename", "os.mkdir", "os.rmdir")


@pytest.fixture(scope="module")
def deeds():
    """What is done besides calculating: files written or removed, programs run, networks used."""
    done, watching = [], [False]

    def watch(event, args):
        if not watching[0]:
            return
        if event == "open":
            deed = isinstance(args[1], str) and set(args[1]) & set("wax+")
        else:
            deed = event in DEEDS or event.split(".")[0] in AREAS
        if deed:
            done.append((event, args))

    sys.addaudithook(watch)  # it cannot be taken away again, only told to rest
    return done, watching


@pytest.fixture
def harmless(kit, deeds):
    """Reads what is hostile: of it comes a sound recipe or one plain error, soon, and no deed."""
    done, watching = deeds

    def read(text, form, **options):
        options = {"source": "lantern-street", "name": "Test", "servings": 4} | options
        done.clear()
        started = time.process_time()
        watching[0] = True
        try:
            recipe, error = attempt(read_recipe, kit, text, form, **options)
        finally:
            watching[0] = False
        assert time.process_time() - started < 5
        assert not done
        if recipe is None:
            assert 10 < len(error) < 200_000
            assert "Traceback" not in error
            return None
        assert isinstance(recipe, Recipe)
        assert is_key(recipe.key)
        assert len(recipe.key) <= 60
        assert recipe.source in kit.sources
        assert 0 < recipe.servings <= 10_000
        for line in recipe.lines:
            assert line.ingredient in kit.ingredients.values()
            assert 0 < line.weight.m_as("g") <= 1e6
        for other in FORMS:  # what came in can go out again, or is refused in words
            written, error = attempt(recipe_text, recipe, other)
            if written is None:
                assert "Line" in error or "Too long" in error
            else:
                same(read_recipe(kit, written, other), recipe)
        return recipe

    return read


def test_the_watcher_sees_a_file_written(deeds, tmp_path):
    done, watching = deeds
    done.clear()
    watching[0] = True
    (tmp_path / "x").write_text("x")
    watching[0] = False
    assert [event for event, _ in done] == ["open"]


TEXTS = [
    *DANGEROUS,
    *MARKUP,
    "../../../etc/passwd",
    "..\\..\\windows\\system.ini",
    "/dev/zero",
    "CON",
    "nul.toml",
    "a\x00b",
    "\x1b[31mred",
    "\u202egnp.exe",
    "\ud800",
    "\ufeff",
    "\ufffd",
    "Ã©",
    "{0.__class__}",
    "{{7*7}}",
    "%s%n%x",
    "${jndi:ldap://example.org/x}",
    "$(touch pwned)",
    "`touch pwned`",
    "; DROP TABLE recipes; --",
    "__import__('os').system('touch pwned')",
    "]]>",
    "<!DOCTYPE x [<!ENTITY y SYSTEM 'file:///etc/passwd'>]><x>&y;</x>",
    "!!python/object/apply:os.system ['touch pwned']",
    "javascript:alert(1)",
    "data:text/html;base64,PHNjcmlwdD4=",
    "Z̸̡̛" + "̴" * 150,
    "word " * 2000,
    "(" * 400,
    ", " * 240,
    "1 " * 250,
    "1/" * 200,
    "9" * 490,
    '"' * 301,
    "\\" * 301,
    "\r\n# Another\r\n## Ingredients",
    '"\n[[ingredients]]\namount = "1 cup"',
    "null",
    "true",
    "NaN",
]


@pytest.mark.parametrize("text", TEXTS, ids=range(len(TEXTS)))
@pytest.mark.parametrize("part", ["name", "serving", "note", "line note"])
def test_hostile_words_go_out_and_in_as_words_or_not_at_all(kit, base, harmless, part, text):
    if part == "line note":
        recipe = replace(base, lines=(replace(base.lines[0], note=text), *base.lines[1:]))
    else:
        recipe = replace(base, **{part: text})
    for form in FORMS:
        written, error = attempt(recipe_text, recipe, form)
        if written is None:
            assert "Too long" in error or "hidden" in error or "Line" in error
            continue
        read = harmless(written, form, name=None, servings=None, source=None)
        same(read, recipe)


@pytest.mark.parametrize("text", TEXTS, ids=range(len(TEXTS)))
def test_hostile_words_in_every_place_of_every_form(harmless, text):
    quoted = json.dumps(text)  # JSON's strings are TOML's too, halves of letters aside
    cell = text.replace('"', '""')
    lines = f"[[ingredients]]\ningredient = {quoted}\namount = {quoted}\nnote = {quoted}\n"
    for written, form in (
        (json.dumps(FOREIGN | {"recipeIngredient": [text, f"1 cup {text}"]}), "json-ld"),
        (
            json.dumps(dict.fromkeys((*FOREIGN, "supply", "citation", "identifier"), text)),
            "json-ld",
        ),
        (json.dumps(FOREIGN | {"@type": "Recipe", text: text}), "json-ld"),
        (f'part,name,amount,note\n"{cell}","{cell}","{cell}","{cell}"\n', "csv"),
        (f'part,name,amount,note\nkey,"{cell}","",""\ningredient,"{cell}","{cell}",""\n', "csv"),
        (f'ingredient,amount\n"{cell}","{cell}"\n', "csv"),
        (f"# {text}\n- Key: {text}\n## Ingredients\n- {text}\n- 1 cup {text}\n", "markdown"),
        (f"## Ingredients\n|Amount|Ingredient|Note|\n|-|-|-|\n|{text}|{text}|{text}|", "markdown"),
        (f"name = {quoted}\nservings = 4\nsource = {quoted}\n{lines}", "toml"),
        (text, "json-ld"),
        (text, "csv"),
        (text, "markdown"),
        (text, "toml"),
    ):
        harmless(written, form)


ODD_VALUES = [
    *(
        None,
        True,
        -1,
        0,
        1e308,
        10**25,
        "",
        "x" * 10_000,
        [],
        {},
        [[]],
        [None],
        [{}],
        {"@value": []},
    ),
    *({"@value": []}, {"@list": [1]}, {"@id": "file:///etc/passwd"}, [["1 cup flour"]] * 3),
    ["1 cup flour"] * 5000,
]


@pytest.mark.parametrize("value", ODD_VALUES, ids=range(len(ODD_VALUES)))
def test_json_of_the_wrong_kind_in_every_place(kit, base, harmless, value):
    """Each place of our own document in turn, those inside others too."""
    whole = recipe_text(replace(base, lines=base.lines[:2]))
    document = json.loads(whole)

    def places(node, path=()):
        if path:
            yield path
        keys = node if isinstance(node, dict) else range(len(node) if type(node) is list else 0)
        for key in keys:
            yield from places(node[key], (*path, key))

    paths = list(places(document))
    assert len(paths) > 35
    for path in paths:
        changed = json.loads(whole)
        node = changed
        for key in path[:-1]:
            node = node[key]
        node[path[-1]] = value
        harmless(json.dumps(changed), "json-ld", name=None, servings=None, source=None)


def nested(depth, inner="1"):
    return "[" * depth + inner + "]" * depth


RAW = {
    "nothing": b"",
    "blank": b" \n\n ",
    "zeros": bytes(1000),
    "every byte": bytes(range(256)),
    "a picture": b"\x89PNG\r\n\x1a\n" + bytes(range(200)),
    "an archive": b"PK\x03\x04" + bytes(100),
    "utf-16": json.dumps(FOREIGN).encode("utf-16"),
    "utf-16 without a mark": json.dumps(FOREIGN).encode("utf-16-le"),
    "utf-32": json.dumps(FOREIGN).encode("utf-32"),
    "utf-7": b"+ADw-script+AD4-",
    "half a letter": '{"name": "caf\u00e9"}'.encode()[:-3],
    "latin-1": '{"@type": "Recipe", "name": "caf\u00e9"}'.encode("latin-1"),
    "too large": b" " * 1_000_001,
    "one long line": b"x" * 900_000,
    "many lines": b"x\n" * 400_000,
    "many list items": b"## Ingredients\n" + b"- 1 cup flour\n" * 60_000,
    "many bad items": b"## Ingredients\n" + b"- 1 cup flubber, a, b, c\n" * 30_000,
    "many cells": b"ingredient,amount\n" + b"," * 500_000,
    "many rows": b"ingredient,amount\n" + b"flour,1 cup\n" * 70_000,
    "many rows of ours": b"part,name,amount,note\n" + b"ingredient,flour,1 cup,\n" * 40_000,
    "a long cell": b'ingredient,amount\n"' + b"x" * 500_000 + b'",1 cup\n',
    "an open quotation": b'ingredient,amount\n"flour,1 cup\n',
    "pipes": b"## Ingredients\n|" + b"|" * 500_000,
    "backslashes": b"## Ingredients\n|" + b"\\" * 500_001 + b"|",
    "brackets": b"## Ingredients\n- 1 cup " + b"(a" * 240,
    "emphasis": b"# " + b"*" * 500_000,
    "headings": b"# a\n" * 200_000,
    "deep lists": nested(300_000).encode(),
    "deep lists that end": nested(60).encode(),
    "open lists": b"[" * 900_000,
    "deep things": b'{"a":' * 100_000 + b"1" + b"}" * 100_000,
    "deep graphs": b'{"@graph":' * 40 + b"1" + b"}" * 40,
    "many graphs": b'[{"@graph": []}' + b',{"@graph": []}' * 50_000 + b"]",
    "many recipes": b'[{"@type":"Recipe"}' + b',{"@type":"Recipe"}' * 40_000 + b"]",
    "many keys": ("{" + ",".join(f'"k{n}":1' for n in range(60_000)) + ', "k1":2}').encode(),
    "twice": b'{"@type":"Recipe","name":"a","name":"b"}',
    "not a number": b'{"@type":"Recipe","recipeYield":NaN}',
    "infinity": b'{"@type":"Recipe","recipeYield":-Infinity}',
    "too large a number": b'{"@type":"Recipe","recipeYield":1e999}',
    "many digits": b'{"@type":"Recipe","recipeYield":' + b"9" * 100_000 + b"}",
    "many decimals": b'{"@type":"Recipe","recipeYield":0.' + b"9" * 100_000 + b"}",
    "a comment": b'{"@type":"Recipe" /* x */}',
    "two documents": b'{"@type":"Recipe"}{"@type":"Recipe"}',
    "a word": b'"Recipe"',
    "a remote context": b'{"@context":"https://example.org/evil","@type":"Recipe","name":"x"}',
    "a changed context": b'{"@context":{"name":"file:///etc/passwd"},"@type":"Recipe"}',
    "an import": b'{"@context":{"@import":"file:///etc/passwd"},"@type":"Recipe"}',
    "toml dates": b"name = 1979-05-27T07:32:00Z\n",
    "toml many digits": b"servings = " + b"9" * 100_000,
    "toml infinity": b'name = "x"\nservings = inf\nsource = "lantern-street"\ningredients = []\n',
    "toml nan": b'name = "x"\nservings = nan\nsource = "lantern-street"\ningredients = [1]\n',
    "toml deep": b"a = " + nested(100_000).encode(),
    "toml dots": b"a" + b".a" * 100_000 + b" = 1",
    "toml twice": b'name = "x"\nname = "y"\n',
    "toml other fields": b'[tool]\nrun = "x"\n',
}


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("kind", RAW)
def test_hostile_files_in_every_form(harmless, kind, form):
    harmless(RAW[kind], form)
