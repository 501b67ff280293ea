"""What is due of the kit, as rows and reminders, from the two invented households."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from app.domain.clock import moment_at
from app.domain.follow_ups import KIT, FollowRule, KitDue, follow_texts
from app.domain.labs import LabResult
from app.domain.person import Person
from app.review.kit_dues import kit_dues_of, lab_due
from app.review.record import record_of
from app.review.reminders import reminders_of, said_words
from app.review.schedule import ground_of
from app.statistics.schedule.remind import Clocks, look
from app.store.diary import Diary
from app.store.happenings import labs_of
from app.work.follow_ups import note_shown, set_follow_rule, snooze
from app.work.note_down import note_lab
from tests.households import new_diary, sample_of, tilde

FAILED_DAY = datetime(2026, 3, 13, 19, 20, tzinfo=UTC)
JUDGING = ("good", "bad", "well done", "must", "should have", "forgot", "insulin", "safe")


def dues_on(folder: Path, name: str, now: datetime) -> tuple[KitDue, ...]:
    with sample_of(folder, name) as (diary, person):
        return kit_dues_of(diary, person, now=now)


@pytest.mark.parametrize(
    ("name", "now", "code"),
    [
        ("Tilde", FAILED_DAY, "failed"),
        ("Corwin", datetime(2026, 7, 3, 20, tzinfo=UTC), "lapsed"),
        ("Corwin", datetime(2026, 5, 7, 14, tzinfo=UTC), "control_due"),
    ],
)
def test_each_warning_of_the_kit_is_due_with_its_source(
    tmp_path: Path, name: str, now: datetime, code: str
) -> None:
    found = [each for each in dues_on(tmp_path, name, now) if each.key.split("/")[1] == code]

    assert found
    assert all(each.source == follow_texts()[KIT]["sources"][code] for each in found)
    assert all(date.fromordinal(each.due_day) <= now.date() for each in found)


def test_through_the_year_each_key_stands_once_and_words_stay_neutral(tmp_path: Path) -> None:
    codes = set()
    with sample_of(tmp_path, "Corwin") as (diary, person):
        record = record_of(diary, person)
        for week in range(52):
            now = datetime(2025, 9, 1, 12, tzinfo=UTC) + timedelta(days=7 * week)
            dues = kit_dues_of(diary, person, now=now, record=record)
            keys = [each.key for each in dues]
            assert len(keys) == len(set(keys))
            codes |= {key.split("/")[1] for key in keys}
            said = " ".join(" ".join((each.title, *each.says)) for each in dues).casefold()
            said = said.replace("last good day", "")  # what a label prints
            assert not [word for word in JUDGING if word in said]

    assert {"lapsed", "control_due", "strips", "solution"} <= codes


def test_a_key_stays_while_the_days_go_on(tmp_path: Path) -> None:
    with sample_of(tmp_path, "Tilde") as (diary, person):
        first, later = (
            {each.key for each in kit_dues_of(diary, person, now=FAILED_DAY + timedelta(days=days))}
            for days in (0, 1)
        )

    assert first
    assert first <= later


def with_lab(folder: Path, days: tuple[date, ...]) -> tuple[tuple[KitDue, ...], Person]:
    with new_diary(folder) as diary:
        person = tilde(diary)
        now = datetime(2026, 3, 12, 12, tzinfo=UTC)
        for day in days:
            at = moment_at(datetime.fromisoformat(f"{day}T09:00"), "Europe/Lisbon", 0)
            note_lab(diary, person, LabResult("a1c", "7.4", "%"), at, now=now)
        today = date(2026, 3, 12).toordinal()
        rule = FollowRule(KIT, on=False, limits={"lab_days": 90})
        return lab_due(labs_of(diary, person), rule, person, today=today), person


def test_another_lab_value_is_due_so_many_days_after_the_last(tmp_path: Path) -> None:
    due, _ = with_lab(tmp_path / "a", (date(2025, 6, 1), date(2025, 12, 12)))
    not_yet, _ = with_lab(tmp_path / "b", (date(2025, 6, 1), date(2025, 12, 13)))
    never_one, _ = with_lab(tmp_path / "c", ())

    assert [each.key for each in due] == ["kit/lab/2025-12-12"]
    assert due[0].says == ("The last one is of 2025-12-12, 90 days ago.",)
    assert (not_yet, never_one) == ((), ())


def said_at(diary: Diary, person: Person, now: datetime) -> list[str]:
    """What the engine would say at a time, with nothing remembered."""
    kit = kit_dues_of(diary, person, now=now)
    found = reminders_of(
        diary, record_of(diary, person), ground_of(diary, person), now=now, kit=kit, as_of=True
    )
    clocks = Clocks(int(now.timestamp()), 0.0)
    return [
        said_words(found.by_key(say.due.key), found.wishes, was_due=say.was_due)
        for say in look(found.dues, clocks, is_quiet=found.is_quiet).say
        if say.due.rule == KIT
    ]


def test_the_kit_is_said_once_where_it_was_chosen_and_else_listed_alone(tmp_path: Path) -> None:
    now = FAILED_DAY
    with sample_of(tmp_path, "Tilde") as (diary, person):
        before = said_at(diary, person, now)
        key = kit_dues_of(diary, person, now=now)[0].key
        snooze(diary, person, key, "the kit", until=now + timedelta(minutes=10), now=now)
        asked_for = said_at(diary, person, now + timedelta(minutes=11))
        set_follow_rule(diary, person, KIT, now=now, on=True)
        chosen = said_at(diary, person, now + timedelta(minutes=11))
        keys = [each.key for each in kit_dues_of(diary, person, now=now)]
        note_shown(diary, person, keys, now=now + timedelta(minutes=12))
        after = said_at(diary, person, now + timedelta(minutes=13))

    assert before == []
    assert [each.partition(".")[0] for each in asked_for] == [
        "Control test failed: 9 readings in doubt"
    ]
    assert len(chosen) == len(keys)
    assert after == []
