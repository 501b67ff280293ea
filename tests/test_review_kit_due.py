"""What is due about the kit, of the two invented households on days of their year."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from app.domain.clock import moment_at
from app.domain.follow_ups import KIT, KitDue
from app.domain.labs import read_lab
from app.domain.person import Person
from app.review.kit_due import LAB_DAYS, kit_dues_of
from app.review.record import record_of
from app.review.reminders import Reminders, reminders_of, said_words
from app.review.schedule import ground_of
from app.statistics.schedule.remind import Clocks, look
from app.store.diary import Diary
from app.work.follow_ups import close_due, set_follow_rule
from app.work.note_down import note_lab
from tests.households import new_diary, sample_of, tilde


def dues_on(folder: Path, name: str, when: datetime) -> dict[str, KitDue]:
    """By the code in the middle of each key; of one code the last."""
    with sample_of(folder, name) as (diary, person):
        found = kit_dues_of(diary, record_of(diary, person), now=when)
    return {each.key.split("/")[1]: each for each in found}


def reminders(diary: Diary, person: Person, now: datetime) -> Reminders:
    record = record_of(diary, person)
    kit = kit_dues_of(diary, record, now=now)
    return reminders_of(diary, record, ground_of(diary, person), now=now, kit=kit)


def test_a_vial_out_of_date_is_due_since_the_day_after_its_last_good_one(tmp_path: Path) -> None:
    found = dues_on(tmp_path, "Corwin", datetime(2026, 7, 3, 20, tzinfo=UTC))["lapsed"]

    assert found.due_day == date(2025, 12, 20).toordinal()
    assert found.urgent is True
    assert "out of date" in found.title
    assert "label" in found.source


def test_a_failed_control_test_is_due_with_its_source(tmp_path: Path) -> None:
    found = dues_on(tmp_path, "Tilde", datetime(2026, 3, 13, 19, 20, tzinfo=UTC))["failed"]

    assert found.title == "Control test failed: 9 readings in doubt"
    assert found.source.startswith("The range printed")


@pytest.mark.parametrize("hours", [1, 24, 48])
def test_the_key_of_a_due_is_the_same_on_the_days_after(tmp_path: Path, hours: int) -> None:
    first = dues_on(tmp_path, "Corwin", datetime(2026, 7, 1, 9, tzinfo=UTC))["lapsed"]
    (tmp_path / "later").mkdir()
    later = dues_on(tmp_path / "later", "Corwin", datetime(2026, 7, 1, 9 + hours % 12, tzinfo=UTC))

    assert later["lapsed"].key == first.key


def test_every_due_of_a_year_has_a_source_and_words(tmp_path: Path) -> None:
    codes = set()
    with sample_of(tmp_path, "Tilde") as (diary, person):
        record = record_of(diary, person)
        for month in range(1, 9):
            now = datetime(2026, month, 5, 20, tzinfo=UTC)
            for each in kit_dues_of(diary, record, now=now):
                codes.add(each.key.split("/")[1])
                assert each.source
                assert each.says
                assert each.due_day <= now.date().toordinal()

    assert {"lapsed", "control_due"} & codes


def test_a_laboratory_a1c_is_due_half_a_year_after_the_last_one(tmp_path: Path) -> None:
    wall = datetime.fromisoformat("2026-03-10T09:00")
    with new_diary(tmp_path) as diary:
        person = tilde(diary)
        at = moment_at(wall, "Europe/Lisbon", 0)
        before = datetime(2026, 3, 11, tzinfo=UTC)
        note_lab(diary, person, read_lab("7.4 %"), at, now=before)
        due = date.fromordinal(wall.toordinal() + LAB_DAYS)

        day_before = datetime(due.year, due.month, due.day - 1, 12, tzinfo=UTC)
        then = datetime(due.year, due.month, due.day, 12, tzinfo=UTC)
        record = record_of(diary, person)
        early = kit_dues_of(diary, record, now=day_before)
        (found,) = kit_dues_of(diary, record, now=then)

    assert early == ()
    assert found.title == "A1C from the laboratory: the last is of 10 Mar 2026"
    assert found.due_day == due.toordinal()


def test_without_a_laboratory_value_none_is_due(tmp_path: Path) -> None:
    with new_diary(tmp_path) as diary:
        person = tilde(diary)

        assert (
            kit_dues_of(diary, record_of(diary, person), now=datetime(2030, 1, 1, tzinfo=UTC)) == ()
        )


def test_the_kit_is_reminded_of_once_without_a_time_of_day(tmp_path: Path) -> None:
    now = datetime(2026, 7, 3, 20, tzinfo=UTC)
    with sample_of(tmp_path, "Corwin") as (diary, person):
        found = reminders(diary, person, now)
    kit = [each for each in found.items if each.follow_up and each.follow_up.kind == KIT]

    seen = look(found.dues, Clocks(int(now.timestamp()), 0.0), is_quiet=found.is_quiet)
    again = look(
        found.dues, Clocks(int(now.timestamp()) + 30, 30.0), seen.memory, is_quiet=found.is_quiet
    )

    said = {each.due.key for each in seen.say}
    assert {each.due.key for each in kit} <= said
    assert not {each.due.key for each in again.say} & said
    assert all("due at" not in said_words(each, found.wishes, was_due=True) for each in kit)


def test_what_was_put_away_about_the_kit_stays_away(tmp_path: Path) -> None:
    now = datetime(2026, 7, 3, 20, tzinfo=UTC)
    next_day = datetime(2026, 7, 4, 20, tzinfo=UTC)
    with sample_of(tmp_path, "Corwin") as (diary, person):
        before = reminders(diary, person, now)
        lapsed = next(each for each in before.items if each.due.key.startswith("kit/lapsed"))
        close_due(diary, person, lapsed.due.key, lapsed.name, now=now)
        after = reminders(diary, person, next_day).by_key(lapsed.due.key)

    assert after.due.closed is True


def test_who_switched_the_kit_off_is_reminded_of_none_of_it(tmp_path: Path) -> None:
    now = datetime(2026, 7, 3, 20, tzinfo=UTC)
    with sample_of(tmp_path, "Corwin") as (diary, person):
        set_follow_rule(diary, person, KIT, now=now, on=False)
        found = reminders(diary, person, now)

    assert not [each for each in found.items if each.follow_up and each.follow_up.kind == KIT]
