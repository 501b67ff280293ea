from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from app.domain.follow_ups import KitDue, ReminderWishes
from app.domain.person import Person
from app.domain.plan_files import read_plan
from app.domain.reading import Standing
from app.review.record import record_of
from app.review.reminders import Reminders, missed_words, reminders_of, said_words
from app.review.schedule import ground_of
from app.statistics.schedule.remind import Clocks, look
from app.statistics.schedule.settle import State
from app.store.diary import Diary
from app.store.follow_ups import due_states_of
from app.work.follow_ups import close_due, note_shown, snooze
from app.work.history import next_steps
from app.work.plan import set_plan
from app.work.reminding import set_reminders
from app.work.take_back import undo_last
from tests.households import corwin, new_diary, tilde, written

NOW = datetime(2026, 3, 12, 3, 10, tzinfo=UTC)  # the small hours in Lisbon


@pytest.fixture
def held(tmp_path: Path) -> Iterator[tuple[Diary, Person]]:
    with new_diary(tmp_path) as diary:
        yield diary, tilde(diary)


def those(held: tuple[Diary, Person], now: datetime = NOW, *kit: KitDue) -> Reminders:
    diary, person = held
    return reminders_of(diary, record_of(diary, person), ground_of(diary, person), now=now, kit=kit)


def kinds(found: Reminders) -> list[str]:
    return [each.follow_up.kind for each in found.items if each.follow_up]


def test_a_low_that_was_set_aside_or_is_somebody_elses_asks_for_nothing(
    held: tuple[Diary, Person],
) -> None:
    written(*held, "2026-03-12T02:50", "3.0", standing=Standing.SET_ASIDE)
    written(*held, "2026-03-12T02:55", "3.0", standing=Standing.NOT_MINE)

    assert kinds(those(held)) == []


def test_what_is_not_mine_answers_no_recheck(held: tuple[Diary, Person]) -> None:
    written(*held, "2026-03-12T02:50", "3.0")
    written(*held, "2026-03-12T03:06", "5.0", standing=Standing.NOT_MINE)

    assert "low_recheck" in kinds(those(held))


@pytest.mark.parametrize("value", ["LO", "<1.1", "3.8"])
def test_every_result_below_the_line_asks(held: tuple[Diary, Person], value: str) -> None:
    written(*held, "2026-03-12T02:50", value)

    assert "low_recheck" in kinds(those(held))


def test_a_limit_is_held_in_the_unit_of_the_reading(tmp_path: Path) -> None:
    with new_diary(tmp_path) as diary:
        person = corwin(diary)
        now = datetime(2026, 3, 12, 15, 0, tzinfo=UTC)
        written(diary, person, "2026-03-12T09:40", "70")
        assert kinds(those((diary, person), now)) == []
        written(diary, person, "2026-03-12T09:45", "69")
        found = those((diary, person), now)

    recheck = next(x.follow_up for x in found.items if x.follow_up and "low-rec" in x.due.key)
    assert recheck is not None
    assert "Still below 70 mg/dL" in recheck.says[0]


def test_the_caution_of_a_low_is_said_once_and_showing_it_is_no_step_of_undo(
    held: tuple[Diary, Person],
) -> None:
    diary, person = held
    written(diary, person, "2026-03-12T03:08", "3.0")
    before = next_steps(diary, person).undo
    first = look(those(held).dues, Clocks(int(NOW.timestamp()), 0.0))
    keys = [each.due.key for each in first.say]

    shown = note_shown(diary, person, keys, now=NOW)
    again = note_shown(diary, person, keys, now=NOW)
    # The program was closed and began anew.
    second = look(those(held).dues, Clocks(int(NOW.timestamp()) + 60, 0.0))

    assert [key.partition("/")[0] for key in keys] == ["low-caution"]
    assert (shown, again, second.say) == (1, 0, ())
    assert next_steps(diary, person).undo == before
    undo_last(diary, person, now=NOW)
    assert kinds(those(held)) == []
    assert next_steps(diary, person).redo is not None


def test_a_key_is_kept_once_for_each_person(held: tuple[Diary, Person]) -> None:
    diary, person = held
    other = corwin(diary)

    note_shown(diary, person, ["plan/1/x", "plan/1/x"], now=NOW)
    snooze(diary, person, "plan/1/x", "waking", until=NOW + timedelta(minutes=10), now=NOW)
    close_due(diary, person, "plan/1/x", "waking", now=NOW)
    note_shown(diary, other, ["plan/1/x"], now=NOW)

    assert list(due_states_of(diary, person)) == ["plan/1/x"]
    assert due_states_of(diary, person)["plan/1/x"].how == "closed"
    assert due_states_of(diary, other)["plan/1/x"].closed_at is None
    undo_last(diary, person, now=NOW)
    state = due_states_of(diary, person)["plan/1/x"]
    assert (state.closed_at, state.snoozed_to) == (None, int(NOW.timestamp()) + 600)


def test_a_snoozed_one_is_said_after_it_and_not_again_after_a_new_start(
    held: tuple[Diary, Person],
) -> None:
    diary, person = held
    written(diary, person, "2026-03-12T02:50", "3.0")
    key = next(each.due.key for each in those(held).items if each.due.key.startswith("low-rec"))
    note_shown(diary, person, [each.due.key for each in those(held).items], now=NOW)
    snooze(diary, person, key, "recheck", until=NOW + timedelta(minutes=5), now=NOW)

    at = int(NOW.timestamp())
    during = look(those(held).dues, Clocks(at + 60, 0.0))
    after = look(those(held).dues, Clocks(at + 300, 240.0), during.memory)
    note_shown(diary, person, [key], now=NOW + timedelta(minutes=5))
    anew = look(those(held).dues, Clocks(at + 360, 0.0))

    assert [each.due.key for each in (*during.say, *after.say, *anew.say)] == [key]


def test_planned_tests_and_follow_ups_stand_together_with_words(
    held: tuple[Diary, Person],
) -> None:
    diary, person = held
    plan = read_plan('[[tests]]\nat = "03:00"\nmark = "night"\n', date(2026, 3, 11), None)
    set_plan(diary, person, plan, now=NOW)
    written(diary, person, "2026-03-12T00:20", "3.0")

    found = those(held)
    looked = look(found.dues, Clocks(int(NOW.timestamp()), 0.0))
    planned = next(each for each in looked.say if found.by_key(each.due.key).planned)

    words = said_words(found.by_key(planned.due.key), found.wishes, was_due=planned.was_due)
    assert words == "Test now: night. It was due at 03:00."
    lines = [missed_words(found, each) for each in looked.missed]
    assert "Wed 11 Mar: night was due at 03:00; nothing is written." not in lines  # a day ago
    assert "Thu 12 Mar: recheck after a low was due at 00:35; nothing is written." in lines
    assert len(lines) == len({(each.rule, each.day) for each in looked.missed})


def test_without_values_no_number_is_said(held: tuple[Diary, Person]) -> None:
    diary, person = held
    written(diary, person, "2026-03-12T02:50", "3.0")
    set_reminders(diary, person, ReminderWishes(with_values=False), now=NOW)

    found = those(held)
    at = int(NOW.timestamp())
    said = [said_words(each, found.wishes, was_due=False) for each in found.items]
    missed = look(found.dues, Clocks(at + 8 * 3600, 0.0)).missed

    assert said
    assert not [text for text in said if any(letter.isdigit() for letter in text)]
    assert not [each for each in missed if "3.0" in missed_words(found, each)]


def test_quiet_hours_run_over_midnight_by_the_clocks_of_the_place(
    held: tuple[Diary, Person],
) -> None:
    diary, person = held
    set_reminders(diary, person, ReminderWishes(quiet=(22 * 60, 390)), now=NOW)

    found = those(held)
    quiet = {
        hour: found.is_quiet(int(datetime(2026, 7, 1, hour, 15, tzinfo=UTC).timestamp()))
        for hour in (4, 6, 20, 21, 23)  # an hour later on the clocks of a summer in Lisbon
    }
    assert quiet == {4: True, 6: False, 20: False, 21: True, 23: True}


def test_what_is_due_about_the_kit_comes_in_the_morning_of_its_day(
    held: tuple[Diary, Person],
) -> None:
    today = date(2026, 3, 12).toordinal()
    vial = KitDue(
        "kit/vial/1/2026-03-12", "The vial is out of date", today, "the label", ("Look.",)
    )

    found = those(held, NOW, vial)
    later = those(held, NOW.replace(hour=9), vial)

    states = [each.follow_up.state for each in (*found.items, *later.items) if each.follow_up]
    assert states == [State.UPCOMING, State.DUE]
    assert found.items[0].title == "The vial is out of date"
    assert found.items[0].follow_up
    assert found.items[0].follow_up.care_team_line.startswith("General information.")
    assert look(found.dues, Clocks(int(NOW.timestamp()), 0.0)).say == ()


def test_a_recheck_keeps_its_real_minutes_when_the_clocks_change(
    held: tuple[Diary, Person],
) -> None:
    # In Lisbon the clocks go from 01:00 to 02:00 on 29 March 2026.
    written(*held, "2026-03-29T00:50", "3.0")

    found = those(held, datetime(2026, 3, 29, 0, 55, tzinfo=UTC))

    recheck = next(each for each in found.items if each.due.key.startswith("low-recheck"))
    assert recheck.wall.isoformat() == "2026-03-29T02:05:00"
    assert recheck.due.at == int(datetime(2026, 3, 29, 1, 5, tzinfo=UTC).timestamp())


def test_a_clock_that_was_set_back_does_not_lose_the_recheck(held: tuple[Diary, Person]) -> None:
    written(*held, "2026-03-12T03:05", "3.0")
    at = int(NOW.timestamp())
    first = look(those(held).dues, Clocks(at, 0.0))

    back = NOW - timedelta(hours=2)
    found = those(held, back + timedelta(minutes=10))
    later = look(found.dues, Clocks(at - 7200 + 600, 600.0), first.memory)

    assert [each.due.key.partition("/")[0] for each in later.say] == ["low-recheck"]
