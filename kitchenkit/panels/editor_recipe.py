"""A form over the recipes: the words at the top, the ingredients one by one, save."""

from __future__ import annotations

from pathlib import Path

import ipywidgets as widgets

from kitchenkit import saving
from kitchenkit.editing import (
    EditedRecipe,
    EditError,
    column_texts,
    is_own,
    recipe_keys,
    removed_recipes,
)
from kitchenkit.errors import DataError
from kitchenkit.language import mark, tr, trc
from kitchenkit.panels.base import page_text, spoken, table_html
from kitchenkit.panels.editor import Editor, Fields
from kitchenkit.panels.editor_words import column_words
from kitchenkit.panels.pieces import abreast, passage

_NEW = ""
_NEW_LINE = -1


class RecipeEditor(Editor):
    """A form over the recipes: pick one or a new one, type, save.

    Parameters
    ----------
    folder : str or Path, optional
        The data folder; else the one that `open_kit` opens.
    """

    title = mark("Your recipes")

    def __init__(self, folder=None):
        self._busy = False
        self._key = _NEW
        super().__init__(folder)

    @property
    def path(self) -> Path:
        return Path(self.folder) / f"recipes/{self._key or 'new'}.toml"

    def body(self) -> list[widgets.Widget]:
        self.pick = self._dropdown(mark("Recipe"), tr("a new recipe"), _NEW)
        self.pick.observe(self._picked, names="value")
        known = {"source": column_texts("sources", "key", self.folder)}
        self.fields = Fields("recipe", EditedRecipe.columns, self._complaint, known)
        self.change = self._button(mark("Take these over"), self._change)
        self._lines = passage()
        self.line = self._dropdown(mark("Ingredient to change"), tr("a new one"), _NEW_LINE)
        self.line.observe(self._line_picked, names="value")
        names = {"ingredient": column_texts("ingredients", "name", self.folder)}
        self.line_fields = Fields(
            "recipe",
            EditedRecipe.line_columns,
            lambda *what: self._complaint(*what, line=True),
            names,
        )
        self.add_line = self._button(mark("Add as a new ingredient"), self._add_line)
        self.change_line = self._button(mark("Change this ingredient"), self._change_line)
        self.remove_line = self._button(mark("Remove this ingredient"), self._remove_line)
        lines = abreast([self.add_line, self.change_line, self.remove_line])
        return [
            *(self.pick, self.fields.box, abreast([self.change]), self._lines, self.line),
            *(self.line_fields.box, lines),
        ]

    def last(self) -> list[widgets.Widget]:
        self.remove = self._button(mark("Remove this recipe"), self._remove)
        self._gone = self._dropdown(mark("Removed recipes"), trc("removed recipes", "none"), "")
        self.restore = self._button(mark("Bring this recipe back"), self._restore)
        return [abreast([self.remove]), abreast([self._gone, self.restore])]

    def open_file(self) -> None:
        self.edited = None
        self.edited = EditedRecipe(self._key or None, self.folder)
        self._fill()

    def _complaint(self, name: str, words: str, _, line: bool = False) -> str:
        return self.edited.complaint(name, words, line) if self.edited is not None else ""

    # What a person does ------------------------------------------------------------------------

    def groups(self) -> list[Fields]:
        return [self.fields, self.line_fields]

    def _picked(self, change) -> None:
        if not self._busy:
            self._soon(lambda: self._turn_to(change["new"]), always=True)

    def _turn_to(self, key: str) -> None:
        if self._waiting():
            first = tr("Save or undo it before you choose another recipe.")
            raise EditError(f"{self._waiting()} {first}")
        self._key = key
        self.open_file()

    def _waiting(self) -> str:
        """What would be lost if another recipe were shown."""
        if self.edited is None:
            return ""
        if self.edited.unsaved:
            return tr("This recipe has changes that are not saved.")
        typed = self.fields.texts() != self.edited.texts or any(self._typed_line().values())
        return tr("Something is typed that is not taken over.") if typed and self._key else ""

    def _typed_line(self) -> dict[str, str]:
        """What stands in an ingredient's fields, where it differs from the recipe's."""
        texts, held = self.line_fields.texts(), self._line_texts()
        return {} if texts == held else texts

    def _line_texts(self) -> dict[str, str]:
        empty = {column.name: "" for column in EditedRecipe.line_columns}
        lines = self.edited.lines
        return lines[self.line.value] if 0 <= self.line.value < len(lines) else empty

    def _line_picked(self, _) -> None:
        if not self._busy:
            self._soon(lambda: self.line_fields.show(self._line_texts()))

    def _fill(self) -> None:
        self.fields.show(self.edited.texts)
        self._choose_line(_NEW_LINE)
        self.line_fields.show({})

    def _change(self) -> None:
        self.edited.change(self.fields.texts())
        self.fields.show(self.edited.texts)
        self.say_taken(tr("The words at the top are taken over."))

    def _add_line(self) -> None:
        self.edited.add_line(self.line_fields.texts())
        self._after_line(tr("The ingredient is added."))

    def _change_line(self) -> None:
        self.edited.change_line(self._chosen(), self.line_fields.texts())
        self._after_line(tr("The ingredient is changed."))

    def _remove_line(self) -> None:
        self.edited.remove_line(self._chosen())
        self._after_line(tr("The ingredient is removed."))

    def _chosen(self) -> int:
        if self.line.value == _NEW_LINE:
            raise EditError(tr("Choose an ingredient of the recipe first."))
        return self.line.value

    def _after_line(self, words: str) -> None:
        self._choose_line(_NEW_LINE)
        self.line_fields.show({})
        self.say_taken(words)

    def move(self, step) -> None:
        head = self.fields.texts() == self.edited.texts
        line = not any(self._typed_line().values())
        step()
        if head:
            self.fields.show(self.edited.texts)
        if line:
            self._choose_line(_NEW_LINE)
            self.line_fields.show({})

    def _save(self) -> None:
        super()._save()
        self._key = self.edited.key

    def _remove(self) -> None:
        if not self._key:
            raise EditError(tr("Choose a recipe first, in the list at the top."))
        self.edited.remove()
        removed, self._key = self._key, _NEW
        self.open_file()
        self._say(
            tr(
                "{recipe} is removed. It can come back from the list of removed recipes.",
                recipe=removed,
            )
        )

    def _restore(self) -> None:
        path = Path(self.folder) / f"recipes/{self._gone.value}.toml"
        if not self._gone.value or self._gone.value not in removed_recipes(self.folder):
            raise EditError(tr("There is no removed recipe to bring back."))
        if not is_own(self.folder):
            raise EditError(tr("These are the kit's own data, which stay as they are."))
        saving.bring_back(path, saving.versions(path)[0])
        self._say(
            tr("{recipe} is back; choose it in the list at the top.", recipe=self._gone.value)
        )

    def _both(self) -> None:
        self.edited.catch_up()
        self._fill()
        self._say(
            tr(
                "The recipe as it is in the file now is shown. Undo gives your own version back; "
                "Save then puts it over the other, which stays among the earlier versions."
            )
        )

    def show_faults(self, error: DataError) -> None:
        others = []
        for fault in error.faults:
            fields = self.fields if fault.column in self.fields.controls else self.line_fields
            if fault.row == "this recipe" and fault.column in fields.controls:
                fields = self._which(fault, fields)
                fields.tell(fault.column, fault.mend)
            else:
                others.append(str(fault))
        if others:
            self.complain_all([tr("Not saved."), *others])
        else:
            self._complain(tr("Mend the fields marked below their boxes, then press again."))

    def _which(self, fault, fields: Fields) -> Fields:
        """The fields in which the faulty text stands: a note is at the top and in a line."""
        control = self.line_fields.controls.get(fault.column)
        return self.line_fields if control and control.value == fault.value else fields

    # Showing -----------------------------------------------------------------------------------

    def refresh(self) -> None:
        self._choose(self._key)
        at = self.line.value if self.line.value < len(self.edited.lines) else _NEW_LINE
        self._choose_line(at)
        none = tr("No ingredients yet: fill the three fields and press Add.")
        self._lines.value = (
            table_html(*self._line_table())
            if self.edited.lines
            else f"<p{spoken()}>{page_text(none)}</p>"
        )
        self.change_line.disabled = self.remove_line.disabled = self.line.value == _NEW_LINE
        own = is_own(self.folder)
        self.remove.disabled = not (own and self._key)
        gone = removed_recipes(self.folder) if own else []
        self._gone.options = gone or [(trc("removed recipes", "none"), "")]
        self.restore.disabled = not gone

    def _choose(self, key: str) -> None:
        self._busy = True
        keys = recipe_keys(self.folder)
        self.pick.options = [(tr("a new recipe"), _NEW), *((name, name) for name in keys)]
        self.pick.value = key if key in keys else _NEW
        self._busy = False

    def _choose_line(self, at: int) -> None:
        self._busy = True
        lines = self.edited.lines
        options = [(f"{n}: {x['amount']} {x['ingredient']}", n - 1) for n, x in enumerate(lines, 1)]
        self.line.options = [(tr("a new one"), _NEW_LINE), *options]
        self.line.value = at
        self._busy = False

    def _line_table(self) -> tuple[list[str], list[list[str]]]:
        names = [column.name for column in EditedRecipe.line_columns]
        rows = [[line[name] for name in names] for line in self.edited.lines]
        return [column_words(name) for name in names], rows

    def still(self) -> tuple[list[str], list[list[str]]]:
        return [tr("recipe")], [[key] for key in recipe_keys(self.folder)]

    def __repr__(self) -> str:
        count = len(recipe_keys(self.folder))
        return tr("{title}: a form over {n} of them", title=tr(self.title), n=count)
