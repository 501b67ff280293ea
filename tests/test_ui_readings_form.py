from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.domain.glucose import Unit
from app.domain.marks import Mark
from app.domain.reading import Reading
from app.store.diary import Diary
from app.store.readings import readings_of
from app.ui.readings.page import ReadingsPage
from app.ui.readings.typed import sites_to_choose, tags_of, time_text
from app.ui.session import Session
from app.work.edit import put_in_bin, set_mark
from app.work.people import add_person
from app.work.retype import typed_time
from tests.households import NOW, corwin, new_diary, tilde, written

Key = Qt.Key
CONTROL = Qt.KeyboardModifier.ControlModifier


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


@pytest.fixture
def session(diary: Diary, qapp: QApplication) -> Iterator[Session]:
    person = tilde(diary)
    written(diary, person, "2026-03-11 21:00", "9.4", Mark.BEDTIME)
    written(diary, person, "2026-03-12 07:05", "7.6", Mark.WAKING, note="tired", tags=("swim",))
    made = Session(diary, lambda: NOW, None)
    yield made
    made.close()


@pytest.fixture
def page(session: Session, qtbot: QtBot) -> ReadingsPage:
    return shown(session, qtbot)


def shown(session: Session, qtbot: QtBot) -> ReadingsPage:
    made = ReadingsPage(session)
    qtbot.addWidget(made)
    made.resize(988, 740)
    made.show()
    qtbot.waitExposed(made)
    qtbot.waitUntil(lambda: not made._texts.busy, timeout=5000)
    QApplication.processEvents()
    made.view.setFocus()
    return made


def newest(session: Session) -> Reading:
    return readings_of(session.diary, session.person)[-1]


def press(page: ReadingsPage, key: Qt.Key) -> None:
    QTest.keyClick(page.view, key)


@pytest.mark.parametrize("key", [Key.Key_Return, Key.Key_Enter, Key.Key_F2])
def test_a_key_in_the_table_opens_the_reading_with_all_it_says(
    page: ReadingsPage, key: Qt.Key
) -> None:
    press(page, key)

    typed = page.form.fields.typed()
    assert page.form.isVisible()
    assert page.form.fields.value.hasFocus()
    assert (typed.value, typed.unit, typed.time) == ("7.6", Unit.MMOL_L, "12/3/2026 07:05")
    assert (typed.mark, typed.note, typed.tags) == ("waking", "tired", "swim")
    assert not page.form.is_changed


def test_typing_and_enter_saves_and_goes_back_to_the_table(
    page: ReadingsPage, session: Session, qtbot: QtBot
) -> None:
    press(page, Key.Key_Return)
    QTest.keyClicks(page.form.fields.value, "5,4")

    with qtbot.waitSignal(session.said, timeout=1000) as told:
        QTest.keyClick(page.form.fields.value, Key.Key_Return)

    assert newest(session).glucose.value == "5.4"
    assert told.args[0].sentence.startswith("Changed: value of the reading 7.6 mmol/L")
    assert page.form.isHidden()
    assert page.view.hasFocus()
    assert page.model.index(0, 2).data() == "5.4"


def test_nothing_typed_and_enter_only_closes(
    page: ReadingsPage, session: Session, qtbot: QtBot
) -> None:
    press(page, Key.Key_Return)

    with qtbot.assertNotEmitted(session.said):
        QTest.keyClick(page.form.fields.value, Key.Key_Return)

    assert page.form.isHidden()


def test_escape_leaves_and_what_was_typed_is_there_again(
    page: ReadingsPage, session: Session
) -> None:
    press(page, Key.Key_Return)
    QTest.keyClicks(page.form.fields.value, "5.4")
    QTest.keyClicks(page.form.fields.note, "more")
    QTest.keyClick(page.form.fields.note, Key.Key_Escape)
    closed, saved = page.form.isHidden(), newest(session).glucose.value

    press(page, Key.Key_Down)
    press(page, Key.Key_Return)
    other = page.form.fields.value.text()
    QTest.keyClick(page.form.fields.value, Key.Key_Escape)
    press(page, Key.Key_Up)
    press(page, Key.Key_Return)

    assert (closed, saved, other) == (True, "7.6", "9.4")
    assert page.form.fields.value.text() == "5.4"
    assert "more" in page.form.fields.note.toPlainText()
    assert page.form.is_changed


def test_as_it_was_forgets_what_was_typed(page: ReadingsPage) -> None:
    press(page, Key.Key_Return)
    QTest.keyClicks(page.form.fields.value, "5.4")

    QTest.mouseClick(page.form.forget, Qt.MouseButton.LeftButton)

    assert page.form.fields.value.text() == "7.6"
    assert not page.form.is_changed
    assert not page.form.forget.isVisible()


def test_an_odd_value_is_asked_about_and_enter_alone_saves_nothing(
    page: ReadingsPage, session: Session, qtbot: QtBot
) -> None:
    press(page, Key.Key_Return)
    QTest.keyClicks(page.form.fields.value, "56")
    QTest.keyClick(page.form.fields.value, Key.Key_Return)
    box = page.form._question
    assert box is not None
    QTest.keyClick(box, Key.Key_Return)
    still = newest(session).glucose.value

    box.answered.emit("5.6 mmol/L")

    assert still == "7.6"
    assert newest(session).glucose.value == "5.6"
    assert not newest(session).odd_ok


def test_an_odd_value_can_be_kept_as_typed(page: ReadingsPage, session: Session) -> None:
    press(page, Key.Key_Return)
    QTest.keyClicks(page.form.fields.value, "56")
    page.form.submit()
    box = page.form._question
    assert box is not None

    box.answered.emit("--sure")

    assert (newest(session).glucose.value, newest(session).odd_ok) == ("56", True)


def test_an_answer_counts_for_what_was_typed_then_only(
    page: ReadingsPage, session: Session
) -> None:
    press(page, Key.Key_Return)
    QTest.keyClicks(page.form.fields.value, "56")
    page.form.submit()
    page.form.fields.value.selectAll()
    QTest.keyClicks(page.form.fields.value, "57")

    page.form.submit()

    assert page.form._question is not None
    assert newest(session).glucose.value == "7.6"


@pytest.mark.parametrize("text", ["abc", "-1", "7.2 swim", ""])
def test_what_is_no_result_is_said_below_the_field_and_stays(
    page: ReadingsPage, session: Session, text: str
) -> None:
    press(page, Key.Key_Return)
    page.form.fields.value.setText(text)

    page.form.submit()

    assert page.form.fields.value.text() == text
    assert page.form.isVisible()
    assert newest(session).glucose.value == "7.6"


def test_a_time_that_came_twice_is_asked_about(page: ReadingsPage, session: Session) -> None:
    press(page, Key.Key_Return)
    page.form.fields.time.setText("26/10/2025 01:30")
    page.form.submit()
    box = page.form._question
    assert box is not None

    box.answered.emit("2025-10-26 01:30+00:00")

    moment = newest_by_id(session, page)
    assert (moment.moment and moment.moment.offset_min, moment.time_state) == (0, "asked")


def newest_by_id(session: Session, page: ReadingsPage) -> Reading:
    return next(each for each in readings_of(session.diary, session.person) if each.note == "tired")


def test_minutes_belong_to_marks_after_a_meal(page: ReadingsPage, session: Session) -> None:
    press(page, Key.Key_Return)
    fields = page.form.fields
    at_first = fields.after_min.isVisible()
    fields.mark.setCurrentIndex(fields.mark.findText("after breakfast"))
    fields.mark.activated.emit(fields.mark.currentIndex())
    then = fields.after_min.isVisible()
    QTest.keyClicks(fields.after_min, "2 hours")
    page.form.submit()
    refused = newest(session).mark

    fields.after_min.setText("120")
    page.form.submit()

    assert (at_first, then, refused) == (False, True, "waking")
    assert (newest(session).mark, newest(session).after_min) == ("after_breakfast", 120)


def test_control_and_enter_saves_from_the_note(page: ReadingsPage, session: Session) -> None:
    press(page, Key.Key_Return)
    QTest.keyClicks(page.form.fields.note, "x")
    QTest.keyClick(page.form.fields.note, Key.Key_Return)

    QTest.keyClick(page.form.fields.note, Key.Key_Return, CONTROL)

    assert newest(session).note == "x\ntired"
    assert page.form.isHidden()


def test_a_save_that_fails_keeps_the_text_and_says_why(
    page: ReadingsPage, session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    press(page, Key.Key_Return)
    QTest.keyClicks(page.form.fields.value, "5.4")
    monkeypatch.setattr(session.diary, "writable", False)

    page.form.submit()

    assert page.form.isVisible()
    assert page.form.fields.value.text() == "5.4"
    assert page.form._trouble.isVisible()
    assert page.form._trouble.text()


def test_what_changes_meanwhile_is_taken_in_and_typed_text_stays(
    page: ReadingsPage, session: Session
) -> None:
    press(page, Key.Key_Return)
    QTest.keyClicks(page.form.fields.tags, "x")
    row = newest(session).id
    set_mark(session.diary, session.person, [row], Mark.NIGHT, now=NOW)

    session.changed(None)

    assert page.form.isVisible()
    assert page.form.fields.tags.text().startswith("x")


def test_a_reading_that_went_to_the_bin_closes_its_form(
    page: ReadingsPage, session: Session
) -> None:
    press(page, Key.Key_Return)
    put_in_bin(session.diary, session.person, [newest(session).id], now=NOW)

    session.changed(None)

    assert page.form.isHidden()


def test_a_unit_chosen_for_a_result_is_kept_with_it(diary: Diary, qtbot: QtBot) -> None:
    adult = corwin(diary)
    written(diary, adult, "2026-03-12 06:10", "155")
    session = Session(diary, lambda: NOW, None)
    page = shown(session, qtbot)
    press(page, Key.Key_Return)
    fields = page.form.fields
    before = fields.typed().unit
    fields.unit.choose(Unit.MMOL_L)
    fields.value.setText("8.2")

    page.form.submit()

    assert before is Unit.MG_DL
    assert (newest(session).glucose.value, newest(session).glucose.unit) == ("8.2", Unit.MMOL_L)
    assert page.model.index(0, 2).data() == "148"
    session.close()


def test_where_there_is_no_room_the_form_takes_the_place_of_the_table(
    session: Session, qtbot: QtBot
) -> None:
    page = shown(session, qtbot)
    page.resize(600, 700)

    page._on_edit(0)
    alone = (page.view.isVisible(), page.form.isVisible())
    page.form.leave()

    assert alone == (False, True)
    assert page.view.isVisible()


@pytest.mark.parametrize("order", ["dmy", "mdy", "ymd"])
@pytest.mark.parametrize("clock", [12, 24])
def test_a_time_is_written_so_that_it_reads_back_as_itself(
    diary: Diary, order: str, clock: int
) -> None:
    person = add_person(
        diary, "Ada", unit="mmol/L", zone="Europe/Lisbon", now=NOW, clock=clock, date_order=order
    )
    for wall in (
        datetime(2026, 3, 4, 0, 5),  # noqa: DTZ001 - a wall time
        datetime(2025, 12, 11, 12, 30),  # noqa: DTZ001
        datetime(2025, 1, 2, 23, 59),  # noqa: DTZ001
    ):
        read = typed_time(time_text(wall, person), person, now=NOW)

        assert read.is_ready
        assert read.moment is not None
        assert read.moment.local == wall


def test_every_site_is_offered_once_and_one_of_a_newer_list_too() -> None:
    offered = sites_to_choose(("toe", "left"))

    words = [text for text, _ in offered]
    assert len(set(words)) == len(words)
    assert offered[-1] == ("left toe", ("toe", "left"))
    assert offered[0] == ("", (None, None))


@pytest.mark.parametrize(
    ("text", "tags"),
    [
        ("", ()),
        (" swim,  #party , swim", ("swim", "party")),
        ("steroid   course", ("steroid course",)),
        (",,", ()),
    ],
)
def test_tags_are_parted_by_commas(text: str, tags: tuple[str, ...]) -> None:
    assert tags_of(text) == tags


def test_somebody_else_chosen_shuts_the_form(page: ReadingsPage, session: Session) -> None:
    other = corwin(session.diary)
    press(page, Key.Key_Return)
    QTest.keyClicks(page.form.fields.value, "5.4")

    session.choose(other)

    assert page.form.isHidden()
    assert page.form.row_id is None


def test_a_note_is_kept_in_this_home_by_the_keyboard(
    page: ReadingsPage, session: Session, qtbot: QtBot
) -> None:
    press(page, Key.Key_Return)
    fields = page.form.fields
    fields.note.setFocus()
    QTest.keyClick(fields.note, Key.Key_Tab)
    reached = fields.private.hasFocus()
    QTest.keyClick(fields.private, Key.Key_Space)

    with qtbot.waitSignal(session.said, timeout=1000) as told:
        QTest.keyClick(fields.value, Key.Key_Return)

    assert reached
    assert (newest(session).note, newest(session).note_is_private) == ("tired", True)
    assert "where the note stays" in told.args[0].sentence


def test_there_is_nothing_to_keep_in_this_home_without_a_note(page: ReadingsPage) -> None:
    press(page, Key.Key_Down)
    press(page, Key.Key_Return)
    without = page.form.fields.private.isEnabled()
    QTest.keyClicks(page.form.fields.note, "late")

    assert not without
    assert page.form.fields.private.isEnabled()
