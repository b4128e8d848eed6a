"""Recipes out and in on a screen: what a person settles, and what hostile text cannot do."""

import datetime
import json
from html.parser import HTMLParser

import ipywidgets as widgets
import pytest
from test_exchange import DANGEROUS, FOREIGN, FORMS, MARKUP, same
from test_hostile_recipes import ODD_VALUES, RAW, TEXTS

import kitchenkit as kk
from kitchenkit.exchange import ENDINGS, read_recipe, recipe_text
from kitchenkit.panels.recipe_exchange import MOST_FIELDS

NOW = datetime.datetime(2026, 11, 25)
PAGE = """# Oat squares
Makes 9
## Ingredients
- 2 cups rolled oats
- a good handful of raisins
- 1/2 cup honey
- 3 tbsp flubber
"""
HONEST = {"p", "strong", "em", "style", "div", "ul", "li", "span", "table", "thead", "tbody"}
HONEST |= {"tr", "th", "td", "pre"}


@pytest.fixture
def panel(data_folder, tmp_path):
    return kk.RecipeExchangePanel(kk.open_kit(data_folder), tmp_path / "own")


def files(folder):
    found = (path for path in folder.rglob("*") if path.is_file() and path.name != ".saving")
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in found}


def read(panel, text, form="markdown", source="lantern-street"):
    panel.form_in.value = form
    panel.source.value = source
    panel.text_in.value = text
    panel.reads.click()
    return panel.read


def fields(panel):
    return [box for box in panel._lines.children if isinstance(box, widgets.Text)]


class Tags(HTMLParser):
    """Which elements and handlers a page has."""

    def __init__(self):
        super().__init__()
        self.found = set()

    def handle_starttag(self, tag, attributes):
        self.found.add(tag)
        self.found |= {f"{tag} {name}" for name, _ in attributes if name.startswith("on")}


def pages(panel):
    found = [panel._said_out, panel._said_in, panel._table, panel._chosen, *panel._lines.children]
    texts = [box.value for box in found if isinstance(box, widgets.HTML)]
    return "".join([*texts, panel._repr_mimebundle_()["text/html"]])


def clean(panel):
    tags = Tags()
    tags.feed(pages(panel))
    assert tags.found <= HONEST
    pages(panel).encode("utf-8")  # no half letter, which no page can carry
    assert "stumbled" not in panel._said_in.value + panel._said_out.value


# Out ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize("form", FORMS)
def test_a_recipe_is_shown_and_saved_and_reads_the_same(panel, form, tmp_path):
    recipe = panel.kit.recipes["carrot-oat-base"]
    panel.form_out.value = form
    assert panel.text_out.value == recipe_text(recipe, form)
    panel.save.click()
    panel.save.click()
    assert "Saved in" in panel._said_out.value
    kept = sorted((tmp_path / "own/recipes-out").glob(f"*{ENDINGS[form][0]}"))
    assert len(kept) == 2  # the second has its own name
    for path in kept:
        same(read_recipe(panel.kit, path), recipe)


def test_without_a_folder_of_one_s_own_nothing_is_saved(kit, monkeypatch):
    monkeypatch.delenv("KITCHENKIT_DATA", raising=False)
    panel = kk.RecipeExchangePanel(kit)
    panel.save.click()
    assert "no folder of your own" in panel._said_out.value


# In ----------------------------------------------------------------------------------------------


def test_unread_lines_are_settled_one_by_one_and_the_recipe_is_kept(panel):
    folder = panel.kit.folder
    before = files(folder)
    assert read(panel, PAGE) is None
    assert [field.value for field in fields(panel)] == [
        "a good handful of raisins",
        "3 tbsp flubber",
    ]
    assert panel.keep.disabled
    fields(panel)[0].value = "1/2 cup raisins"
    panel.reads.click()
    assert panel.read is None
    assert [field.value for field in fields(panel)] == ["1/2 cup raisins", "3 tbsp flubber"]
    fields(panel)[1].value = "3 tbsp glubber"  # still nothing the kit knows
    panel.reads.click()
    assert len(fields(panel)) == 2
    assert "glubber" in "".join(b.value for b in panel._lines.children) + panel._said_in.value
    fields(panel)[1].value = ""
    panel.reads.click()
    assert [line.ingredient.name for line in panel.read.lines] == [
        "rolled oats",
        "raisins, loose",
        "honey",
    ]
    assert "Left out: 3 tbsp flubber" in panel._said_in.value
    assert "read every label" in panel._said_in.value.casefold()
    assert "72 g" in panel._table.value  # half of USDA SR's 145 g a cup
    assert files(folder) == before  # nothing is kept unasked

    panel.keep.click()
    assert "Kept in" in panel._said_in.value
    after = files(folder)
    assert set(after) - set(before) == {"recipes/oat-squares.toml"}
    assert {name: after[name] for name in before} == before
    assert kk.open_kit(folder).recipes["oat squares"].servings == 9
    assert panel.recipe.value == "oat-squares"
    assert panel.keep.disabled

    panel.drop.click()
    assert "is removed" in panel._said_in.value
    assert "oat-squares" not in kk.open_kit(folder).recipes


def test_a_changed_answer_must_be_read_again(panel):
    read(panel, PAGE.replace("- 3 tbsp flubber\n", ""))
    fields(panel)[0].value = "1/2 cup raisins"
    panel.reads.click()
    assert not panel.keep.disabled
    fields(panel)[0].value = "1 cup raisins"
    assert panel.keep.disabled
    assert panel.read is None
    panel.reads.click()
    assert "1 cup" in panel._table.value
    panel.name.value = "Other squares"
    assert panel.keep.disabled


def test_nothing_is_overwritten(panel):
    good = PAGE.replace("a good handful of", "1/2 cup").replace("- 3 tbsp flubber\n", "")
    folder = panel.kit.folder
    (folder / "recipes/oat-squares.toml").write_bytes(
        recipe_text(panel.kit.recipes["carrot-oat-base"], "toml")
        .replace("carrot-and-oat base batter", "something else")
        .encode()
    )
    before = files(folder)
    read(panel, good)
    panel.keep.click()
    after = files(folder)
    assert {name: after[name] for name in before} == before
    assert set(after) - set(before) == {"recipes/oat-squares-2.toml"}
    read(panel, good)
    panel.keep.click()  # the same name again
    assert "Not done" in panel._said_in.value
    assert files(folder) == after


def test_settling_where_a_cell_holds_only_a_name(panel):
    text = recipe_text(panel.kit.recipes["carrot-oat-base"], "toml")
    text = text.replace('"all-purpose flour"', '"flubber"').replace("carrot-and-oat", "other")
    assert read(panel, text, "toml", "") is None
    (field,) = fields(panel)
    assert field.value == "flubber"
    field.value = "all-purpose flour"
    panel.reads.click()
    same_lines = panel.kit.recipes["carrot-oat-base"].lines
    assert [line.ingredient for line in panel.read.lines] == [x.ingredient for x in same_lines]
    table = recipe_text(panel.kit.recipes["carrot-oat-base"], "csv")
    assert read(panel, table.replace("all-purpose flour", "flubber"), "csv", "") is None
    fields(panel)[0].value = ""
    panel.reads.click()
    assert len(panel.read.lines) == len(same_lines) - 1


def test_a_yield_in_words_is_settled_too(panel):
    assert read(panel, "# Bar\nMakes a few\n## Ingredients\n- 1 cup rolled oats\n") is None
    assert "Or give the servings above." in "".join(b.value for b in panel._lines.children)
    panel.servings.value = "6"
    panel.reads.click()
    assert panel.read.servings == 6


def test_a_file_is_read_instead_of_what_was_pasted(panel):
    recipe = panel.kit.recipes["carrot-oat-base"]
    panel.text_in.value = PAGE
    name, content = "<b>mine</b>.JSONLD", recipe_text(recipe, "json-ld").encode()
    more = {"type": "", "size": len(content), "last_modified": NOW}
    panel.upload.value = ({"name": name, "content": memoryview(content), **more},)
    assert panel.text_in.value == ""
    assert panel.form_in.value == "json-ld"
    assert "&lt;b&gt;mine" in panel._chosen.value
    panel.reads.click()
    same(panel.read, recipe)
    panel.text_in.value = PAGE  # typing takes its place again
    assert panel._chosen.value == ""
    assert panel.read is None


def test_the_kit_s_own_data_stay(kit):
    panel = kk.RecipeExchangePanel(kit)
    before = files(kit.folder)
    assert read(panel, recipe_text(kit.recipes["carrot-oat-base"], "json-ld"), "json-ld", "")
    assert panel.keep.disabled
    panel.keep.click()  # a disabled button can be pressed by a program
    assert "kit&#x27;s own data" in panel._said_in.value
    assert files(kit.folder) == before


def test_nothing_pasted_is_told(panel):
    panel.reads.click()
    assert "Paste a recipe" in panel._said_in.value
    panel.keep.click()
    assert "Read a recipe first" in panel._said_in.value
    panel.drop.click()
    assert "nothing to remove" in panel._said_in.value


# What is hostile ---------------------------------------------------------------------------------


@pytest.mark.parametrize("text", [*DANGEROUS, *MARKUP, *TEXTS], ids=str.__len__)
def test_hostile_words_stay_words(panel, text):
    """In every place of a recipe: no element of theirs is on the page, no file anywhere."""
    before = files(panel.kit.folder)
    for form, written in (
        (
            "json-ld",
            json.dumps(FOREIGN | {"name": text, "recipeIngredient": [text, f"1 cup {text}"]}),
        ),
        ("markdown", f"# {text}\n## Ingredients\n- {text}\n- 1 cup flour, {text}\n"),
        ("csv", 'ingredient,amount\n"' + text.replace('"', '""') + '","1 cup"\n'),
        ("toml", f"name = {json.dumps(text)}\nservings = 4\n"),
        ("markdown", text),
    ):
        read(panel, written, form)
        clean(panel)
        for field in fields(panel):
            field.value = f"1 cup flour, {text}"
        panel.reads.click()
        clean(panel)
    assert files(panel.kit.folder) == before


@pytest.mark.parametrize("text", [*DANGEROUS, *MARKUP], ids=str.__len__)
def test_a_hostile_name_that_is_kept_stays_in_its_folder_and_is_shown_as_words(panel, text):
    folder = panel.kit.folder
    before = files(folder.parent)
    panel.name.value = text
    if read(panel, "## Ingredients\nMakes 4\n- 1 cup flour\n") is None:
        panel.servings.value = "4"
        panel.reads.click()
    panel.keep.click()
    clean(panel)
    new = set(files(folder.parent)) - set(before)
    assert all(name.startswith("data/recipes/") and name.isascii() for name in new)
    assert len(new) == (1 if "Kept in" in panel._said_in.value else 0)


@pytest.mark.parametrize("form", FORMS)
def test_hostile_files(panel, form):
    before = files(panel.kit.folder)
    for content in RAW.values():
        panel.form_in.value = form
        more = {"name": "x", "type": "", "size": len(content), "last_modified": NOW}
        panel.upload.value = ({"content": memoryview(content), **more},)
        panel.form_in.value = form
        panel.reads.click()
        clean(panel)
        assert len(fields(panel)) <= MOST_FIELDS
    assert files(panel.kit.folder) == before


def test_json_of_the_wrong_kind(panel):
    for value in ODD_VALUES:
        read(panel, json.dumps(FOREIGN | {"recipeIngredient": value, "name": value}), "json-ld")
        clean(panel)


def test_more_unread_lines_than_fields(panel):
    lines = "".join(f"- {n} cups flubber {n}\n" for n in range(1, 70))
    read(panel, f"# Much\nMakes 4\n## Ingredients\n{lines}")
    assert len(fields(panel)) == MOST_FIELDS
    assert "flubber 69" in panel._said_in.value


def test_a_still_for_pages_that_have_not_run(panel):
    still = panel._repr_mimebundle_()
    assert "carrot-and-oat base batter" in still["text/html"]
    assert "Run the page" in still["text/html"]
    assert still["text/plain"].startswith("Recipes out and in")
