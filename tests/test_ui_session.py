from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from app.domain.clock import Period
from app.store.diary import Diary
from app.ui.said import Said
from app.ui.session import Session
from app.work.people import add_person
from app.work.take_back import undo_last
from tests.commands import Terminal
from tests.households import NOW, corwin, new_diary, tilde, written


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


@pytest.fixture
def session(diary: Diary, qapp: object) -> Iterator[Session]:
    tilde(diary)
    made = Session(diary, lambda: NOW, None)
    yield made
    made.close()


def test_a_save_is_taken_in_and_told(session: Session, qtbot: QtBot) -> None:
    written(session.diary, session.person, "2026-03-12 07:05", "7.6")

    with qtbot.waitSignals([session.record_changed, session.said], timeout=1000):
        session.changed(Said("Saved 7.6 mmol/L."))

    assert session.record.columns.entered.tolist() == [7.6]


def test_what_a_command_changes_is_followed(session: Session, qtbot: QtBot) -> None:
    terminal = Terminal(session.diary.path.parent)
    terminal.ok("add", "2.9 night")

    with qtbot.waitSignal(session.record_changed, timeout=1000):
        session.follow()

    assert session.record.columns.entered.tolist() == [2.9]


def test_with_nothing_changed_nothing_is_drawn_anew(session: Session, qtbot: QtBot) -> None:
    with qtbot.assertNotEmitted(session.record_changed):
        session.follow()


def test_another_person_has_other_readings(session: Session, qtbot: QtBot) -> None:
    adult = corwin(session.diary)
    written(session.diary, adult, "2026-03-12 06:10", "155")

    with qtbot.waitSignal(session.person_changed, timeout=1000):
        session.choose(adult)

    assert session.person.name == "Corwin"
    assert session.record.columns.entered.tolist() == [155.0]


def test_a_person_taken_back_by_undo_gives_way_to_the_other(session: Session) -> None:
    adult = corwin(session.diary)
    session.choose(adult)

    undo_last(session.diary, adult, now=NOW)
    session.changed()

    assert session.person.name == "Tilde"


def test_an_empty_diary_has_nobody_until_somebody_is_added(diary: Diary, qapp: object) -> None:
    session = Session(diary, lambda: NOW, None)
    nobody = session.has_person

    add_person(diary, "Corwin", unit="mg/dL", zone="America/Chicago", now=NOW)
    session.changed()

    assert not nobody
    assert session.person.name == "Corwin"
    session.close()


def test_the_period_ends_today_unless_another_day_was_chosen(session: Session) -> None:
    assert session.period == Period(date(2026, 2, 11), date(2026, 3, 12))

    session.show_days(7, date(2026, 3, 1))
    week = session.period
    session.show_period(Period(date(2026, 1, 1), date(2026, 1, 5)))

    assert week == Period(date(2026, 2, 23), date(2026, 3, 1))
    assert (session.period.days, session.days) == (5, None)


def test_an_old_diary_is_opened_where_its_readings_are(diary: Diary, qapp: object) -> None:
    person = tilde(diary)
    written(diary, person, "2025-08-31 07:05", "7.6")

    session = Session(diary, lambda: NOW, None)

    assert session.day == date(2025, 8, 31)
    assert session.period == Period(date(2025, 8, 2), date(2025, 8, 31))
    session.close()


def test_a_window_that_opens_begins_with_the_newest_days(diary: Diary, qtbot: QtBot) -> None:
    person = tilde(diary)
    for day in ("2025-06-01", "2026-03-01", "2026-03-12"):
        written(diary, person, f"{day} 07:05", "7.6")
    session = Session(diary, lambda: NOW, None, newest_days=90)
    newest = session.record

    with qtbot.waitSignal(session.record_changed, timeout=2000):
        session.follow()

    assert (len(newest.columns), newest.whole) == (2, False)
    assert (len(session.record.columns), session.record.whole) == (3, True)
    session.close()


def test_who_needs_all_days_has_them_at_once(diary: Diary, qapp: object) -> None:
    person = tilde(diary)
    written(diary, person, "2025-06-01 07:05", "7.6")
    written(diary, person, "2026-03-12 07:05", "7.6")
    session = Session(diary, lambda: NOW, None, newest_days=90)

    session.show_day(date(2025, 6, 1))

    assert session.record.whole
    assert session.all_days().first == date(2025, 6, 1)
    session.close()


def test_newest_days_are_those_up_to_the_last_reading(diary: Diary, qapp: object) -> None:
    person = tilde(diary)
    for wall in ("2019-01-01 07:05", "2020-06-01 07:05", "2020-06-02 07:05"):
        written(diary, person, wall, "7.6")

    session = Session(diary, lambda: NOW, None, newest_days=90)

    assert len(session.record.columns) == 2
    assert session.day == date(2020, 6, 2)
    session.close()
