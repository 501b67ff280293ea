from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QApplication, QLabel, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from app.domain.entry import Entry
from app.domain.marks import Mark
from app.store.diary import Diary
from app.ui.now.slip import State
from app.work.people import add_person
from tests.households import NOW, corwin, tilde, written
from tests.now_columns import Desk, desk, focused

Open = Callable[..., Desk]


@pytest.fixture
def opened(qtbot: QtBot, tmp_path: Path) -> Iterator[Open]:
    desks: list[Desk] = []

    def make(*args: object, **kwargs: object) -> Desk:
        made = desk(qtbot, tmp_path, *args, **kwargs)  # type: ignore[arg-type]
        desks.append(made)
        return made

    yield make
    for made in desks:
        made.close()


def with_last(diary: Diary) -> None:
    person = tilde(diary, targets="ispad-2022")
    written(diary, person, "2026-03-12T20:57", "2.4", Mark.BEFORE_EVENING_MEAL)


def similar(diary: Diary) -> None:
    for name in ("Tilde Marjolein van Oosterhout A", "Tilde Marjolein van Oosterhout B"):
        add_person(diary, name, unit="mmol/L", zone="Europe/Lisbon", now=NOW)


def shown_texts(widget: QWidget) -> str:
    return " | ".join(label.text() for label in widget.findChildren(QLabel) if not label.isHidden())


def test_focus_starts_in_the_line_and_an_empty_diary_shows_how_to_type(opened: Open) -> None:
    at = opened()

    assert focused() is at.column.line
    assert at.column.slip.state is State.HINT
    assert "6.2 fasting 6:50" in shown_texts(at.column.slip)
    assert at.column.person.text() == "Tilde"
    assert "mmol/L · Europe/Lisbon" in shown_texts(at.column)


def test_line_is_read_while_it_is_typed(opened: Open) -> None:
    at = opened(lambda diary: tilde(diary, targets="ispad-2022"))

    at.type("7.2 before lunch left index")

    said = shown_texts(at.column.slip)
    assert at.column.slip.state is State.PENDING
    assert "7.2 | mmol/L" in said
    assert "within 4.0 – 10.0" in said
    assert "Time | today, Thu 12 Mar, 21:30" in said
    assert "Mark | before lunch" in said
    assert "Finger | left index" in said
    assert not at.readings()


def test_a_bare_value_and_enter_save_at_two_in_the_night(opened: Open) -> None:
    at = opened(now=NOW.replace(hour=2, minute=10))

    at.save("5.6")

    (reading,) = at.readings()
    assert (reading.glucose.value, reading.moment and reading.moment.wall) == (
        "5.6",
        "2026-03-12T02:10",
    )
    assert at.column.line.text() == ""
    assert focused() is at.column.line


def test_what_was_saved_is_said_with_undo_and_the_time(opened: Open) -> None:
    at = opened()

    at.save("7.2 12:10")

    assert at.column.notice.sentence.replace("\u2060", "") == "7.2\u00a0mmol/L saved, 12:10"
    assert at.column.slip.state is State.LAST
    assert "Saved 21:30" in shown_texts(at.column)


def test_undo_takes_back_just_that_reading_and_gives_the_line_back(opened: Open) -> None:
    at = opened()
    at.save("6.0 20:00")
    at.save("7.2 shaky")

    at.column.notice.undo_asked.emit()
    at.wait()

    assert [reading.glucose.value for reading in at.readings()] == ["6.0"]
    assert at.column.line.text() == "7.2 shaky"
    assert at.column.notice.sentence.startswith("Taken back")
    assert focused() is at.column.line


def test_undo_leaves_alone_what_somebody_else_did_meanwhile(opened: Open) -> None:
    at = opened()
    at.save("7.2")
    written(at.diary, at.session.person, "2026-03-12T21:20", "6.0")

    at.column.notice.undo_asked.emit()
    at.wait()

    assert len(at.readings()) == 2
    assert "nothing was taken back" in at.column.trouble.sentence


def test_undo_and_close_are_reached_by_tab_alone(opened: Open) -> None:
    at = opened()
    at.save("7.2")

    at.press(Qt.Key.Key_Tab, Qt.Key.Key_Return)
    at.wait()

    assert at.readings() == []


def test_escape_clears_the_line_and_saves_nothing(opened: Open) -> None:
    at = opened()

    at.type("7.2")
    at.press(Qt.Key.Key_Escape)

    assert at.column.line.text() == ""
    assert at.column.slip.state is State.HINT
    assert not at.readings()


def test_escape_on_an_empty_line_is_left_to_the_window(opened: Open) -> None:
    at = opened()
    key = QKeyEvent(QEvent.Type.KeyPress, Qt.Key.Key_Escape, Qt.KeyboardModifier.NoModifier)

    QApplication.sendEvent(at.column.line, key)

    assert not key.isAccepted()


def test_focus_comes_back_behind_what_was_typed(opened: Open) -> None:
    at = opened()
    at.type("7.2")
    at.column.person.setFocus()

    at.column.take_focus()
    at.press(Qt.Key.Key_1)

    assert at.column.line.text() == "7.21"


def test_enter_on_an_empty_line_does_nothing(opened: Open) -> None:
    at = opened()

    at.save("  ")

    assert not at.readings()
    assert not at.column.trouble.sentence


def test_problem_is_a_sentence_under_the_line_and_the_text_stays(opened: Open) -> None:
    at = opened()

    at.save("hello")

    assert "There is no reading in the line" in at.column.trouble.sentence
    assert at.column.line.text() == "hello"
    assert not at.readings()
    at.type("7.2")
    assert at.column.trouble.sentence == ""


def test_nobody_is_nagged_while_half_is_typed_but_soon_after(opened: Open, qtbot: QtBot) -> None:
    at = opened(corwin)

    at.type("11")

    assert at.column.slip.state is State.PENDING
    assert "Not saved yet" in shown_texts(at.column.slip)
    at.type("2")
    assert "Will be saved as" in shown_texts(at.column.slip)
    at.press(Qt.Key.Key_Backspace)
    qtbot.waitUntil(lambda: at.column.slip.state is State.QUESTION, timeout=3000)


def test_last_reading_shows_when_and_its_age(opened: Open) -> None:
    at = opened(with_last)

    said = shown_texts(at.column.slip)
    assert at.column.slip.state is State.LAST
    assert "2.4 | mmol/L" in said
    assert "before evening meal · today 20:57 · 33\u00a0min\u00a0ago" in said


def test_age_grows_while_the_window_stands_open(opened: Open) -> None:
    at = opened(with_last)

    at.clock[0] += timedelta(minutes=5)
    at.column.tick()

    assert "38\u00a0min\u00a0ago" in shown_texts(at.column.slip)


def test_time_of_a_waiting_line_moves_on_and_enter_saves_the_newest(opened: Open) -> None:
    at = opened()
    at.type("7.2")

    at.clock[0] += timedelta(minutes=7)
    at.save()

    (reading,) = at.readings()
    assert reading.moment is not None
    assert reading.moment.wall == "2026-03-12T21:37"


def test_pending_value_is_announced_and_withdrawn(opened: Open) -> None:
    at = opened()
    told: list[Entry | None] = []
    at.column.pending_changed.connect(told.append)

    at.type("7.2")
    at.press(Qt.Key.Key_Escape)

    values = [entry.glucose.value if entry and entry.glucose else None for entry in told]
    assert values == ["7", "7.2", None] or values == ["7", None, "7.2", None]


def test_pending_is_none_while_something_is_asked(opened: Open) -> None:
    at = opened()
    told: list[Entry | None] = []
    at.column.pending_changed.connect(told.append)

    at.type("56")

    assert told[-1] is None


def test_two_people_with_similar_names_are_told_apart(opened: Open) -> None:
    at = opened(similar)
    first, second = at.session.persons

    at.column.person.person_chosen.emit(second)
    at.save("7.2")

    assert at.column.person.text() == second.name
    assert at.column.notice.sentence.replace("\u200b", "").endswith("…osterhout B, 21:30")
    assert at.column.notice.sentence.count("saved for Tilde Marjo") == 1
    assert [len(at.readings(person)) for person in (first, second)] == [0, 1]


def test_person_is_chosen_by_keys_alone(opened: Open, qtbot: QtBot) -> None:
    at = opened(similar)
    second = at.session.persons[1]

    at.column.person.setFocus()
    at.press(Qt.Key.Key_Down)
    menu = at.column.person.menu
    qtbot.waitUntil(menu.isVisible)
    for key in (Qt.Key.Key_Down, Qt.Key.Key_Down, Qt.Key.Key_Return):
        QTest.keyClick(menu, key)

    assert at.session.person == second
    assert focused() is at.column.line


def test_typed_line_is_read_anew_for_the_other_person(opened: Open) -> None:
    def two(diary: Diary) -> None:
        tilde(diary)
        corwin(diary)

    at = opened(two)
    at.type("7.2")

    at.session.choose(at.session.persons[1])
    at.column.settle()

    assert at.column.line.text() == "7.2"
    assert at.column.slip.state is State.QUESTION


def test_adding_a_person_is_asked_for(opened: Open, qtbot: QtBot) -> None:
    at = opened()
    last = at.column.person.menu.actions()[-1]

    with qtbot.waitSignal(at.column.person_wanted):
        last.trigger()

    assert last.text() == "Add a person…"


def test_with_nobody_in_the_diary_nothing_can_be_typed(opened: Open) -> None:
    at = opened(lambda _diary: None)

    assert not at.column.line.isEnabled()
    assert at.column.slip.state is State.EMPTY
    assert at.column.person.text() == "Nobody yet"


def test_keeper_is_shown_and_written(opened: Open) -> None:
    at = opened()

    at.session.write_as("Odalys")
    at.save("7.2")

    assert "you are Odalys" in shown_texts(at.column)
    assert at.readings()[0].keeper == "Odalys"


def test_known_words_become_tags_without_a_question_to_the_diary(
    opened: Open, qtbot: QtBot
) -> None:
    def tagged(diary: Diary) -> None:
        written(diary, tilde(diary), "2026-03-12T08:00", "6.1", tags=("swim",))

    at = opened(tagged)

    at.type("7.2 swim")

    qtbot.waitUntil(lambda: "Tags | swim" in shown_texts(at.column.slip))


def test_doubt_is_shown_before_it_is_saved(opened: Open) -> None:
    at = opened()

    at.type("8.4 unwashed")

    said = shown_texts(at.column.slip)
    assert "in doubt: hands not washed" in said
    assert "Figures | shown with it and without it" in said


def test_off_scale_words_say_that_they_count(opened: Open) -> None:
    at = opened()

    at.save("LO")

    (reading,) = at.readings()
    assert reading.glucose.value is None
    assert "LO | off the meter's scale" in shown_texts(at.column.slip)


def test_everything_that_takes_the_focus_has_a_name(opened: Open) -> None:
    at = opened(with_last)
    at.save("2.4")
    at.type("56")
    at.column.settle()

    nameless = [
        widget
        for widget in at.column.findChildren(QWidget)
        if isinstance(widget, QAbstractButton | QLineEdit) and not widget.accessibleName()
    ]

    assert not nameless
    assert "Not saved yet: which unit?" in at.column.line.accessibleDescription()
    assert "56 mg/dL" in at.column.line.accessibleDescription()


@pytest.mark.parametrize("width", [252, 292, 320])
@pytest.mark.parametrize(
    "text", ["HI after dinner", "56", "8.4 unwashed #" + "a" * 60 + " note " + "b" * 90]
)
def test_nothing_is_cut_at_any_width(opened: Open, qtbot: QtBot, width: int, text: str) -> None:
    def long_named(diary: Diary) -> None:
        add_person(diary, "W" * 60, unit="mmol/L", zone="Europe/Lisbon", now=NOW)

    at = opened(long_named, width=width)

    at.type(text)
    at.column.settle()

    qtbot.waitUntil(lambda: not cut_parts(at.column.slip, width))
    assert at.column.width() == width


def cut_parts(slip: QWidget, width: int) -> list[QWidget]:
    """The parts of a slip that end beyond the column, or are lower than their words."""
    seen = [widget for widget in slip.findChildren(QWidget) if widget.isVisible()]
    return [
        widget
        for widget in seen
        if widget.mapTo(slip, widget.rect().topRight()).x() >= slip.width()
        or slip.width() > width - 24
        or (widget.hasHeightForWidth() and widget.height() < widget.heightForWidth(widget.width()))
    ]


def test_right_to_left_puts_the_slip_parts_at_the_other_side(opened: Open) -> None:
    app = QApplication.instance()
    assert isinstance(app, QApplication)
    app.setLayoutDirection(Qt.LayoutDirection.RightToLeft)
    try:
        at = opened()
        at.type("7.2")
        QApplication.processEvents()
        number = next(x for x in at.column.slip.findChildren(QLabel) if x.text() == "7.2")
        unit = next(x for x in at.column.slip.findChildren(QLabel) if x.text() == "mmol/L")
        assert number.x() > unit.x()
    finally:
        app.setLayoutDirection(Qt.LayoutDirection.LeftToRight)
