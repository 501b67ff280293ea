"""What becomes of each row of a picked file: shown, asked, answered, and always accounted for."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QAbstractItemModelTester
from PySide6.QtWidgets import QAbstractButton, QApplication
from pytestqt.qtbot import QtBot

from app.domain.glucose import Unit
from app.store.diary import Diary
from app.store.kit_rows import kit_of
from app.ui.bring_in.rows import ALL, FIRST, FIRST_AND_WORST, PROBLEMS, TO_ANSWER, Column
from app.work.kit_things import add_meter
from app.work.kit_vials import add_vial, read_range
from tests.households import NOW, corwin, tilde, written
from tests.imports import SHIFT_CTRL, Importing, Key, importing

HEAD = "Date,Time,Glucose (mg/dL),Meal\n"
ROWS = (
    "2026-03-01,06:10,130,fasting",
    "2026-03-02,06:11,131,fasting",  # typed before, four minutes later
    "2026-03-03,06:12,132,fasting",  # typed too
    "2026-03-04,06:13,133,",
    "2026-03-05,07:40,8.2,fasting",  # of a mmol/L meter
    "2026-03-06,25:10,134,",
    "2026-03-07,22:12,,bedtime",
    "2026-03-08,12:20,LO,",
    "2026-05-09,12:20,135,",  # has not come yet
)
MESS = HEAD + "\n".join(ROWS) + "\n"


def typed_before(diary: Diary) -> None:
    person = corwin(diary)
    written(diary, person, "2026-03-02 06:15", "131")
    written(diary, person, "2026-03-03 06:15", "132")


@pytest.fixture
def file(qtbot: QtBot, tmp_path: Path) -> Importing:
    made = importing(qtbot, tmp_path, typed_before)
    made.bring(MESS)
    return made


def account(file: Importing) -> tuple[int, int, int, int]:
    found = file.found.account
    assert found.new + found.already + found.refused + found.held == found.seen
    return found.new, found.already, found.refused, found.held


def test_each_row_of_a_file_has_its_place(file: Importing) -> None:
    file.body.account.wanted.emit(ALL)

    assert file.results() == [
        (2, "new"),
        (3, "to answer"),
        (4, "to answer"),
        (5, "new"),
        (6, "to answer"),
        (7, "refused"),
        (8, "refused"),
        (9, "new"),
        (10, "held"),
    ]
    assert account(file) == (3, 0, 2, 4)
    says = file.body.account.accessibleName()
    assert says == "9 rows seen = 3 new + 0 already here + 3 to answer + 1 held + 2 refused"


def test_each_row_says_why_beside_what_stands_in_the_file(file: Importing) -> None:
    file.body.account.wanted.emit(ALL)

    whys = file.cells(Column.WHY)
    assert whys[1].startswith("Probably one with the 131 mg/dL that was written for 2026-03-02")
    assert whys[5] == '"25:10" is not a time of day'
    assert whys[6] == "The value is missing"
    assert whys[7] == "Off the meter's scale, kept as a bound"
    assert "future" in whys[8] or "come" in whys[8]
    assert file.cells(Column.WRITTEN)[5] == "2026-03-06,25:10,134,"
    assert file.cells(Column.VALUE)[4] == "8.2 mg/dL"


def test_the_first_rows_and_the_worst_are_shown_first(qtbot: QtBot, tmp_path: Path) -> None:
    file = importing(qtbot, tmp_path, typed_before)
    many = "".join(f"2025-{1 + at // 28:02}-{1 + at % 28:02},06:00,140,\n" for at in range(200))

    file.bring(HEAD + many + "\n".join(ROWS) + "\n")

    assert file.assistant._wanted == FIRST_AND_WORST
    lines = [line for line, _ in file.results()]
    results = [result for _, result in file.results()]
    assert lines[:FIRST] == [2, 3, 4, 5, 6]
    assert results[FIRST:] == ["to answer"] * 3 + ["refused"] * 2 + ["held"]


def test_which_rows_are_shown_is_chosen_by_keys(file: Importing) -> None:
    segments = file.body.account.segments
    assert segments is not None
    file.tab_to(next(b for b in segments.findChildren(QAbstractButton) if b.isChecked()))

    file.press(Key.Key_Right)
    assert len(file.results()) == account(file)[2] + account(file)[3]
    file.press(Key.Key_Right)
    assert {result for _, result in file.results()} == {"to answer"}
    file.press(Key.Key_Left)
    file.press(Key.Key_Left)
    file.press(Key.Key_Left)
    assert len(file.results()) == len(ROWS)


def test_a_row_that_is_probably_one_is_merged_only_by_an_answer(file: Importing) -> None:
    assert file.asked.startswith("Line 3: Probably one with the 131 mg/dL")
    assert file.answers == ["It is one", "They are two", "All 2 are one"]

    file.answer("It is one")
    file.answer("They are two")
    file.answer("It is mmol/L")

    assert file.asked == ""
    assert account(file) == (5, 1, 2, 1)
    file.save()
    assert sorted(str(value) for value in file.values) == sorted(
        ["130", "131", "132", "132", "133", "8.2", "None"]
    )


def test_all_rows_that_are_probably_one_can_be_answered_at_once(file: Importing) -> None:
    file.answer("All 2 are one")

    assert account(file) == (3, 2, 2, 2)
    file.body.account.wanted.emit(ALL)
    assert [result for _, result in file.results()][1:3] == ["one with yours"] * 2
    assert file.cells(Column.WHY)[1] == "Keeps what was written by hand"


@pytest.mark.parametrize(
    ("answer", "kept"), [("Keep as written", "8.2 mg/dL"), ("It is mmol/L", "8.2 mmol/L")]
)
def test_an_impossible_value_is_kept_as_the_person_says(
    answer: str, kept: str, file: Importing
) -> None:
    file.answer("All 2 are one")
    assert "Line 6: 8.2 mg/dL is under 10 mg/dL" in file.asked
    assert file.answers == ["It is mmol/L", "Keep as written", "Refuse the row"]

    file.answer(answer)

    file.body.account.wanted.emit(ALL)
    assert file.results()[4] == (6, "new")
    assert file.cells(Column.VALUE)[4] == kept


def test_an_impossible_value_can_be_refused_and_stays_listed(file: Importing) -> None:
    file.answer("All 2 are one")

    file.answer("Refuse the row")

    file.body.account.wanted.emit(ALL)
    assert file.results()[4] == (6, "refused")
    assert file.cells(Column.WHY)[4] == "Left out, as you said"
    assert account(file) == (3, 2, 3, 1)


def test_what_was_already_here_stays_as_it_is(file: Importing) -> None:
    file.save()
    held = len(file.readings)

    file.bring(MESS)

    assert file.found.account.already == 3
    assert file.found.account.new == 0
    assert file.assistant.ends.save.text() == "Nothing new"
    assert not file.assistant.ends.save.isEnabled()
    assert len(file.readings) == held


def test_a_row_is_said_to_be_somebody_elses_and_that_can_be_taken_back(file: Importing) -> None:
    file.body.account.wanted.emit(ALL)
    file.tab_to(file.body.view)
    file.body.view.selectRow(0)

    file.press(Key.Key_N, SHIFT_CTRL)

    assert QApplication.focusWidget() is file.body.view
    assert file.cells(Column.WHY)[0] == "Not mine, as you said: in no figure"
    assert account(file)[0] == 3  # it is taken, and apart
    file.press(Key.Key_C, SHIFT_CTRL)
    assert file.cells(Column.WHY)[0] == ""


def test_a_row_of_somebody_else_comes_in_apart(file: Importing) -> None:
    file.body.account.wanted.emit(ALL)
    file.tab_to(file.body.view)
    file.body.view.selectRow(0)
    file.press(Key.Key_N, SHIFT_CTRL)
    file.save()

    mine = {each.glucose.value: each.standing for each in file.readings}
    assert mine["130"] == "not_mine"
    assert mine["133"] == "counted"
    assert file.session.record.columns.standing.tolist().count(0) == len(mine) - 1


def test_a_row_that_nothing_is_asked_about_can_be_refused(file: Importing) -> None:
    file.body.account.wanted.emit(ALL)
    file.tab_to(file.body.view)
    file.body.view.selectRow(3)

    file.press(Key.Key_Delete)

    assert file.results()[3] == (5, "refused")
    assert account(file) == (2, 0, 3, 4)


def test_what_can_be_said_of_a_row_stands_in_words_beside_it(file: Importing) -> None:
    tools = file.body.tools
    file.body.account.wanted.emit(ALL)

    def offered(row: int) -> list[str]:
        file.body.view.selectRow(row)
        return [b.text() for b in tools.findChildren(QAbstractButton) if b.isVisible()]

    assert offered(0) == ["Not mine", "Refuse the row"]
    assert offered(1) == []  # asked about above
    assert offered(5) == []  # refused: nothing was read of it
    assert tools.isHidden()


MEMORY = "2026-03-01,06:10,130,fasting\n2026-03-01,07:30,112,\n2026-03-02,06:10,131,fasting\n"


def with_a_fresh_vial(diary: Diary) -> None:
    """A vial that was begun on black half an hour before the first record of its memory."""
    person = corwin(diary)
    add_meter(diary, person, "black", now=NOW)
    (black,) = kit_of(diary).meters
    begun = datetime.fromisoformat("2026-03-01T05:40-06:00")
    add_vial(
        diary,
        person,
        now=NOW,
        lot="K4",
        ranges=(read_range("96-144", "normal", Unit.MG_DL),),
        meter=black,
        since=int(begun.timestamp()),
    )


def test_what_looks_like_a_control_test_is_asked_about_and_never_dropped(
    qtbot: QtBot, tmp_path: Path
) -> None:
    file = importing(qtbot, tmp_path, with_a_fresh_vial)
    file.bring(HEAD + MEMORY)
    assert file.asked == ""

    file.choose(file.body.choices.meter, "black")

    assert file.results() == [(2, "new"), (3, "to answer"), (4, "new")]
    assert file.asked.startswith("Line 3:")
    assert file.answers == ["A control test", "A reading"]
    file.answer("A control test")
    assert file.results() == [(2, "new"), (3, "new"), (4, "new")]
    file.save()
    assert sorted(str(value) for value in file.values) == ["130", "131"]
    assert [test.glucose.value for test in kit_of(file.session.diary).tests] == ["112"]


def test_what_looks_like_a_control_test_can_be_a_reading(qtbot: QtBot, tmp_path: Path) -> None:
    file = importing(qtbot, tmp_path, with_a_fresh_vial)
    file.bring(HEAD + MEMORY)
    file.choose(file.body.choices.meter, "black")

    file.answer("A reading")
    file.save()

    assert sorted(str(value) for value in file.values) == ["112", "130", "131"]


def test_a_row_can_be_said_to_be_a_control_test_of_its_meter(qtbot: QtBot, tmp_path: Path) -> None:
    file = importing(qtbot, tmp_path, with_a_fresh_vial)
    file.bring(HEAD + MEMORY)
    file.choose(file.body.choices.meter, "black")
    file.answer("A reading")
    file.tab_to(file.body.view)
    file.body.view.selectRow(2)

    file.press(Key.Key_T, Qt.KeyboardModifier.ControlModifier)

    assert file.cells(Column.MARK)[2] == "control test"
    assert file.cells(Column.WHY)[2] == "A control test, in no figure"
    file.save()
    assert sorted(str(value) for value in file.values) == ["112", "130"]


def test_another_meter_can_be_named(file: Importing) -> None:
    file.choose(file.body.choices.meter, "another meter…")

    assert QApplication.focusWidget() is file.body.choices.meter_name
    file.bot.keyClicks(file.body.choices.meter_name, "red")
    file.press(Key.Key_Return)

    assert file.body.choices.meter.currentText() == "red"
    file.save()
    assert [meter.name for meter in kit_of(file.session.diary).meters] == ["red"]


def test_the_model_holds_to_the_rules_of_qt(file: Importing) -> None:
    tester = QAbstractItemModelTester(
        file.body.model, QAbstractItemModelTester.FailureReportingMode.Fatal
    )

    for wanted in (ALL, PROBLEMS, TO_ANSWER, FIRST_AND_WORST):
        file.body.model.want(wanted)
        assert file.body.model.rowCount() > 0
    file.assistant.close_file()
    assert file.body.model.rowCount() == 0
    tester.deleteLater()


def test_a_file_of_another_person_is_looked_at_anew(qtbot: QtBot, tmp_path: Path) -> None:
    def two(diary: Diary) -> None:
        typed_before(diary)
        tilde(diary)

    file = importing(qtbot, tmp_path, two, now=datetime.fromisoformat("2026-03-12T21:30+00:00"))
    file.bring(MESS)
    whose = file.session.person.name
    other = "Tilde" if whose == "Corwin" else "Corwin"
    asked = len(file.found.asked)

    file.choose(file.body.choices.person, other)

    assert len(file.found.asked) != asked
    file.save()
    assert file.session.person.name == whose  # who is shown stays
