"""Sheets saved to print: into one folder only, under a safe name, and never over another file."""

from __future__ import annotations

import io
import os

import pytest
from pypdf import PdfReader
from test_printing import HOSTILE

import kitchenkit as kk
from kitchenkit import printouts
from kitchenkit.labels import Label, freezer_labels
from kitchenkit.naming import file_name
from kitchenkit.printouts import save_printout

TRICKS = [
    *("../../escape", "..\\..\\escape", "/etc/passwd", "C:\\x", "a/b", "con", "NUL.pdf", ".hidden"),
    *("a\x00b", "~", "$HOME", "name.", " ", "-rf", "a:b", "x" * 500, "|rm", "%2e%2e%2f"),
]


@pytest.fixture
def sheet():
    return freezer_labels([Label("cake", "2026-11-25")])


def files(folder) -> set[str]:
    """Every file in it, those that only the saving itself needs left out."""
    return {
        path.relative_to(folder).as_posix()
        for path in folder.rglob("*")
        if path.is_file() and not path.name.startswith(".")
    }


@pytest.mark.parametrize("name", [*TRICKS, *HOSTILE.values()])
def test_no_name_leads_out_of_the_folder(tmp_path, sheet, name):
    home = tmp_path / "home"
    saved = save_printout(sheet, name, "html", home)
    assert saved.parent == home / "to-print"
    assert files(tmp_path) == {f"home/to-print/{saved.name}"}
    assert saved.name.isascii()
    assert len(saved.name) < 80


def test_a_second_file_gets_a_number_and_the_first_stays(tmp_path, sheet):
    first = save_printout(sheet, "labels", "html", tmp_path)
    first.write_text("my own notes", encoding="utf-8")
    second = save_printout(sheet, "labels", "html", tmp_path)
    third = save_printout(sheet, "labels", "pdf", tmp_path)
    assert [path.name for path in (first, second, third)] == [
        "labels.html",
        "labels-2.html",
        "labels.pdf",
    ]
    assert first.read_text(encoding="utf-8") == "my own notes"
    assert second.read_text(encoding="utf-8").startswith("<!DOCTYPE html>")
    assert len(PdfReader(io.BytesIO(third.read_bytes())).pages) == 1


def test_a_file_that_appears_at_the_last_moment_stays(tmp_path, sheet, monkeypatch):
    theirs = tmp_path / "to-print" / "labels.html"

    def name_while_another_saves(*arguments):
        theirs.parent.mkdir(exist_ok=True)
        theirs.write_text("theirs", encoding="utf-8")
        return file_name(*arguments)

    monkeypatch.setattr(printouts, "file_name", name_while_another_saves)
    saved = save_printout(sheet, "labels", "html", tmp_path)
    assert saved.name == "labels-2.html"
    assert theirs.read_text(encoding="utf-8") == "theirs"


def test_without_a_folder_of_ones_own_nothing_is_saved(sheet, monkeypatch):
    monkeypatch.delenv("KITCHENKIT_DATA", raising=False)
    with pytest.raises(kk.KitchenError, match="no folder of your own"):
        save_printout(sheet, "labels")


def test_it_is_saved_beside_the_learners_data(tmp_path, sheet, monkeypatch):
    monkeypatch.setenv("KITCHENKIT_DATA", str(tmp_path / "data"))
    assert save_printout(sheet, "labels") == tmp_path / "to-print" / "labels.pdf"


def test_a_link_is_not_followed(tmp_path, sheet):
    elsewhere, home = tmp_path / "elsewhere", tmp_path / "home"
    elsewhere.mkdir()
    home.mkdir()
    try:
        os.symlink(elsewhere, home / "to-print", target_is_directory=True)
    except OSError:
        pytest.skip("This system makes no links.")
    with pytest.raises(kk.KitchenError, match="is a link"):
        save_printout(sheet, "labels", "html", home)
    assert files(elsewhere) == set()


@pytest.mark.parametrize("kind", ["", "exe", "PDF", "html/../x"])
def test_other_kinds_are_refused(tmp_path, sheet, kind):
    with pytest.raises(kk.KitchenError, match="no kind of file"):
        save_printout(sheet, "labels", kind, tmp_path)
    assert files(tmp_path) == set()


class TestLabelsPanel:
    @pytest.fixture
    def panel(self, kit, tmp_path):
        return kk.LabelsPanel(kit, today="2026-11-25", folder=tmp_path)

    def test_the_date_is_the_keeping_tables(self, kit, panel):
        kept = kk.keep_by(kit, panel.controls["product"].value, "freezer", "2026-11-25")
        assert f"best by {kept.by}" in panel.sentence
        assert f"Best by {kept.by}" in [line.get_text() for line in panel.chart.lines]

    def test_a_flavour_that_keeps_less_takes_the_earlier_date(self, kit, panel):
        panel.controls["product"].value = "muffins"
        panel.controls["place"].value = "fridge"
        short = next(key for key, x in kit.flavours.items() if x.keeping == "cream-cheese-topped")
        panel.controls["what"].value = f"+{short}"
        kept = kk.keep_by(kit, "cream cheese topped", "fridge", "2026-11-25")
        assert f"best by {kept.by}" in panel.sentence
        assert kept.by < kk.keep_by(kit, "muffins", "fridge", "2026-11-25").by

    def test_what_keeps_two_hours_gets_no_date(self, panel):
        panel.controls["product"].value = "cream-cheese-topped"
        panel.controls["place"].value = "counter"
        assert "Look again: " in panel._sentence.value
        assert "choose the fridge or the freezer" in panel._sentence.value

    def test_saving_says_where(self, panel, tmp_path):
        panel.controls["name"].value = "<b>../../Lunch</b>"
        panel.controls["count"].value = 15
        for kind in ("pdf", "html"):
            panel.saving.save(kind)
            [path] = tmp_path.glob(f"to-print/*.{kind}")
            assert str(path) in panel.saving.said
        assert path.name == "labels-b-lunch-b.html"
        [pdf] = tmp_path.glob("to-print/*.pdf")
        assert len(PdfReader(io.BytesIO(pdf.read_bytes())).pages) == 2

    def test_nothing_to_save_is_said(self, panel, tmp_path):
        panel.controls["count"].value = 0
        panel.saving.save("pdf")
        assert "Not saved. There is no label to save." in panel.saving.said
        assert files(tmp_path) == set()

    def test_a_name_too_long_is_said_and_printed_in_full(self, panel):
        panel.controls["name"].value = "carrot cake with everything " * 8
        assert "a last sheet has them in full" in " ".join(panel.notes)
        assert len(panel.sentence) < 300

    def test_a_wrong_day_is_refused(self, panel):
        panel.controls["made"].value = "tomorrow"
        assert "is no date" in panel._sentence.value


class TestPrintButtons:
    def test_a_document_or_what_gives_it(self, sheet, tmp_path):
        for make, name in ((sheet, "sheets"), (lambda: sheet, lambda: "sheets")):
            buttons = kk.PrintButtons(make, name, tmp_path)
            buttons.save("html")
        assert files(tmp_path) == {"to-print/sheets.html", "to-print/sheets-2.html"}

    def test_its_words_are_escaped_and_its_buttons_named(self, sheet, tmp_path):
        buttons = kk.PrintButtons(sheet, "sheets", tmp_path / "<b>")
        [row] = [child for child in buttons.children if child.__class__.__name__ == "HBox"]
        assert [button.description for button in row.children] == ["Save as HTML", "Save as PDF"]
        row.children[0].click()
        assert "<b>" in buttons.said
        assert "<b>" not in buttons._status.value
        assert 'role="status"' in buttons._status.value

    def test_before_it_runs_it_says_what_to_do(self, sheet):
        still = kk.PrintButtons(sheet, "sheets")._repr_mimebundle_()
        assert "Run the lesson" in still["text/plain"]
        assert "Run the lesson" in still["text/html"]

    def test_they_follow_the_language_and_what_was_said_goes(self, told, sheet, tmp_path):
        buttons = kk.PrintButtons(sheet, "sheets", tmp_path)
        buttons.save("html")
        with told("es_ES"):
            assert [one.description for one in buttons._buttons.values()] == [
                "Guardar como HTML",
                "Guardar como PDF",
            ]
            assert buttons.said == ""
            buttons.save("html")
            assert buttons.said.startswith("Guardado como ")

    def test_a_panel_of_labels_says_itself_anew_with_its_buttons(self, told, kit, tmp_path):
        panel = kk.LabelsPanel(kit, today="2026-11-25", folder=tmp_path)
        panel.controls["count"].value, english = 3, panel.sentence
        with told("es_ES"):
            assert panel.sentence.startswith("3 etiquetas para ")
            assert panel.children[-1] is panel.saving
            panel.saving.save("html")
            [saved] = (tmp_path / "to-print").glob("*.html")
            assert saved.name.startswith("etiquetas-masa-base")
            assert "Mejor antes del" in saved.read_text("utf-8")
        assert panel.controls["count"].value == 3
        assert panel.sentence == english.replace("8 labels", "3 labels")
