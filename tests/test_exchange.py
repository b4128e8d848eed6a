"""Recipes out and in: nothing is lost, nothing is guessed, and nothing hostile does anything."""

import csv
import html.parser
import io
import json
import re
from dataclasses import replace

import mistune
import pytest
from hypothesis import given
from hypothesis import strategies as st

import kitchenkit as kk
from kitchenkit.errors import DataError, KitchenError
from kitchenkit.exchange import (
    ENDINGS,
    read_recipe,
    recipe_text,
    recipe_toml,
    write_recipe,
)
from kitchenkit.markdown import escape, unescape
from kitchenkit.spreadsheet import guard, unguard
from kitchenkit.tabletext import decode

FORMS = sorted(ENDINGS)
ANY_TEXT = st.text(st.characters(exclude_categories=("Cc", "Cs")), min_size=1, max_size=60)


def same(read, recipe):
    """Equal in all that is exported; a scaled recipe counts as written in its new size."""
    assert len(read.lines) == len(recipe.lines)
    for got, wanted in zip(read.lines, recipe.lines, strict=True):
        assert got.ingredient is wanted.ingredient
        assert got.note == wanted.note
        assert got.amount.units == wanted.amount.units
        assert got.amount.magnitude == pytest.approx(wanted.amount.magnitude, rel=1e-14, abs=0)
    bare = replace(recipe, key="", factor=1.0, lines=())
    assert replace(read, key="", factor=1.0, lines=()) == bare


def told(kit, *args, **options):
    with pytest.raises(DataError) as caught:
        read_recipe(kit, *args, **options)
    return caught.value.faults


# Nothing is lost --------------------------------------------------------------------------------


@pytest.mark.parametrize("form", FORMS)
def test_each_recipe_of_the_kit_comes_back_the_same(kit, form):
    for recipe in kit.recipes.values():
        read = read_recipe(kit, recipe_text(recipe, form), form)
        assert replace(read, key=recipe.key) == recipe
        if form != "toml":  # a file of the data folder has its key as its name
            assert read.key == recipe.key


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("factor", [2, 0.5, 1.7, 1 / 3, 0.013, 99.9])
def test_a_scaled_recipe_comes_back_in_its_new_size(kit, base, form, factor):
    recipe = base.scale(by=factor)
    same(read_recipe(kit, recipe_text(recipe, form), form), recipe)


@pytest.mark.parametrize("form", FORMS)
def test_a_measured_density_and_none_at_all_come_back(kit, base, form):
    for recipe in (
        base.with_cup_weight("243.7 g"),
        replace(base, density_kg_m3=None, density_basis="computed"),
    ):
        assert read_recipe(kit, recipe_text(recipe, form), form).density_kg_m3 == (
            recipe.density_kg_m3
        )
        same(read_recipe(kit, recipe_text(recipe, form), form), recipe)


@pytest.mark.parametrize("form", FORMS)
def test_each_flavour_comes_back_the_same_or_is_refused(kit, base, form):
    refused = set()
    for key, flavour in kit.flavours.items():
        recipe = flavour.applied_to(base).recipe
        if not any("squeezed" in line.ingredient.name for line in recipe.lines):
            read = read_recipe(kit, recipe_text(recipe, form), form)
            # In g/ml the last bit of a carried density may go, as it may of a scaled amount.
            density = pytest.approx(recipe.density_kg_m3, rel=1e-14, abs=0)
            assert read.density_kg_m3 == density
            same(replace(read, density_kg_m3=recipe.density_kg_m3), recipe)
            assert read.density_why == recipe.density_why
            assert "weigh a cup" in read.density_why
            continue
        refused.add(key)
        for write in (recipe_toml, lambda made: recipe_text(made, form)):
            with pytest.raises(KitchenError) as caught:
                write(recipe)
            assert str(caught.value) == (
                "'chopped zucchini, squeezed' cannot be written to a file, which knows only what "
                "ingredients.csv holds: add it there as an ingredient of its own and use that, or "
                "leave the squeezing out."
            )
    assert refused == {"lemon-poppy", "rye-seed"}


@pytest.mark.parametrize("form", FORMS)
def test_each_swap_comes_back_the_same(kit, base, form):
    held = {line.ingredient.key for line in base.lines}
    swaps = [swap for swap in kit.swaps.values() if swap.out.key in held]
    assert swaps
    for swap in swaps:
        recipe = kk.swap_ingredient(kit, base, swap).recipe
        same(read_recipe(kit, recipe_text(recipe, form), form), recipe)


def test_a_flavoured_recipe_opens_with_the_kit(data_folder, kit, base):
    recipe = kit.flavours["cocoa-cherry"].applied_to(base).recipe
    path = data_folder / "recipes" / f"{recipe.key}.toml"
    path.write_text(recipe_toml(recipe), encoding="utf-8")
    opened = kk.open_kit(data_folder).recipes[recipe.key]
    assert (opened.density_basis, opened.density_why) == ("carried", recipe.density_why)
    assert opened.volume.m_as("ml") == pytest.approx(recipe.volume.m_as("ml"), rel=1e-14)


def test_what_is_refused_leaves_the_file_that_was_there(kit, base, tmp_path):
    path = write_recipe(base, tmp_path / "mine.toml")
    before = path.read_bytes()
    with pytest.raises(KitchenError, match="cannot be written"):
        write_recipe(kit.flavours["rye-seed"].applied_to(base).recipe, path)
    assert path.read_bytes() == before


def test_an_ingredient_that_is_squeezed_by_name_alone_is_written(base):
    item = replace(base.lines[0].ingredient, key="lemon-squeezed", name="lemon, squeezed")
    recipe = replace(base, lines=(replace(base.lines[0], ingredient=item), *base.lines[1:]))
    assert "lemon, squeezed" in recipe_toml(recipe)


@pytest.mark.parametrize("form", FORMS)
@given(name=ANY_TEXT, serving=ANY_TEXT, note=ANY_TEXT, line_note=ANY_TEXT)
def test_any_words_come_back_as_they_were(kit, base, form, name, serving, note, line_note):
    lines = (replace(base.lines[0], note=line_note), *base.lines[1:])
    recipe = replace(base, name=name, serving=serving, note=note, lines=lines)
    try:
        written = recipe_text(recipe, form)
    except KitchenError:
        with pytest.raises(KitchenError):  # what a table's reader takes for damage
            decode("|".join((name, serving, note, line_note)).encode())
        return
    same(read_recipe(kit, written, form), recipe)


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize(
    "odd", ["two\nlines", "\ttab", " spaces  between ", "a\r\nb", "\\n", "''x"]
)
def test_line_ends_tabs_and_spaces_come_back(kit, base, form, odd):
    recipe = replace(base, name=odd, note=odd)
    same(read_recipe(kit, recipe_text(recipe, form), form), recipe)


def test_a_recipe_file_opens_with_the_kit(data_folder, base):
    recipe = replace(base.scale(by=1.5), name="Larger batter")
    (data_folder / "recipes" / "larger.toml").write_text(recipe_toml(recipe), encoding="utf-8")
    opened = kk.open_kit(data_folder).recipes["larger"]
    assert opened.weight.m_as("g") == pytest.approx(recipe.weight.m_as("g"), rel=1e-14)
    assert (opened.name, opened.servings) == (recipe.name, recipe.servings)


@pytest.mark.parametrize("form", FORMS)
def test_saved_to_a_file_and_read_from_it(kit, base, tmp_path, form):
    recipe = replace(base, name="Crème brûlée ½ & <b>../x</b>")
    path = write_recipe(recipe, tmp_path, form)
    assert path == tmp_path / f"creme-brulee-1-2-b-x-b{ENDINGS[form][0]}"
    same(read_recipe(kit, path), recipe)
    for ending in ENDINGS[form]:
        other = write_recipe(recipe, str(tmp_path / f"again{ending.upper()}"))
        same(read_recipe(kit, other), recipe)


def test_spreadsheets_are_told_that_the_letters_are_utf_8(base, tmp_path):
    path = write_recipe(base, tmp_path / "batter.csv")
    assert path.read_bytes().startswith(b"\xef\xbb\xbf")


@pytest.mark.parametrize("separator", [";", "\t"])
def test_a_table_saved_anew_by_a_spreadsheet_is_read(kit, base, separator):
    recipe = base.scale(by=1.7)
    out = io.StringIO()
    rows = list(csv.reader(io.StringIO(recipe_text(recipe, "csv"))))
    rows[2][2] = rows[2][2].replace(".", ",")
    assert rows[2][2] == "27,2"
    csv.writer(out, delimiter=separator).writerows([*rows, ["", "", "", ""]])
    same(read_recipe(kit, out.getvalue().encode("utf-16"), "csv"), recipe)


# schema.org ---------------------------------------------------------------------------------------


def test_the_words_of_a_line_are_for_people(base):
    words = json.loads(recipe_text(base))["recipeIngredient"]
    assert words[0] == "1 1/2 cups all-purpose flour, spooned into the cup and levelled"
    assert "2 large eggs" in words
    rounded = json.loads(recipe_text(base.scale(by=1.7)))["recipeIngredient"]
    assert not [line for line in rounded if re.search(r"\d\.\d", line)]
    assert "170 g large egg" in rounded


def test_changed_words_count_more_than_the_exact_amount_beside_them(kit, base):
    data = json.loads(recipe_text(base))
    data["recipeIngredient"][0] = "2 cups bread flour"
    read = read_recipe(kit, json.dumps(data), "json-ld")
    assert (read.lines[0].ingredient.key, read.lines[0].amount) == ("bread-flour", kk.Q(2, "cup"))
    same(replace(read, lines=read.lines[1:]), replace(base, lines=base.lines[1:]))


def test_json_may_stand_inside_a_web_page(base):
    written = recipe_text(replace(base, name="</script><script>alert(1)</script>&amp;"))
    assert not set("<>&") & set(written)


def test_no_claim_of_diet_or_nutrition_goes_out_or_comes_in(kit, base):
    data = json.loads(recipe_text(base))
    assert not {"nutrition", "suitableForDiet"} & set(data)
    claims = {"suitableForDiet": "https://schema.org/GlutenFreeDiet", "nutrition": {"calories": 1}}
    assert read_recipe(kit, json.dumps(data | claims), "json-ld") == base


FOREIGN = {
    "@context": "https://schema.org/",
    "@type": ["Recipe", "NewsArticle"],
    "name": "Oat squares",
    "author": {"@type": "Person", "name": "somebody"},
    "recipeYield": "Makes 9 squares",
    "recipeIngredient": [
        "1 1/2 cups rolled oats",
        "½ cup (113 g) butter, melted",
        "2 large eggs",
        "1 cup packed brown sugar",
        "a pinch of salt",
        "125g all-purpose flour, sifted twice",
    ],
    "recipeInstructions": [{"@type": "HowToStep", "text": "Stir."}],
}


@pytest.mark.parametrize(
    "wrap",
    [
        lambda node: node,
        lambda node: [node],
        lambda node: {"@context": "https://schema.org", "@graph": [{"@type": "WebPage"}, node]},
        lambda node: [[{"@type": "Organization"}], [node]],
        lambda node: {f"http://schema.org/{k}" if k[0] != "@" else k: v for k, v in node.items()},
        lambda node: node | {"@type": "https://schema.org/Recipe"},
        lambda node: node | {"name": [{"@value": "Oat squares", "@language": "en"}]},
    ],
    ids=["bare", "list", "graph", "lists", "long terms", "long type", "value object"],
)
def test_a_recipe_from_a_web_page_is_read_by_its_words(kit, wrap):
    text = json.dumps(wrap(FOREIGN))
    recipe = read_recipe(kit, text, "json-ld", source="lantern-street")
    assert (recipe.key, recipe.name, recipe.servings) == ("oat-squares", "Oat squares", 9)
    assert recipe.serving == "squares"
    got = [(line.ingredient.key, f"{line.amount:~.4g}", line.note) for line in recipe.lines]
    assert got == [
        ("rolled-oats", "1.5 cup", ""),
        ("butter", "0.5 cup", "113 g, melted"),
        ("large-egg", "2 each", ""),
        ("brown-sugar-packed", "1 cup", ""),
        ("salt", "1 pinch", ""),
        ("all-purpose-flour", "125 g", "sifted twice"),
    ]


def test_every_line_that_cannot_be_read_is_told_at_once_and_can_be_settled(kit):
    lines = ["1 cup rolled oats", "butter the size of a walnut", "2 to 3 eggs", "1 cup flubber"]
    data = FOREIGN | {"recipeIngredient": lines, "recipeYield": "4-6 servings"}
    faults = told(kit, json.dumps(data), "json-ld")
    assert [fault.value for fault in faults] == [
        "4-6 servings",
        "butter the size of a walnut",
        "2 to 3 eggs",
        "1 cup flubber",
        "nothing",
    ]
    assert "not exact" in faults[2].mend
    assert "no ingredient called 'flubber'" in faults[3].mend
    assert "source=" in faults[4].mend
    settled = {
        "butter the size of a walnut": "2 tbsp butter",
        "2 to 3 eggs": "2 eggs",
        "1 cup flubber": "",
    }
    recipe = read_recipe(
        kit, json.dumps(data), "json-ld", source="lantern-street", servings=5, settled=settled
    )
    assert [line.ingredient.key for line in recipe.lines] == ["rolled-oats", "butter", "large-egg"]
    assert recipe.servings == 5


def test_of_several_recipes_one_is_chosen_by_its_name(kit):
    both = json.dumps([FOREIGN, FOREIGN | {"name": "Oat rounds"}])
    (fault,) = told(kit, both, "json-ld", source="lantern-street")
    assert fault.value == "Oat squares, Oat rounds"
    read = read_recipe(kit, both, "json-ld", source="lantern-street", name="Oat rounds")
    assert read.name == "Oat rounds"


@pytest.mark.parametrize(
    ("line", "key", "amount", "note"),
    [
        ("2 small eggs", "small-egg", "2 each", ""),
        ("2/3 cup brown sugar, packed", "brown-sugar-packed", "0.6667 cup", ""),
        ("1 lb 4 oz all-purpose flour", "all-purpose-flour", "1.25 lb", ""),
        ("1 cup + 2 tbsp vegetable oil", "vegetable-oil", "1.125 cup", ""),
        ("3 carrots, peeled, grated", "shredded-carrot", "3 each", "peeled, grated"),
        ("1 T. cinnamon (ground)", "cinnamon", "1 tbsp", "ground"),
        ("1,5 kg Flour", "all-purpose-flour", "1.5 kg", ""),
        ("  1  cup   plain   yogurt  ", "plain-yogurt", "1 cup", ""),
    ],
)
def test_lines_as_people_write_them(kit, line, key, amount, note):
    page = f"# Test\n\nServes 4\n\n## Ingredients\n\n* {line}\n"
    (read,) = read_recipe(kit, page, "markdown", source="lantern-street").lines
    assert (read.ingredient.key, f"{read.amount:~.4g}", read.note) == (key, amount, note)


@pytest.mark.parametrize(
    "line",
    [
        "salt",
        "salt to taste",
        "1 heaped cup flour",
        "some flour",
        "1 cup",
        "2",
        "flour 1 cup",
        "-1 cup flour",
        "0 cups flour",
        "1/0 cup flour",
        "1 cup flour or rolled oats",
        "1 cup flour and 1 cup sugar",
        "1 in flour",
        "2 cups eggs and milk",
        "1 (8 oz) butter",
        "2 (15 oz) cans pumpkin",
        "1e999 cups flour",
    ],
)
def test_lines_that_could_mean_two_things_are_not_guessed(kit, line):
    page = f"# Test\n\nServes 4\n\n## Ingredients\n\n- {line}\n"
    faults = told(kit, page, "markdown", source="lantern-street")
    assert len(faults) == 1
    assert "Write" in faults[0].mend


# Spreadsheets and pages ---------------------------------------------------------------------------

DANGEROUS = [
    "=1+1",
    "+1",
    "-1",
    "@SUM(A1)",
    "\t=1",
    "\r=1",
    "\n=1",
    " =1+1",
    "\u00a0=1",
    "＝1+1",
    "'=1",
    '=HYPERLINK("https://example.org","x")',
    "=cmd|' /C calc'!A0",
    'x";=1+1',
    'x",=1+1',
    "x\n=1+1",
    "x;=1+1",
]


@pytest.mark.parametrize("text", DANGEROUS)
def test_no_cell_begins_as_a_formula(kit, base, text):
    recipe = replace(
        base,
        name=text,
        serving=text,
        note=text,
        lines=(replace(base.lines[0], note=text), *base.lines[1:]),
    )
    written = recipe_text(recipe, "csv")
    # Each cell stands in quotes, so that no other separator begins a cell in the middle of it.
    assert re.fullmatch(r'(?:"(?:[^"]|"")*"(?:,|\r\n))+', written)
    for row in csv.reader(io.StringIO(written, newline="")):
        for cell in row:
            assert not re.match(r"\s*[=+\-@＝＋－＠]|[\t\r\n]", cell)
    same(read_recipe(kit, written, "csv"), recipe)


@given(st.text())
def test_a_guarded_cell_gives_its_text_back(text):
    assert unguard(guard(text)) == text
    assert not guard(text).lstrip().startswith(tuple("=+-@"))


@given(st.text(st.characters(exclude_categories=("Cs",))))
def test_escaped_text_is_one_line_and_gives_itself_back(text):
    assert "\n" not in escape(text)
    assert unescape(escape(text)) == text


class Seen(html.parser.HTMLParser):
    """The elements of a page, with their attributes, and the text of its first heading."""

    def __init__(self, page):
        super().__init__()
        self.elements, self.title = set(), None
        self.feed(page)

    def handle_starttag(self, tag, attrs):
        self.elements.add((tag, *attrs))
        self.title = "" if tag == "h1" else self.title

    def handle_endtag(self, tag):
        if tag == "h1":
            self.done = True

    def handle_data(self, data):
        if self.title is not None and not hasattr(self, "done"):
            self.title += data


RENDER = mistune.create_markdown(
    escape=False, plugins=["table", "strikethrough", "url", "footnotes", "math", "mark", "spoiler"]
)
MARKUP = [
    "<script>alert(1)</script>",
    "<img src=x onerror=alert(1)>",
    "[x](javascript:alert(1))",
    "![x](https://example.org/p.png)",
    "https://example.org/ and www.example.org",
    "<https://example.org>",
    "**bold** _it_ `code` ~~gone~~ ==mark==",
    "a | b | c",
    "\\| a \\\\ b \\",
    "&lt;b&gt; &#60;i&#62;",
    "# heading #",
    "$x^2$ [^1] [x][y]",
    ">! hidden !<",
    "1. one",
    "- [ ] task",
    "---",
    "```sh",
]


def test_the_reader_would_act_on_that_markup():
    acted = [text for text in MARKUP if Seen(RENDER(f"# {text}")).title != text]
    assert len(acted) >= 10
    assert ("script",) in Seen(RENDER(MARKUP[0])).elements


@pytest.mark.parametrize("text", MARKUP)
def test_markup_in_a_name_is_text_for_any_markdown_reader(kit, base, text):
    """The reader is a general library, told to let markup through."""
    lines = (replace(base.lines[0], note=text), *base.lines[1:])
    recipe = replace(base, name=text, serving=text, note=text, lines=lines)
    seen = Seen(RENDER(recipe_text(recipe, "markdown")))
    assert seen.title == text
    plain = {("h1",), ("h2",), ("ul",), ("li",)}
    table = {(part,) for part in ("table", "thead", "tbody", "tr", "th", "td")}
    assert seen.elements == plain | table
    same(read_recipe(kit, recipe_text(recipe, "markdown"), "markdown"), recipe)


def test_a_bare_table_of_amounts_is_read(kit):
    text = "Ingredient;Amount;Note\nflour;1 1/2 cups;spooned\n;;\neggs;2;\n"
    options = {"name": "Plain", "servings": 4, "source": "lantern-street"}
    recipe = read_recipe(kit, text, "csv", **options)
    assert [(x.ingredient.key, x.note) for x in recipe.lines] == [
        ("all-purpose-flour", "spooned"),
        ("large-egg", ""),
    ]
    assert told(kit, text.replace("2;", "two or 3;"), "csv", **options)[0].row == "row 4"


# What cannot be read is told --------------------------------------------------------------------


@pytest.mark.parametrize("form", FORMS)
def test_a_file_of_another_form_is_told(kit, base, form):
    for other in set(FORMS) - {form}:
        with pytest.raises(DataError):
            read_recipe(kit, recipe_text(base, other), form)


@pytest.mark.parametrize(
    "key", ["../../x", "/etc/x", "CON", "a" * 61, "", "X Y", "a\\b", "a/b", ".hidden"]
)
def test_a_key_from_outside_is_never_a_path(kit, base, key):
    data = json.loads(recipe_text(base)) | {"identifier": key}
    assert read_recipe(kit, json.dumps(data), "json-ld").key == "carrot-and-oat-base-batter"


def test_what_is_no_file_is_told(kit, tmp_path):
    for path in (tmp_path / "none.csv", tmp_path, tmp_path / "a\0b.csv"):
        with pytest.raises(KitchenError):
            read_recipe(kit, path, "csv")
    with pytest.raises(KitchenError, match="End its name in"):
        read_recipe(kit, tmp_path / "recipe.exe")
    with pytest.raises(KitchenError, match="End its name in"):
        write_recipe(kit.recipes["carrot-oat-base"], tmp_path / "recipe.exe")
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("given", [None, 5, ["x"], {"@type": "Recipe"}])
def test_what_is_no_text_is_told(kit, given):
    with pytest.raises(KitchenError, match="is no text"):
        read_recipe(kit, given, "json-ld")


def test_an_unknown_form_is_told(kit, base):
    for call in (
        lambda: recipe_text(base, "yaml"),
        lambda: read_recipe(kit, "x", "yaml"),
        lambda: read_recipe(kit, "x"),
    ):
        with pytest.raises(KitchenError, match="Choose one of: json-ld, csv, markdown, toml"):
            call()


def test_a_source_that_the_kit_has_not_is_told(kit, base):
    text = recipe_text(replace(base, source="somewhere"))
    (fault,) = told(kit, text, "json-ld")
    assert (fault.column, fault.value) == ("source", "somewhere")
    assert read_recipe(kit, text, "json-ld", source="lantern-street") == base
