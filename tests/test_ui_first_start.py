from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from app.domain.glucose import LimitPair, Unit
from app.domain.marks import Mark
from app.store.diary import Diary
from app.store.people import care_texts, persons, targets_of
from app.store.wishes import usual_times
from app.ui.first_start import FirstStart, ask_for_person, ask_for_settings
from app.ui.session import Session
from app.work.take_back import undo_last
from tests.households import INSTALLATION, NOW, new_diary, tilde


@pytest.fixture
def first(tmp_path: Path, qtbot: QtBot) -> FirstStart:
    return first_start(tmp_path, qtbot)


def first_start(folder: Path, qtbot: QtBot) -> FirstStart:
    made = FirstStart(
        folder / "diary.thimblebook", None, INSTALLATION, lambda: NOW, folder / "left.json"
    )
    qtbot.addWidget(made)
    made.resize(1000, 700)
    made.show()
    return made


def begun(first: FirstStart, qtbot: QtBot) -> Diary:
    with qtbot.waitSignal(first.begun, timeout=5000) as found:
        first.begin()
    assert found.args is not None
    diary = found.args[0]
    assert isinstance(diary, Diary)
    return diary


def test_name_unit_and_zone_are_enough(first: FirstStart, qtbot: QtBot) -> None:
    first.take_focus()
    qtbot.keyClicks(first.form.name, "Corwin")
    qtbot.keyClick(first.form.name, Qt.Key.Key_Tab)
    first.form._mg.setChecked(True)
    first.form.zone.setCurrentText("America/Chicago")

    with begun(first, qtbot) as diary:
        (person,) = persons(diary)

    assert (person.name, person.unit, person.zone) == ("Corwin", Unit.MG_DL, "America/Chicago")
    assert not first._left.exists()


def test_what_is_missing_is_said_and_nothing_is_made(first: FirstStart, qtbot: QtBot) -> None:
    first.begin()
    no_name = first._trouble.error
    qtbot.keyClicks(first.form.name, "Corwin")
    first.begin()

    assert "needs a name" in no_name
    assert first._trouble.error == "Which unit does the meter show? Look at its display."
    assert first.form.name.text() == "Corwin"
    assert not first._path.exists()


def test_what_was_left_half_way_is_taken_up_again(tmp_path: Path, qtbot: QtBot) -> None:
    first = first_start(tmp_path, qtbot)
    qtbot.keyClicks(first.form.name, "Corwin")
    first.form._mg.setChecked(True)
    first.form.goals.choice.choose("ada-adults")
    first.close()

    again = first_start(tmp_path, qtbot)

    assert again.form.name.text() == "Corwin"
    assert again.form._mg.isChecked()
    assert again.form.goals.choice.value() == "ada-adults"


@pytest.mark.parametrize("left", ["", "[1]", '{"name": 5, "times": 7, "clock": 13}'])
def test_answers_that_make_no_sense_do_no_harm(tmp_path: Path, qtbot: QtBot, left: str) -> None:
    (tmp_path / "left.json").write_text(left)

    first = first_start(tmp_path, qtbot)

    assert first.form.answers()["clock"] == 24


def test_own_targets_are_kept_as_pairs(first: FirstStart, qtbot: QtBot) -> None:
    first.form.name.setText("Tilde")
    first.form._mmol.setChecked(True)
    first.form.zone.setCurrentText("Europe/Lisbon")
    first.form.goals.choice.choose("own")
    row = first.form.goals._rows["all"]
    qtbot.keyClicks(row.low, "4,0")
    qtbot.keyClicks(row.high, "10")

    with begun(first, qtbot) as diary:
        (targets,) = targets_of(diary, persons(diary)[0])

    assert targets.limits[0].low == LimitPair(72, 4.0)
    assert targets.limits[0].high == LimitPair(180, 10.0)


def test_a_limit_in_the_other_unit_is_refused(first: FirstStart, qtbot: QtBot) -> None:
    first.form.name.setText("Tilde")
    first.form._mmol.setChecked(True)
    first.form.goals.choice.choose("own")
    first.form.goals._rows["all"].high.setText("180")

    first.begin()

    assert '"180" for any other time is no limit in mmol/L' in first._trouble.error
    assert not first._path.exists()


def test_usual_times_are_read_as_they_are_written(first: FirstStart, qtbot: QtBot) -> None:
    first.form.name.setText("Tilde")
    first.form._mmol.setChecked(True)
    first.form.times.show_texts({"waking": "7.05", "bedtime": "9 pm"})
    first.form.number.setText("112")

    with begun(first, qtbot) as diary:
        person = persons(diary)[0]
        assert usual_times(diary, person) == {Mark.WAKING: 425, Mark.BEDTIME: 1260}
        assert care_texts(diary, person).emergency_number == "112"


def test_what_is_left_half_way_is_for_nobody_else(first: FirstStart, qtbot: QtBot) -> None:
    qtbot.keyClicks(first.form.name, "Corwin")

    assert json.loads(first._left.read_text())["name"] == "Corwin"
    assert first._left.stat().st_mode & 0o077 == 0


@pytest.fixture
def session(tmp_path: Path, qapp: object) -> Iterator[Session]:
    with new_diary(tmp_path) as diary:
        tilde(diary, targets="ispad-2022")
        made = Session(diary, lambda: NOW, None)
        yield made
        made.close()


def test_another_person_is_added_and_shown(session: Session, qtbot: QtBot) -> None:
    window = first_start(session.diary.path.parent / "elsewhere", qtbot)
    dialog = ask_for_person(session, window)
    dialog.form.name.setText("Corwin")
    dialog.form._mg.setChecked(True)
    dialog.form.zone.setCurrentText("America/Chicago")

    with qtbot.waitSignal(session.person_changed, timeout=1000):
        qtbot.mouseClick(dialog.saves, Qt.MouseButton.LeftButton)

    assert session.person.name == "Corwin"
    assert [person.name for person in session.persons] == ["Tilde", "Corwin"]


def test_settings_are_shown_changed_and_undone(session: Session, qtbot: QtBot) -> None:
    window = first_start(session.diary.path.parent / "elsewhere", qtbot)
    dialog = ask_for_settings(session, window)
    shown = (dialog.form.name.text(), dialog.form.goals.choice.currentText())
    dialog.form.day_start.choose(4)
    qtbot.mouseClick(dialog.saves, Qt.MouseButton.LeftButton)
    changed = session.person.day_start

    undo_last(session.diary, session.person, now=NOW)
    session.changed()

    assert shown == ("Tilde", "As they are: ISPAD 2022, children and young people")
    assert (changed, session.person.day_start) == (4, 0)
    assert len(session.record.targets) == 1
