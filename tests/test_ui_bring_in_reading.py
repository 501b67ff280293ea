"""How a picked file is read: found, shown, asked and changed, by keyboard."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication, QFileDialog
from pytestqt.qtbot import QtBot

from app.ui.bring_in.rows import Column
from tests.households import corwin
from tests.imports import Importing, Key, importing

PLAIN = "Date,Time,Glucose (mmol/L),Meal\n2026-03-01,07:00,6.2,fasting\n2026-03-02,12:05,7.1,\n"


@pytest.fixture
def file(qtbot: QtBot, tmp_path: Path) -> Importing:
    return importing(qtbot, tmp_path)


def test_a_plain_file_needs_one_key(file: Importing) -> None:
    file.bring(PLAIN)

    assert QApplication.focusWidget() is file.assistant.ends.save
    assert file.assistant.ends.save.text() == "Save 2 rows"
    file.press(Key.Key_Return)

    assert not file.is_open
    assert file.values == ["6.2", "7.1"]
    assert QApplication.focusWidget() is file.page.view


def test_the_file_is_picked_with_a_key_and_its_name(file: Importing) -> None:
    path = file.folder / "meter.csv"
    path.write_text(PLAIN)

    file.window.menus.bring_in.trigger()
    (dialog,) = file.window.findChildren(QFileDialog)
    file.bot.waitUntil(dialog.isVisible)
    assert dialog.windowTitle() == "Bring in a file"
    dialog.selectFile(str(path))
    file.bot.waitUntil(lambda: dialog.selectedFiles() == [str(path)])
    dialog.accept()
    file.settle()

    assert file.is_open
    assert file.found.account.new == 2
    assert file.window.focusWidget() is file.assistant.ends.save  # once it is in front again


def test_what_was_found_of_a_file_is_shown(file: Importing) -> None:
    file.bring("Date;Time;Glucose;Unit\n14.03.2025;07:00;6,2;mmol/L\n", "küche.csv")

    choices = file.body.choices
    assert choices.columns.accessibleDescription() == "date ; time ; value ; unit"
    assert choices.dates.currentText() == "day, month, year"
    assert choices.unit.currentText() == "mmol/L"
    assert choices.delimiter.currentText() == "semicolon  ;"
    assert choices.encoding.currentText() == "utf-8"
    assert "küche.csv" in file.body.head.accessibleDescription()
    assert "nothing is saved yet" in file.body.head.accessibleDescription()


def test_letters_that_are_not_clear_are_asked_about_and_can_be_changed(file: Importing) -> None:
    text = "Date;Time;Glucose (mmol/L);Note\n2026-03-01;07:00;5,6;Käse\n"
    file.bring(text.encode("cp1252"))

    assert "In which encoding was it written?" in file.asked
    assert any("Käse" in line for line in file.cells(Column.WRITTEN))
    file.answer("cp1252")
    assert file.results() == [(2, "new")]
    file.choose(file.body.choices.encoding, "mac-roman")
    assert not any("Käse" in line for line in file.cells(Column.WRITTEN))
    file.choose(file.body.choices.encoding, "cp1252")
    file.save()

    (reading,) = file.readings
    assert reading.note == "Käse"


def test_another_delimiter_can_be_said(file: Importing) -> None:
    file.bring("Date|Time|Glucose (mmol/L)|Note\n2026-03-01|07:00|5.6|a;b;c;d\n")
    assert file.results() == [(2, "new")]

    file.choose(file.body.choices.delimiter, "semicolon  ;")
    assert file.body.panel.isVisible()
    assert file.body.panel.use.isEnabled() is False
    file.choose(file.body.choices.delimiter, "bar  |")

    assert file.results() == [(2, "new")]


def test_dates_of_either_order_are_asked_about_with_an_example(file: Importing) -> None:
    file.bring("Date,Time,Glucose (mmol/L)\n01/02/2026,07:00,6.2\n03/02/2026,07:05,7.1\n")

    assert '"01/02/2026" (line 2) could be day first or month first' in file.asked
    assert not file.assistant.ends.save.isEnabled()
    assert file.assistant.ends.save.text() == "Save"
    file.answer("day, month, year")

    assert [text[:9] for text in file.cells(Column.READ)] == ["Sun 1 Feb", "Tue 3 Feb"]
    file.choose(file.body.choices.dates, "month, day, year")
    assert [text[:9] for text in file.cells(Column.READ)] == ["Fri 2 Jan", "Mon 2 Mar"]


def test_enter_alone_answers_nothing(file: Importing) -> None:
    file.bring("Date,Time,Glucose (mmol/L)\n01/02/2026,07:00,6.2\n")

    assert QApplication.focusWidget() is file.body.box
    file.press(Key.Key_Return)

    assert "Which order does the file use?" in file.asked


def test_a_unit_that_no_value_tells_is_asked(file: Importing) -> None:
    file.bring("Date,Time,Glucose\n2026-03-01,07:00,21\n2026-03-02,07:00,24\n2026-03-03,07:00,27\n")

    assert "could be mg/dL or mmol/L. Which is it?" in file.asked
    file.answer("mmol/L")
    assert file.body.choices.unit.currentText() == "mmol/L"
    assert {text.split()[1] for text in file.cells(Column.VALUE)} == {"mmol/L"}

    file.choose(file.body.choices.unit, "mg/dL")
    assert {text.split()[1] for text in file.cells(Column.VALUE)} == {"mg/dL"}


def test_a_unit_that_changes_in_the_middle_of_a_memory_is_asked_once(
    qtbot: QtBot, tmp_path: Path
) -> None:
    file = importing(qtbot, tmp_path, corwin)
    first = "".join(f"2026-02-{day:02},07:00,{110 + day}\n" for day in range(1, 11))
    later = "".join(f"2026-03-{day:02},07:00,{5 + day / 10}\n" for day in range(1, 11))
    file.bring("Date,Time,Glucose\n" + first + later)

    assert "lines 12 to 21 (5.1 to 6) look like mmol/L" in file.asked
    assert "With none" not in file.asked  # a word of the command, no button's
    file.answer("Yes: from line 12 mmol/L")

    units = [text.split()[1] for text in file.cells(Column.VALUE)]
    assert units == ["mg/dL"] * 10 + ["mmol/L"] * 10
    assert file.cells(Column.VALUE)[10] == "5.1 mmol/L"


def test_one_unit_throughout_can_be_the_answer_too(qtbot: QtBot, tmp_path: Path) -> None:
    file = importing(qtbot, tmp_path, corwin)
    rows = "".join(f"2026-02-{day:02},07:00,{110 + day}\n" for day in range(1, 11))
    low = "".join(f"2026-03-{day:02},07:00,{5 + day / 10}\n" for day in range(1, 5))
    file.bring("Date,Time,Glucose\n" + rows + low)

    file.answer("No, one unit")

    file.answer("mg/dL")  # values of both kinds: which one unit, the file does not tell
    assert {text.split()[1] for text in file.cells(Column.VALUE)} == {"mg/dL"}
    assert file.found.account.held == 4  # under 10 mg/dL is hardly a result: each is asked about
    assert "Line 12: 5.1 mg/dL is under 10 mg/dL" in file.asked


STRANGE = "Wann;Was;Wieviel\n01.03.2026 07:00;n;6,2\n14.03.2025 07:00;k;7,1\n"


def test_columns_are_chosen_with_their_rows_seen_at_once(file: Importing) -> None:
    file.bring(STRANGE)

    panel = file.body.panel
    assert panel.isVisible()
    names = [choice.accessibleName() for choice in panel.choices]
    assert names == ["Wann", "Was", "Wieviel"]
    assert panel.choices[0].currentText() == "date and time"
    assert panel.choices[2].currentText() == "value"
    file.choose(panel.choices[1], "note")
    assert panel.isVisible()  # chosen, and the rows are there to look at before it is settled
    assert file.results() == [(2, "new"), (3, "new")]
    file.tab_to(panel.use)
    file.press(Key.Key_Return)

    assert not panel.isVisible()
    file.save()
    assert sorted(str(reading.note) for reading in file.readings) == ["k", "n"]


def test_a_column_cannot_be_said_twice(file: Importing) -> None:
    file.bring(STRANGE)
    panel = file.body.panel

    file.choose(panel.choices[1], "value")

    assert not panel.use.isEnabled()
    assert "Two columns are both “value”" in panel._words.text()


def test_columns_can_be_chosen_anew_for_a_file_that_was_understood(file: Importing) -> None:
    file.bring(PLAIN)

    file.tab_to(file.body.choices.columns)
    file.press(Key.Key_Space)
    assert file.body.panel.isVisible()
    file.choose(file.body.panel.choices[3], "not read")

    assert file.cells(Column.MARK) == ["–", "–"]


def test_a_word_off_the_scale_is_explained_once_for_the_file(file: Importing) -> None:
    file.bring(PLAIN + "2026-03-03,07:00,OVER,\n2026-03-04,07:00,OVER,\n")

    assert "“OVER” in 2 rows stands where a value belongs" in file.asked
    file.answer("Above it")

    assert file.asked == ""
    assert file.cells(Column.VALUE)[2:] == ["HI mmol/L", "HI mmol/L"]
    assert file.cells(Column.WHY)[2] == "Off the meter's scale, kept as a bound"


def test_codes_are_explained_one_by_one(file: Importing) -> None:
    file.bring(STRANGE + "02.03.2026 07:10;x;5,0\n")
    file.choose(file.body.panel.choices[1], "kind")
    file.tab_to(file.body.panel.use)
    file.press(Key.Key_Return)

    assert "“n” in 1 row: what do these rows hold?" in file.asked
    file.answer("waking")
    file.answer("Leave out")
    file.answer("Glucose")

    assert file.asked == ""
    assert file.results() == [(2, "new"), (3, "refused"), (4, "new")]
    assert file.cells(Column.MARK)[0] == "waking"


def test_signs_for_marks_are_explained_and_else_stay_notes(file: Importing) -> None:
    file.bring(
        "Date,Time,Glucose (mmol/L),Meal\n2026-03-01,07:00,6.2,w\n2026-03-02,12:05,7.1,kiwi\n"
    )

    assert "“w” stands where a mark belongs" in file.asked
    file.answer("waking")
    file.answer("None: keep it as a note")
    file.save()

    first, second = file.readings
    assert (first.mark, first.note) == ("waking", None)
    assert (second.mark, second.note) == ("none", 'mark in the file: "kiwi"')


def test_free_words_beside_readings_are_not_asked_about(file: Importing) -> None:
    rows = "".join(f"2026-03-01,{hour:02}:00,6.2,soup number {hour}\n" for hour in range(20))

    file.bring("Date,Time,Glucose (mmol/L),Meal\n" + rows)

    assert file.asked == ""
    assert file.found.account.new == 20


def test_when_beside_a_date_is_the_mark(file: Importing) -> None:
    file.bring("Date,Time,Result (mmol/L),When\n2026-03-01,12:13,7.7,before lunch\n")

    assert file.cells(Column.MARK) == ["before lunch"]


def test_a_column_that_says_what_a_row_is_is_never_passed_over(file: Importing) -> None:
    file.bring("Day,Time,What,mmol/L\n2026-03-01,15:00,ketones,1.4\n2026-03-01,21:00,ketones,1.8\n")

    assert file.body.panel.choices[2].currentText() == "kind"
    file.tab_to(file.body.panel.use)
    file.press(Key.Key_Return)
    assert "“ketones” in 2 rows: what do these rows hold?" in file.asked
    file.answer("Leave out")

    assert file.found.account.new == 0
    assert not file.assistant.ends.save.isEnabled()


def test_how_a_file_was_read_is_remembered_for_its_source(file: Importing) -> None:
    file.bring(STRANGE, "kitchen meter.csv")
    file.choose(file.body.panel.choices[1], "note")
    file.tab_to(file.body.panel.use)
    file.press(Key.Key_Return)
    assert file.assistant.ends.remember.isVisible()
    file.save()

    file.bring(STRANGE + "02.03.2026 08:00;n;5,5\n", "another name.csv")

    assert not file.body.panel.isVisible()
    assert file.results() == [(2, "already here"), (3, "already here"), (4, "new")]
    assert "read as “kitchen meter”" in file.body.head.accessibleDescription()
    assert not file.assistant.ends.remember.isVisible()  # nothing was said anew


def test_a_way_of_reading_is_forgotten_where_it_was_not_to_be_kept(file: Importing) -> None:
    file.bring(STRANGE)
    file.choose(file.body.panel.choices[1], "note")
    file.tab_to(file.assistant.ends.remember)
    file.press(Key.Key_Space)
    file.save()

    file.bring(STRANGE)

    assert file.body.panel.isVisible()


def test_a_kept_way_of_reading_can_be_left_for_one_file(file: Importing) -> None:
    file.bring(PLAIN + "2026-03-03,07:00,OVER,\n")
    file.answer("Above it")
    file.save()

    file.bring(PLAIN + "2026-03-03,07:00,OVER,\n")
    assert file.asked == ""
    file.choose(file.body.choices.way, "anew")

    assert "“OVER”" in file.asked
    file.tab_to(file.body.choices.way)
    file.press(Key.Key_Up)
    assert file.asked == ""


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"", "empty"),
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0", "not text"),
        (b"Date,Time,Glucose (mmol/L)\n", "holds a header and no row"),
    ],
)
def test_a_file_that_is_no_table_is_refused_in_a_sentence(
    content: bytes, says: str, file: Importing
) -> None:
    file.bring(content)

    assert says in file.body.trouble.sentence
    assert not file.assistant.ends.save.isEnabled()
    assert QApplication.focusWidget() is file.assistant.ends.cancel
    file.press(Key.Key_Return)
    assert not file.is_open


def test_a_file_that_is_gone_is_named(file: Importing) -> None:
    file.window.bring_in(file.folder / "gone.csv")
    file.settle()

    assert "gone.csv can't be read" in file.body.trouble.sentence
    assert "Nothing was changed" in file.body.trouble.sentence
