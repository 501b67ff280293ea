from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from app.domain.entry import EntryContext, read_entry
from app.domain.glucose import Unit
from app.ui.now.choices import choices_of
from app.ui.now.slip import State
from tests.households import corwin, new_diary, tilde
from tests.now_columns import EVENING, Desk, desk, focused

AUTUMN = datetime(2026, 10, 25, 9, 0, tzinfo=UTC)  # the clocks of Lisbon went back at 02:00
SPRING = datetime(2026, 3, 29, 9, 0, tzinfo=UTC)  # and forward at 01:00

# What is typed, how often Down is pressed, what the button says, and what is saved.
ASKED = [
    ("56", 1, "56 mg/dL", "56 mg/dL", EVENING),
    ("56 before lunch, shaky", 2, "5.6 mmol/L", "5.6 mmol/L", EVENING),
    ("56", 3, "56 mmol/L", "56 mmol/L", EVENING),
    ("7.2 22:10", 1, "yesterday, Wed 11 Mar, 22:10", "2026-03-11T22:10", EVENING),
    ("7.2 22:10", 2, "today, Thu 12 Mar, 22:10", "2026-03-12T22:10", EVENING),
    ("7.2 01:30", 1, "01:30", "60", AUTUMN),
    ("7.2 01:30", 2, "01:30", "0", AUTUMN),
    ("7.2 01:30", 1, "02:30", "2026-03-29T02:30", SPRING),
    ("7.2 01:30", 2, "00:30", "2026-03-29T00:30", SPRING),
    ("5.6 7.2", 2, "7.2 mmol/L", "7.2 mmol/L", EVENING),
    ("7.2 18", 3, "7.2 mmol/L", "2026-03-12T18:00", EVENING),
    ("feeling low", 1, "LO", "LO", EVENING),
    ("7.2 before lunch after lunch", 2, "after lunch", "after_lunch", EVENING),
    ("7.2 left index right thumb", 1, "left index finger", "left index", EVENING),
    ("7.2 washed unwashed", 2, "not washed", "not", EVENING),
    ("7.2 6:50 juice at 7:15", 2, "today, Thu 12 Mar, 07:15", "2026-03-12T07:15", EVENING),
    ("7.2 yesterday today 06:00", 1, "yesterday, Wed 11 Mar, 06:00", "2026-03-11", EVENING),
]


@pytest.fixture
def opened(qtbot: QtBot, tmp_path: Path) -> Iterator[list[Desk]]:
    desks: list[Desk] = []
    yield desks
    for made in desks:
        made.close()


@pytest.mark.parametrize(("typed", "downs", "button", "kept", "now"), ASKED)
def test_every_question_is_answered_by_keys_alone(
    opened: list[Desk],
    qtbot: QtBot,
    tmp_path: Path,
    typed: str,
    downs: int,
    button: str,
    kept: str,
    now: datetime,
) -> None:
    at = desk(qtbot, tmp_path, now=now)
    opened.append(at)

    at.save(typed)
    assert at.column.slip.state is State.QUESTION
    assert not at.readings()
    at.press(*[Qt.Key.Key_Down] * downs)
    assert focused().accessibleName().split(",")[0] == button.split(",")[0]
    at.press(Qt.Key.Key_Return)
    assert focused() is at.column.line
    at.save()

    (reading,) = at.readings()
    glucose, moment = reading.glucose, reading.moment
    assert moment is not None
    value = f"{glucose.value} {glucose.unit}" if glucose.value else glucose.shown(glucose.unit)
    said = (value, moment.wall, str(moment.offset_min), reading.mark, reading.hands)
    assert kept in (*said, moment.wall[:10], reading.site_detail)


def test_enter_alone_never_answers(opened: list[Desk], qtbot: QtBot, tmp_path: Path) -> None:
    at = desk(qtbot, tmp_path)
    opened.append(at)

    at.save("56")
    at.press(*[Qt.Key.Key_Return] * 5)

    assert not at.readings()
    assert at.column.line.text() == "56"
    assert focused() is at.column.line


def test_down_asks_at_once_and_goes_to_the_first_answer(
    opened: list[Desk], qtbot: QtBot, tmp_path: Path
) -> None:
    at = desk(qtbot, tmp_path)
    opened.append(at)

    at.type("56")
    at.press(Qt.Key.Key_Down)

    assert focused().accessibleName() == "56 mg/dL, shown as 3.1 mmol/L"


def test_up_and_escape_go_back_to_the_line_with_the_text(
    opened: list[Desk], qtbot: QtBot, tmp_path: Path
) -> None:
    at = desk(qtbot, tmp_path)
    opened.append(at)
    at.type("56")

    at.press(Qt.Key.Key_Down, Qt.Key.Key_Up)
    first = focused()
    at.press(Qt.Key.Key_Down, Qt.Key.Key_Down, Qt.Key.Key_Escape)

    assert first is at.column.line
    assert focused() is at.column.line
    assert at.column.line.text() == "56"


def test_tab_goes_from_the_line_to_the_answers(
    opened: list[Desk], qtbot: QtBot, tmp_path: Path
) -> None:
    at = desk(qtbot, tmp_path)
    opened.append(at)
    at.type("56")
    at.column.settle()

    at.press(Qt.Key.Key_Tab)

    assert focused().accessibleName().startswith("56 mg/dL")


def test_two_questions_come_one_after_the_other(
    opened: list[Desk], qtbot: QtBot, tmp_path: Path
) -> None:
    at = desk(qtbot, tmp_path)
    opened.append(at)

    at.save("56 22:10")
    at.press(Qt.Key.Key_Down, Qt.Key.Key_Return)
    assert at.column.slip.state is State.QUESTION
    at.press(Qt.Key.Key_Down, Qt.Key.Key_Return)
    at.save()

    (reading,) = at.readings()
    assert reading.moment is not None
    assert (reading.glucose.unit, reading.moment.wall) == (Unit.MG_DL, "2026-03-11T22:10")


def test_day_without_a_time_asks_for_more_words_and_offers_no_button(
    opened: list[Desk], qtbot: QtBot, tmp_path: Path
) -> None:
    at = desk(qtbot, tmp_path)
    opened.append(at)

    at.save("7.2 yesterday")

    assert at.column.slip.state is State.QUESTION
    assert at.column.slip.choices == ()
    at.save(" 22:10")
    assert len(at.readings()) == 1


def test_value_that_fits_the_other_unit_is_asked_about_in_mg(
    opened: list[Desk], qtbot: QtBot, tmp_path: Path
) -> None:
    at = desk(qtbot, tmp_path, corwin)
    opened.append(at)

    at.save("7.2")

    said = [(choice.text, choice.hint) for choice in at.column.slip.choices]
    assert said == [
        ("7.2 mmol/L", "shown as 130 mg/dL"),
        ("7.2 mg/dL", "keep as typed"),
    ]


LINES = sorted({typed for typed, *_ in ASKED} | {"HI 600", "112 mg/dL 5.6 mmol/L", "7.20 18.20"})


@pytest.mark.parametrize("typed", LINES)
def test_no_two_buttons_say_the_same(tmp_path: Path, typed: str) -> None:
    diary = new_diary(tmp_path)
    person = tilde(diary)
    context = EntryContext(EVENING, person.zone, person.unit)
    entry = read_entry(typed, context)

    for question in entry.questions:
        choices = choices_of(
            typed,
            entry,
            question,
            lambda line: read_entry(line, context),
            person=person,
            today=EVENING.date(),
        )
        assert len({(one.text, one.hint) for one in choices}) == len(question.answers)
    diary.close()
