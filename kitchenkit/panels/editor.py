"""Forms over one's own tables: pick a row, type, be told at once, save."""

from __future__ import annotations

import asyncio
import html
import time
from pathlib import Path

import ipywidgets as widgets

from kitchenkit import language, saving
from kitchenkit.editing import EditedTable, EditError, column_texts, is_own
from kitchenkit.errors import DataError, KitchenError
from kitchenkit.language import day, mark, tr, trn
from kitchenkit.panels.base import STYLE, page_text, spoken, stumbled, table_html
from kitchenkit.panels.controls import dropdown, labelled
from kitchenkit.panels.editor_words import TITLES, column_words, field_words
from kitchenkit.panels.pieces import (
    Frame,
    abreast,
    boxed,
    button,
    messages,
    passage,
    show_if,
    stacked,
)
from kitchenkit.panels.relabel import Labels
from kitchenkit.places import data_folder
from kitchenkit.saving import ChangedError

_NEW = -1
_SETTLED = 0.25  # seconds
_SHOWN_ROWS = 6
CARE = mark(
    "What the tables say of allergens and of keeping is a help, not a promise: read every label, "
    "and follow your local food rules."
)
_SHIPPED = mark(
    "These are the kit's own data, to try the form on; they stay as they are. In lessons opened "
    "by the launcher, or in a class folder, what you save is yours."
)
_FIELD_STYLE = """<style>
.kk-fields{display:flex;flex-flow:row wrap;gap:4px 16px}
.kk-fields>.kk-field{flex:1 1 260px;min-width:0}
.kk-field .kk-wrong{font-size:14px;margin:0 0 4px}
</style>"""


class Fields:
    """A labelled field for each column, with a message under it as something is typed.

    Parameters
    ----------
    table : str
        For the labels.
    columns : list of Column
    complaint : callable
        (column, text, all texts) -> what is wrong, or nothing.
    known : dict of str to list of str
        Texts to choose from, for columns that name things of other tables.
    """

    def __init__(self, table: str, columns, complaint, known=None):
        self._table, self._complaint = table, complaint
        self.controls: dict[str, widgets.ValueWidget] = {}
        self.messages: dict[str, widgets.HTML] = {}
        self._options = {c.name: list(c.options) for c in columns if c.options}
        self._quiet = False
        self.last_typed = 0.0
        boxes = []
        for column in columns:
            control = self._control(column, field_words(table, column.name), known or {})
            control.observe(lambda _, name=column.name: self._typed(name), names="value")
            message = messages()
            self.controls[column.name], self.messages[column.name] = control, message
            boxes.append(stacked([control, message], "kk-field"))
        self.box = boxed(widgets.Box, boxes, "kk-fields")

    def _control(self, column, label: str, known: dict) -> widgets.ValueWidget:
        if column.options:
            return dropdown(label, self._choices(column.name, ""), "")
        if names := known.get(column.name):
            more = {"options": tuple(names), "ensure_option": False}
            return labelled(widgets.Combobox, label, continuous_update=True, **more)
        return labelled(widgets.Text, label, continuous_update=True)

    def texts(self) -> dict[str, str]:
        """What stands in the fields."""
        return {name: control.value for name, control in self.controls.items()}

    def show(self, texts: dict[str, str]) -> None:
        """Fill the fields, without a message under any."""
        self._quiet = True
        for name, control in self.controls.items():
            words = texts.get(name, "")
            if name in self._options:  # a cell with a fault must be seen too
                control.options = self._choices(name, words)
            control.value = words
            self.messages[name].value = ""
        self._quiet = False

    def _choices(self, name: str, words: str) -> list[tuple[str, str]]:
        """What may be chosen, in the language in use, and the word that the file keeps."""
        known = [(tr(word), word) for word in self._options[name]]
        more = [] if words in ("", *self._options[name]) else [(words, words)]
        return [("", ""), *known, *more]

    def retell(self) -> None:
        """Labels, choices and complaints in another language; what stands in the fields stays."""
        self._quiet = True
        texts = self.texts()
        for name, control in self.controls.items():
            control.description = control.tooltip = field_words(self._table, name)
            if name in self._options:
                control.options = self._choices(name, texts[name])
                control.value = texts[name]
            if self.messages[name].value:
                self.tell(name, self._complaint(name, texts[name], texts))
        self._quiet = False

    def _typed(self, name: str) -> None:
        if not self._quiet:
            self.last_typed = time.monotonic()
            texts = self.texts()
            self.tell(name, self._complaint(name, texts[name], texts))

    def tell(self, name: str, complaint: str) -> None:
        """Put a message under a field, or take it away."""
        words = f'<p class="kk-wrong" role="alert"{spoken()}>{page_text(complaint)}</p>'
        self.messages[name].value = words if complaint else ""


class Editor(Frame):
    """What every editor has: messages, undo and redo, saving, earlier versions.

    A subclass makes its `edited` and its own `body`, and shows itself anew in `refresh`. In
    another language it is labelled anew, and what is typed stays; what was last said stays, too.
    """

    title = ""

    def __init__(self, folder=None):
        self.folder = folder if folder is not None else data_folder()
        self._status = messages()
        self._said = messages()
        self._labels = Labels()
        self._buttons = {
            "Undo": self._button(mark("Undo"), lambda: self.move(self.edited.undo)),
            "Redo": self._button(mark("Redo"), lambda: self.move(self.edited.redo)),
            "Save": self._button(mark("Save"), self._save),
        }
        self._catch_up = self._button(mark("Bring both together"), self._both)
        self._version = self._dropdown(mark("Earlier versions of the file"), tr("none yet"), "")
        self._back = self._button(mark("Bring back"), self._bring_back, always=True)
        body = self.body()
        steps = abreast([*self._buttons.values(), self._catch_up])
        earlier = abreast([self._version, self._back])
        self._head, self._care = passage(), passage()
        self._head_and_care()
        super().__init__(
            [
                *(self._head, self._status, *body, self._said, steps, earlier),
                *(*self.last(), self._care),
            ]
        )
        self._open()
        language.listen(self)

    def _head_and_care(self) -> None:
        self._head.value = f"{STYLE}{_FIELD_STYLE}{self._title()}"
        self._care.value = f'<p class="kk-care"{spoken()}>{html.escape(tr(CARE))}</p>'

    def _title(self) -> str:
        return f'<p class="kk-title"{spoken()}>{html.escape(tr(self.title))}</p>'

    def retell(self) -> None:
        """Label everything anew, in another language; what is typed stays."""
        self._labels.retell()
        self._head_and_care()
        for group in self.groups():
            group.retell()
        self._show()

    # For subclasses ----------------------------------------------------------------------------

    def body(self) -> list[widgets.Widget]:
        """The widgets between the status and the buttons that every editor has."""
        raise NotImplementedError

    def last(self) -> list[widgets.Widget]:
        """The widgets below everything else."""
        return []

    def open_file(self) -> None:
        """Make `edited` from the file.

        Raises
        ------
        EditError
            If it cannot be edited.
        """
        raise NotImplementedError

    def refresh(self) -> None:
        """Show what is edited as it stands."""
        raise NotImplementedError

    def move(self, step) -> None:
        """Undo or redo; what is typed and not taken over yet stays in its fields."""
        raise NotImplementedError

    def show_faults(self, error: DataError) -> None:
        """Tell faults that concern the fields shown."""
        raise NotImplementedError

    @property
    def path(self) -> Path:
        """The file that is edited, or would be."""
        raise NotImplementedError

    # Inside ------------------------------------------------------------------------------------

    def _dropdown(self, label: str, first: str, value) -> widgets.Dropdown:
        """One of several, of which only the first is there yet."""
        return self._labels(dropdown(tr(label), [(first, value)], value), label)

    def _button(self, words: str, action, always: bool = False) -> widgets.Button:
        made = self._labels(button(), words)
        made.on_click(lambda _: self._soon(action, always))
        return made

    def groups(self) -> list[Fields]:
        """The fields in which something may be typed."""
        raise NotImplementedError

    def _soon(self, action, always: bool = False) -> None:
        """Carry out what was asked for when the typing before it has come.

        A browser sends a press at once, and may hold back letters while earlier ones are on their
        way. Without a running kernel nothing is on its way.
        """
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:
            self._do(action, always)
            return

        def when_settled():
            if time.monotonic() - max((g.last_typed for g in self.groups()), default=0) < _SETTLED:
                loop.call_later(_SETTLED, when_settled)
            else:
                self._do(action, always)

        loop.call_later(_SETTLED, when_settled)

    def _open(self) -> None:
        self.edited = None
        self._do(self.open_file, always=True)

    def _do(self, action, always: bool = False) -> None:
        """Carry out what a person asked for; say in words what went wrong.

        Only what is to be done `always` makes sense while the file cannot be edited.
        """
        told = self._said.value if self.edited is None else ""
        self._said.value = ""
        show_if(self._catch_up, False)
        try:
            if self.edited is None and not always:
                self._said.value = told  # why it cannot be edited
            else:
                action()
        except ChangedError as error:
            show_if(self._catch_up, True)
            or_else = tr("Or press Bring both together, to put them onto what it holds now.")
            self._complain(f"{error} {or_else}")
        except DataError as error:
            self.show_faults(error)
        except KitchenError as error:
            self._complain(str(error))
        except Exception as error:  # a fault of ours: say so rather than seem frozen
            self._complain(stumbled(error))
        self._show()

    def _show(self) -> None:
        ready = self.edited is not None
        if ready:
            self.refresh()
        self._buttons["Undo"].disabled = not (ready and self.edited.can_undo)
        self._buttons["Redo"].disabled = not (ready and self.edited.can_redo)
        own = is_own(self.folder)
        unsaved = self.edited.unsaved if ready else 0
        self._buttons["Save"].disabled = not (own and unsaved)
        self._status.value = (
            f'<p class="kk-care" role="status"{spoken()}>{page_text(self.status)}</p>'
        )
        self._show_versions(own)

    @property
    def status(self) -> str:
        """How many changes are not saved, and where they go."""
        if self.edited is None:
            return tr("The file cannot be shown.")
        count = self.edited.unsaved
        if not is_own(self.folder):
            made = trn(
                "{n} change is made here, to try.", "{n} changes are made here, to try.", count
            )
            return f"{made} {tr(_SHIPPED)}" if count else tr(_SHIPPED)
        waiting = trn("{n} change is not saved yet.", "{n} changes are not saved yet.", count)
        said = waiting if count else tr("Everything is saved.")
        where = tr("Your data: {folder}", folder=self.folder)
        return f"{said} {where}"

    def _show_versions(self, own: bool) -> None:
        found = saving.versions(self.path) if own else []
        options = [(_until(version), version.name) for version in found]
        old = self._version.value
        self._version.options = options or [(tr("none yet"), "")]
        names = [value for _, value in self._version.options]
        self._version.value = old if old in names else names[0]
        self._back.disabled = not options

    def _save(self) -> None:
        path = self.edited.save()
        self._say(
            tr("Saved in {path}. Close a lesson and open it again to see it there.", path=path)
        )

    def _bring_back(self) -> None:
        if self.edited is not None:
            self.edited.bring_back(self._version.value)
        else:  # the file as it is cannot be read
            saving.bring_back(self.path, self._version.value)
        self.open_file()
        self._say(
            tr("The earlier version is back; what was there before is now an earlier version.")
        )

    def _both(self) -> None:
        raise NotImplementedError

    def _say(self, words: str) -> None:
        self._said.value = f'<p class="kk-say" role="status"{spoken()}>{page_text(words)}</p>'

    def _complain(self, words: str) -> None:
        self._said.value = f'<p class="kk-wrong" role="alert"{spoken()}>{page_text(words)}</p>'

    def complain_all(self, lines: list[str]) -> None:
        """Several things at once, a line each."""
        items = "".join(f"<li>{page_text(line)}</li>" for line in lines)
        heading = html.escape(tr("To mend:"))
        self._said.value = (
            f'<div class="kk-wrong" role="alert"{spoken()}>{heading}<ul>{items}</ul></div>'
        )

    def say_taken(self, words: str) -> None:
        """An edit is taken over: what to do next, or what to mend first."""
        faults = self.edited.new_faults()
        if faults:
            before = tr("Before it can be saved:")
            self.complain_all([f"{words} {before}", *map(str, faults)])
        elif is_own(self.folder):
            press = tr("Press Save to keep it.")
            self._say(f"{words} {press}")
        else:
            self._say(words)

    # Without a running kernel ------------------------------------------------------------------

    def still(self) -> tuple[list[str], list[list[str]]]:
        """Headings and rows of the table that the page shows before anything has run."""
        raise NotImplementedError

    def __repr__(self) -> str:
        title = tr(self.title)
        if self.edited is None:
            return tr("{title}: a form over a file", title=title)
        return tr("{title}: a form over {file}", title=title, file=self.edited.name)

    def _repr_mimebundle_(self, **kwargs):
        bundle = super()._repr_mimebundle_(**kwargs)
        table = table_html(*self.still()) if self.edited is not None else ""
        use = tr("Run the page (the ▶▶ button above) to use the form.")
        page = (
            f'{STYLE}<div class="kk-panel">{self._title()}'
            f"<p{spoken()}><em>{html.escape(use)}</em></p>{table}"
            f'<p class="kk-care"{spoken()}>{page_text(self.status)}</p></div>'
        )
        return bundle | {"text/plain": repr(self), "text/html": page}


def _until(version: saving.Version) -> str:
    when, time_ = day(version.until.date()), f"{version.until:%H:%M:%S}"
    return tr("until {day} {time}, {file}", day=when, time=time_, file=version.name)


class TableEditor(Editor):
    """A form over one of the tables: pick a row or a new one, type, save.

    Parameters
    ----------
    name : str
        Such as ``"pans"``, ``"prices"`` or ``"bake-log"``.
    folder : str or Path, optional
        The data folder; else the one that `open_kit` opens.

    Raises
    ------
    EditError
        If there is no such table.
    """

    def __init__(self, name: str, folder=None):
        if name not in TITLES:
            raise EditError(f"There is no table {name!r}. There are: {', '.join(TITLES)}.")
        self.name, self.title = name, TITLES[name]
        self._drafts: dict[int, dict[str, str]] = {}
        self._busy = False
        super().__init__(folder)

    @property
    def path(self) -> Path:
        return Path(self.folder) / f"{self.name}.csv"

    def body(self) -> list[widgets.Widget]:
        find = labelled(widgets.Text, "", continuous_update=True)
        self.find = self._labels(find, mark("Find rows with"))
        self.pick = self._dropdown(mark("Row"), tr("a new row"), _NEW)
        self._place = stacked([])
        self.add = self._button(mark("Add as a new row"), self._add)
        self.change = self._button(mark("Change this row"), self._change)
        self.remove = self._button(mark("Remove this row"), self._remove)
        self.find.observe(lambda _: self._do(self._say_found), names="value")
        self.pick.observe(self._picked, names="value")
        rows = abreast([self.add, self.change, self.remove])
        return [self.find, self.pick, self._place, rows]

    def open_file(self) -> None:
        self.edited = EditedTable(self.name, self.folder)
        known = {"source": "sources", "composition_source": "sources", "pan": "pans"}
        known["ingredient"] = "ingredients"
        names = {
            column: column_texts(table, "key", self.folder)
            for column, table in known.items()
            if column in {c.name for c in self.edited.columns}
        }
        self.fields = Fields(self.name, self.edited.columns, self._complaint, names)
        self._place.children = [self.fields.box]
        self._fill(_NEW)

    def groups(self) -> list[Fields]:
        return [self.fields] if self.edited is not None else []

    def _complaint(self, name: str, words: str, texts: dict[str, str]) -> str:
        return self.edited.complaint(name, words, texts.get("currency", ""))

    # What a person does ------------------------------------------------------------------------

    def _picked(self, change) -> None:
        if self._busy or self.edited is None:
            return
        self._soon(lambda: self._turn_to(change["old"], change["new"]))

    def _turn_to(self, old: int, new: int) -> None:
        self._keep_draft(old)
        self._fill(new)

    def _keep_draft(self, id_: int) -> None:
        """What is typed for a row and not taken over yet is there again when it is picked."""
        if self.fields.texts() != self._texts(id_):
            self._drafts[id_] = self.fields.texts()
        else:
            self._drafts.pop(id_, None)

    def _texts(self, id_: int) -> dict[str, str]:
        empty = {column.name: "" for column in self.edited.columns}
        found = {row.id: row.texts for row in self.edited.rows}
        return found.get(id_, empty)

    def _fill(self, id_: int) -> None:
        draft = self._drafts.pop(id_, None)
        self.fields.show(draft or self._texts(id_))
        if draft:
            self._say(
                tr("What you had typed for this row is here again; it is not taken over yet.")
            )

    def _add(self) -> None:
        id_ = self.edited.add(self.fields.texts())
        self._taken(id_, tr("The row is added."))

    def _change(self) -> None:
        self.edited.change(self._chosen(), self.fields.texts())
        self._taken(self.pick.value, tr("The row is changed."))

    def _remove(self) -> None:
        self.edited.remove(self._chosen())
        self._drafts.pop(self.pick.value, None)
        self._taken(_NEW, tr("The row is removed."))

    def _chosen(self) -> int:
        if self.pick.value == _NEW:
            raise EditError(tr("Choose a row first, in the list above the fields."))
        return self.pick.value

    def _taken(self, id_: int, words: str) -> None:
        self._choose(id_)
        self.fields.show(self._texts(id_))
        self.say_taken(words)

    def _say_found(self) -> None:
        self._choose(self.pick.value)
        if self.find.value.strip():
            self._say(tr("Rows found: {n}.", n=len(self.pick.options) - 1))

    def move(self, step) -> None:
        untouched = self.fields.texts() == self._texts(self.pick.value)
        step()
        if untouched:
            self.fields.show(self._texts(self.pick.value))

    def _both(self) -> None:
        merged = self.edited.catch_up()
        self._choose(_NEW)
        self.fields.show({})
        if merged.conflicts:
            lines = [
                tr(
                    "{row}, {column}: the file says {its} and keeps it; you had {yours}.",
                    row=c.row,
                    column=c.column,
                    its=repr(c.mine),
                    yours=repr(c.theirs),
                )
                for c in merged.conflicts
            ]
            self.complain_all([tr("Your other changes are on top of the file. But:"), *lines])
        else:
            self._say(tr("Your changes are now on top of what the file holds. Press Save."))

    def show_faults(self, error: DataError) -> None:
        others = []
        for fault in error.faults:
            if fault.row == "this row":
                self.fields.tell(fault.column, fault.mend)
            else:
                others.append(str(fault))
        if others:
            self.complain_all([tr("Not saved."), *others])
        else:
            self._complain(tr("Mend the fields marked below their boxes, then press again."))

    # Showing -----------------------------------------------------------------------------------

    def refresh(self) -> None:
        rows = self.edited.rows
        if self.pick.value != _NEW and self.pick.value not in {row.id for row in rows}:
            self._choose(_NEW)  # undone: the row is not there any more
            self.fields.show({})
        self._choose(self.pick.value)
        self.change.disabled = self.remove.disabled = self.pick.value == _NEW

    def _choose(self, id_: int) -> None:
        wanted = self.find.value.casefold().split()
        rows = [
            (f"{row.number}: {row.label}", row.id)
            for row in self.edited.rows
            if row.id == id_ or all(w in " ".join(row.texts.values()).casefold() for w in wanted)
        ]
        self._busy = True
        self.pick.options = [(tr("a new row"), _NEW), *rows]
        self.pick.value = id_
        self._busy = False

    @property
    def status(self) -> str:
        said = super().status
        if self.edited is None:
            return said
        if not self.edited.rows:
            empty = tr("There are no rows yet: fill the fields and press Add.")
            said = f"{empty} {said}"
        if self.edited.own_columns:
            own = ", ".join(self.edited.own_columns)
            stay = tr("Columns of your own stay as they are: {columns}.", columns=own)
            said += f" {stay}"
        waiting = [row.number for row in self.edited.rows if row.id in self._drafts]
        if waiting:
            numbers = ", ".join(map(str, waiting))
            typed = tr("Typed and not taken over yet: row {numbers}.", numbers=numbers)
            said += f" {typed}"
        return said

    def still(self) -> tuple[list[str], list[list[str]]]:
        shown = self.edited.columns[:5]
        rows = [
            [_cell(column, row.texts[column.name]) for column in shown]
            for row in self.edited.rows[:_SHOWN_ROWS]
        ]
        return [column_words(column.name) for column in shown], rows


def _cell(column, words: str) -> str:
    """A cell to look at: one of a few words is said in the language in use."""
    return tr(words) if words in column.options else words


class TableChooser(widgets.VBox):
    """The forms of several tables, one shown at a time; what is typed in the others stays.

    Parameters
    ----------
    *names : str
        As `TableEditor` takes them; all tables when left out.
    folder : str or Path, optional
        The data folder; else the one that `open_kit` opens.

    Raises
    ------
    EditError
        If there is no such table.
    """

    def __init__(self, *names: str, folder=None):
        self._folder = folder
        self.editors: dict[str, TableEditor] = {}
        self._names = names or tuple(TITLES)
        self._place = stacked([])
        self._show(self._names[0])
        self._labels, self._busy = Labels(), False
        pick = dropdown(tr("Table"), self._options(), self._names[0])
        self.pick = self._labels(pick, mark("Table"))
        self.pick.observe(self._picked, names="value")
        super().__init__([Frame([self.pick]), self._place])
        language.listen(self)

    def _options(self) -> list[tuple[str, str]]:
        return [(tr(TITLES[name]), name) for name in self._names]

    def retell(self) -> None:
        """Name the tables anew, in another language; each form does so itself."""
        self._labels.retell()
        shown, self._busy = self.pick.value, True
        self.pick.options = self._options()
        self.pick.value, self._busy = shown, False

    def _picked(self, change) -> None:
        if not self._busy:
            self._show(change["new"])

    def _show(self, name: str) -> None:
        if name not in self.editors:
            self.editors[name] = TableEditor(name, self._folder)
        self.shown = self.editors[name]
        self._place.children = [self.shown]

    def __repr__(self) -> str:
        return repr(self.shown)

    def _repr_mimebundle_(self, **kwargs):
        still = self.shown._repr_mimebundle_(**kwargs)
        bundle = super()._repr_mimebundle_(**kwargs)
        return bundle | {name: still[name] for name in ("text/plain", "text/html")}
