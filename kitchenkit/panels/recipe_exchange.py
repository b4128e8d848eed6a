"""Recipes out and in on a screen: as text to copy or save, and from text, line by line."""

from __future__ import annotations

import html
from dataclasses import replace

import ipywidgets as widgets

from kitchenkit import language
from kitchenkit.allergens import allergens_in
from kitchenkit.costs import say_package
from kitchenkit.editing import EditedRecipe, EditError, is_own
from kitchenkit.errors import DataError, Fault, KitchenError
from kitchenkit.exchange import ENDINGS, read_recipe, recipe_text
from kitchenkit.kit import open_kit
from kitchenkit.language import mark, num, tr, trn
from kitchenkit.panels.base import STYLE, care_html, page_text, spoken, stumbled, table_html
from kitchenkit.panels.controls import dropdown, labelled, text
from kitchenkit.panels.editor_words import column_words
from kitchenkit.panels.pieces import Frame, abreast, button, messages, passage, show_if, stacked
from kitchenkit.panels.relabel import Labels
from kitchenkit.printouts import own_folder, save_new
from kitchenkit.recipe import Recipe
from kitchenkit.saving import versions
from kitchenkit.saying import say_both
from kitchenkit.units import read_number

FOLDER = "recipes-out"
MOST_FIELDS = 40  # at once; what is beyond them is told in words, and comes once these are settled
_FORMS = [
    (mark("a page to read (Markdown)"), "markdown"),
    (mark("a table for a spreadsheet (CSV)"), "csv"),
    (mark("for recipe programs (schema.org in JSON-LD)"), "json-ld"),
    (mark("a file of the data folder (TOML)"), "toml"),
]
_CARE = (
    mark(
        "No allergens, keeping times or baking times come in with a recipe. What the kit says of "
        "its allergens is what its own table of ingredients names: read every label."
    ),
    mark("A line that you leave out is left out of the allergens and of the cost, too."),
    mark("A recipe may be somebody's work: name where it comes from."),
)
_OUT = mark("Out: to copy, print or send")
_IN = mark("In: from text or a file")
_READ_AS = mark("{n}: read it as")


class RecipeExchangePanel(Frame):
    """A recipe as text to copy or save, and a recipe from text, with each unread line to settle.

    In another language it is labelled anew, and what is typed stays. Written recipes stay in
    English, which is what `read_recipe` reads.

    Parameters
    ----------
    kit : Kit
    folder : str or Path, optional
        What goes out is saved here, in a folder ``recipes-out``; the learner's own when left out.

    Attributes
    ----------
    read : Recipe or None
        What was read last, whole; nothing is kept of it until `keep` is pressed.
    """

    title = mark("Recipes out and in")

    def __init__(self, kit, folder=None):
        self.kit = kit
        self._folder = folder
        self.read: Recipe | None = None
        self._kept: EditedRecipe | None = None
        self._file: bytes | None = None
        self._quiet = False
        self._unread: dict[str, widgets.Text] = {}
        self._found: dict[str, Fault] = {}
        self._settled: dict[str, str] = {}
        self._labels = Labels()
        self._head, self._care = passage(), passage()
        self._heading_out, self._heading_in = passage(), passage()
        super().__init__([self._head, *self._out(), *self._in(), self._care])
        self._tell()
        self._show_text()
        self._show_buttons()
        language.listen(self)

    def _tell(self) -> None:
        self._head.value = f"{STYLE}{self._title()}"
        self._heading_out.value, self._heading_in.value = _heading(tr(_OUT)), _heading(tr(_IN))
        self._care.value = care_html(map(tr, _CARE))

    def _title(self) -> str:
        return f'<p class="kk-title"{spoken()}>{html.escape(tr(self.title))}</p>'

    def retell(self) -> None:
        """Label everything anew, in another language; what is typed stays, and what was read."""
        self._labels.retell()
        self._tell()
        self._quiet = True
        lists = {
            self.recipe: self._recipes(),
            self.source: self._sources(),
            self.form_out: _forms(),
            self.form_in: _forms(),
        }
        for control, options in lists.items():
            held = control.value
            control.options, control.value = options, held
        for number, field in enumerate(self._unread.values(), 1):
            field.description = tr(_READ_AS, n=number)
        self._quiet = False
        if self._lines.children:
            self._show_lines(self._found)
        if self.read is not None:
            self._show_read(self._settled)

    # Out ---------------------------------------------------------------------------------------

    def _out(self) -> list[widgets.Widget]:
        options = self._recipes()
        self.recipe = self._dropdown(mark("Recipe"), options, options[0][1])
        self.form_out = self._dropdown(mark("Written as"), _forms(), "markdown")
        self.text_out = self._labels(_area(), mark("The recipe as text"))
        self.save = self._button(mark("Save this text as a file"), self._save)
        self._said_out = messages()
        for control in (self.recipe, self.form_out):
            control.observe(lambda _: self._show_text(), names="value")
        return [
            *(self._heading_out, self.recipe, self.form_out, self.text_out),
            *(abreast([self.save]), self._said_out),
        ]

    def _recipes(self) -> list[tuple[str, str]]:
        return [(tr(recipe.name), key) for key, recipe in self.kit.recipes.items()]

    def _show_text(self) -> None:
        if self._quiet:
            return
        self._said_out.value = ""
        try:
            recipe = self.kit.recipes[self.recipe.value]
            self.text_out.value = recipe_text(recipe, self.form_out.value)
        except KitchenError as error:
            self.text_out.value = ""
            _say(self._said_out, str(error), wrong=True)

    def _save(self) -> None:
        recipe, form = self.kit.recipes[self.recipe.value], self.form_out.value
        place = own_folder(self._folder) / FOLDER
        # The mark tells spreadsheets that the letters are UTF-8.
        content = recipe_text(recipe, form).encode("utf-8-sig" if form == "csv" else "utf-8")
        path = save_new(place, recipe.name, ENDINGS[form][0], content, "recipe")
        _say(self._said_out, tr("Saved in {path}.", path=path))

    # In ----------------------------------------------------------------------------------------

    def _in(self) -> list[widgets.Widget]:
        endings = ",".join(ending for known in ENDINGS.values() for ending in known)
        self.text_in = self._labels(_area(), mark("Paste a recipe here"))
        upload = widgets.FileUpload(accept=endings)
        self.upload = self._labels(upload, mark("Or choose a file"))
        self.upload.layout.width = "auto"
        self._chosen = passage()
        self.form_in = self._dropdown(mark("It is"), _forms(), "markdown")
        self.name = self._labels(text("", ""), mark("Call it (empty: as the text does)"))
        self.servings = self._labels(text("", ""), mark("Servings (empty: as the text says)"))
        self.source = self._dropdown(mark("Comes from"), self._sources(), "")
        self.reads = self._button(mark("Read it"), self._read)
        self._lines = stacked([])
        self._table = passage()
        self._said_in = messages()
        self.keep = self._button(mark("Keep this recipe"), self._keep)
        self.drop = self._button(mark("Remove it again"), self._drop)
        self.text_in.observe(lambda _: self._new_text(), names="value")
        self.upload.observe(self._take_file, names="value")
        for control in (self.form_in, self.name, self.servings, self.source):
            control.observe(lambda _: self._forget(), names="value")
        return [
            *(self._heading_in, self.text_in, abreast([self.upload]), self._chosen, self.form_in),
            *(self.name, self.servings, self.source),
            *(abreast([self.reads]), self._said_in, self._lines, self._table),
            abreast([self.keep, self.drop]),
        ]

    def _sources(self) -> list[tuple[str, str]]:
        known = self.kit.sources.items()
        named = [(_plain(f"{key}: {one.citation}")[:90], key) for key, one in known]
        return [(tr("as the text says"), ""), *named]

    def _take_file(self, _) -> None:
        """A file was chosen: it is read instead of what was pasted."""
        if not self.upload.value or self._quiet:
            return
        chosen = self.upload.value[0]
        self._quiet = True
        self.text_in.value = ""
        self._quiet = False
        self._file = bytes(chosen["content"])
        name = str(chosen["name"])
        self.upload.value = ()  # so that the same file can be chosen again once it is mended
        for form, endings in ENDINGS.items():
            if name.casefold().endswith(endings):
                self.form_in.value = form
        self._new_recipe()
        size = num(len(self._file), ",")
        _say(
            self._chosen,
            tr("Chosen: {file}, {size} bytes. Press Read it.", file=name, size=size),
        )

    def _new_text(self) -> None:
        if not self._quiet:
            self._file = None
            self._chosen.value = ""
            self._new_recipe()

    def _new_recipe(self) -> None:
        """Another text: what was settled in the old one is no answer to it."""
        self._unread = {}
        self._forget()

    def _forget(self) -> None:
        """What is asked has changed: what was read before is not it."""
        if self._quiet:
            return
        self._lines.children = []
        self._stale()

    def _stale(self) -> None:
        self.read = None
        self._said_in.value = self._table.value = ""
        self._show_buttons()

    def _read(self) -> None:
        self._forget()
        given = self.text_in.value if self._file is None else self._file
        if not given:
            raise KitchenError(tr("Paste a recipe above, or choose a file, then press again."))
        settled = {words: field.value for words, field in self._unread.items()}
        options = {
            "name": self.name.value.strip() or None,
            "servings": self._number(),
            "source": self.source.value or None,
        }
        try:
            self.read = read_recipe(self.kit, given, self.form_in.value, settled=settled, **options)
        except DataError as error:
            self._ask(given, settled, options, tuple(map(_on_screen, error.faults)))
            return
        self._show_lines({})
        self._show_read(settled)

    def _number(self) -> float | None:
        words = self.servings.value.strip()
        return read_number(words) if words else None

    def _ask(self, given, settled: dict, options: dict, faults: tuple[Fault, ...]) -> None:
        """A field for each line that words of one's own can settle; the other faults in words."""
        stands_for = {text: words for words, text in settled.items() if text}
        found: dict[str, Fault] = {}
        for fault in faults:
            found.setdefault(stands_for.get(fault.value, fault.value), fault)
        left = self._left(given, settled | dict.fromkeys(found, ""), options)
        room = MOST_FIELDS - len(self._unread)
        new = [words for words in found if words and words not in left | set(self._unread)]
        for words in new[:room]:
            self._unread[words] = self._field(words)
        others = [_in_words(fault) for words, fault in found.items() if words not in self._unread]
        said = [
            trn(
                "{n} to settle before it can be kept; nothing is guessed.",
                "{n} to settle before it can be kept; nothing is guessed.",
                len(faults),
            )
        ]
        if self._unread:
            said.append(
                tr(
                    "Write each line below as the kit reads it, like 1 1/2 cups flour. An empty "
                    "field leaves its line out. Then press Read it."
                )
            )
        _say_all(self._said_in, [*said, *others])
        self._show_lines(found)

    def _left(self, given, settled: dict, options: dict) -> set[str]:
        """What would still be told if these lines were left out: settling is no help there."""
        try:
            read_recipe(self.kit, given, self.form_in.value, settled=settled, **options)
        except DataError as error:
            return {fault.value for fault in error.faults}
        return set()

    def _field(self, words: str) -> widgets.Text:
        field = text("", "")
        field.description = tr(_READ_AS, n=len(self._unread) + 1)
        field.value = _plain(words)
        field.observe(lambda _: self._stale(), names="value")
        return field

    def _show_lines(self, found: dict[str, Fault]) -> None:
        """Every line that was asked about, with what is still wrong with it."""
        self._found = found
        boxes = []
        for number, (words, field) in enumerate(self._unread.items(), 1):
            fault = found.get(words)
            said = f"{number}: {words[:200]!r}"
            if fault:
                said += f", {_place(fault.row)}. {fault.mend}"
            look = "kk-wrong" if fault else "kk-care"
            words_html = f'<p class="{look}"{spoken()}>{page_text(_plain(said))}</p>'
            boxes += [passage(words_html), field]
        self._lines.children = boxes

    def _show_read(self, settled: dict) -> None:
        recipe, self._settled = self.read, settled
        rows = [
            [tr(line.ingredient.name), say_package(line.amount), say_both(line.weight), line.note]
            for line in recipe.lines
        ]
        rows = [[_plain(cell) for cell in row] for row in rows]
        headings = [column_words(name) for name in ("ingredient", "amount", "weight", "note")]
        self._table.value = table_html(headings, rows)
        said = tr(
            "Read: {name}, {servings} servings, {n} ingredients, {weight} in all, from {source}.",
            name=recipe.name,
            servings=num(recipe.servings, "g"),
            n=len(rows),
            weight=say_both(recipe.weight),
            source=recipe.source,
        )
        lines = [f"{said} {allergens_in(recipe)}"]
        if out := [words[:80] for words, text in settled.items() if not text.strip()]:
            lines.append(tr("Left out: {lines}.", lines="; ".join(out)))
        lines.append(
            tr("Nothing is kept yet. Compare it with the text, then press Keep this recipe.")
            if is_own(self.kit.folder)
            else tr(
                "These are the kit's own data, which stay as they are: keep it in a folder of "
                "your own, with lessons opened by the launcher or in a class folder."
            )
        )
        self._said_in.value = "".join(
            f'<p class="kk-say" role="status"{spoken()}>{page_text(_plain(line))}</p>'
            for line in lines
        )

    # Keeping -----------------------------------------------------------------------------------

    def _keep(self) -> None:
        if self.read is None:
            raise EditError(tr("Read a recipe first."))
        edited = EditedRecipe(None, self.kit.folder)
        edited.take(self.read)
        path = edited.save()
        self._kept, self.read = edited, None
        self._reopen(edited.key)
        _say(
            self._said_in,
            tr("Kept in {path}. Close a lesson and open it again to see it there.", path=path),
        )

    def _drop(self) -> None:
        if self._kept is None:
            raise EditError(tr("There is nothing to remove."))
        name = self._kept.name
        self._kept.remove()
        where = versions(self._kept.path)[0].path
        self._kept = None
        self._reopen(self.recipe.value)
        _say(
            self._said_in,
            tr("{file} is removed; it is still kept in {place}.", file=name, place=where),
        )

    def _reopen(self, key: str) -> None:
        self.kit = open_kit(self.kit.folder)
        options = self._recipes()
        keys = [value for _, value in options]
        self.recipe.options = options
        self.recipe.value = key if key in keys else keys[0]

    # Inside ------------------------------------------------------------------------------------

    def _dropdown(self, label: str, options, value) -> widgets.Dropdown:
        return self._labels(dropdown(tr(label), options, value), label)

    def _button(self, words: str, action) -> widgets.Button:
        made = self._labels(button(), words)
        said = "_said_out" if action == self._save else "_said_in"
        made.on_click(lambda _: self._do(action, said))
        return made

    def _do(self, action, said: str) -> None:
        """Carry out what a person asked for; say in words what went wrong."""
        try:
            action()
        except DataError as error:
            _say_all(getattr(self, said), [tr("Not done:"), *map(str, error.faults)])
        except KitchenError as error:
            _say(getattr(self, said), str(error), wrong=True)
        except Exception as error:  # a fault of ours: say so rather than seem frozen
            _say(getattr(self, said), stumbled(error), wrong=True)
        self._show_buttons()

    def _show_buttons(self) -> None:
        self.keep.disabled = self.read is None or not is_own(self.kit.folder)
        show_if(self.drop, self._kept is not None)

    # Without a running kernel ------------------------------------------------------------------

    def __repr__(self) -> str:
        title, count = tr(self.title), len(self.kit.recipes)
        return tr("{title}: {n} of your own to give, any to bring in", title=title, n=count)

    def _repr_mimebundle_(self, **kwargs):
        bundle = super()._repr_mimebundle_(**kwargs)
        use = html.escape(tr("Run the page (the ▶▶ button above) to use it."))
        page = (
            f'{STYLE}<div class="kk-panel">{self._title()}'
            f"<p{spoken()}><em>{use}</em></p>"
            f"<pre>{page_text(self.text_out.value)}</pre>"
            f"{care_html(map(tr, _CARE))}</div>"
        )
        return bundle | {"text/plain": repr(self), "text/html": page}


def _forms() -> list[tuple[str, str]]:
    return [(tr(words), form) for words, form in _FORMS]


def _on_screen(fault: Fault) -> Fault:
    """A fault whose mend names the fields here, not what a line of code would be given."""
    here = {
        "The text does not say it. Give name=.": tr(
            "The text does not say it. Give the name above."
        ),
        "The text does not say it. Give servings=.": tr(
            "The text does not say it. Give the servings above."
        ),
        "The text does not say it. Give source=.": tr(
            "The text does not say it. Give the source above."
        ),
    }
    mend = here.get(fault.mend, fault.mend)
    if mend.endswith("Say which by name=."):
        mend = mend.replace("Say which by name=.", tr("Say which by the name above."))
    if mend.endswith("Or give servings=."):
        mend = mend.replace("Or give servings=.", tr("Or give the servings above."))
    return replace(fault, mend=mend)


def _in_words(fault: Fault) -> str:
    """A fault as it is told here; what readers of files say of it stays in English."""
    value = fault.value if len(fault.value) <= 60 else fault.value[:57] + "..."
    return tr(
        "{file}, {row}, column {column}: found {value}. {mend}",
        file=_place(fault.file),
        row=_place(fault.row),
        column=fault.column,
        value=repr(value),
        mend=fault.mend,
    )


def _place(words: str) -> str:
    """Where a fault is, in the language in use."""
    kind, _, number = words.partition(" ")
    if kind == "row" and number.isdigit():
        return tr("row {n}", n=number)
    if kind == "ingredient" and number.isdigit():
        return tr("ingredient {n}", n=number)
    known = {
        "the text": tr("the text"),
        "the top": tr("the top"),
        "the end": tr("the end"),
        "the rest": tr("the rest"),
    }
    return known.get(words, words)


def _area() -> widgets.Textarea:
    return labelled(widgets.Textarea, "", rows=10, continuous_update=False)


def _heading(words: str) -> str:
    return f"<p{spoken()}><strong>{html.escape(words)}</strong></p>"


def _plain(words: str) -> str:
    """Words that a page can carry: half a letter, which no text may hold, becomes a mark."""
    return words.encode("utf-8", "replace").decode("utf-8")


def _say(place: widgets.HTML, words: str, wrong: bool = False) -> None:
    look, role = ("kk-wrong", "alert") if wrong else ("kk-say", "status")
    place.value = f'<p class="{look}" role="{role}"{spoken()}>{page_text(_plain(words))}</p>'


def _say_all(place: widgets.HTML, lines: list[str]) -> None:
    items = "".join(f"<li>{page_text(_plain(line))}</li>" for line in lines[1:])
    first = page_text(_plain(lines[0]))
    place.value = f'<div class="kk-wrong" role="alert"{spoken()}>{first}<ul>{items}</ul></div>'
