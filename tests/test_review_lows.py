from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from app.domain.clock import Period
from app.domain.glucose import Unit
from app.domain.marks import Mark
from app.domain.person import Person
from app.domain.reading import Standing
from app.review.day_spells import SpellEnd
from app.review.lows import Lows, lows_of
from app.review.lows_json import lows_as_json
from app.review.record import record_of
from app.store import schema
from app.store.diary import Diary
from app.work.note_days import note_days
from tests.households import NOW, new_diary, tilde, written

DAY = Period(date(2026, 3, 12), date(2026, 3, 12))
VALUES = {Unit.MMOL_L: ("2.9", "3.0", "3.8", "3.9", "10.0", "10.1", "13.9", "14.0", "LO", "HI")}
VALUES[Unit.MG_DL] = ("53", "54", "69", "70", "180", "181", "250", "251", "LO", "HI")


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


def lows(diary: Diary, person: Person, period: Period = DAY) -> Lows:
    return lows_of(diary, record_of(diary, person), period, now=NOW)


@given(
    st.dictionaries(
        st.integers(0, 1439),
        st.tuples(st.sampled_from(tuple(Unit)), st.integers(0, 9)),
        max_size=12,
    ),
)
@settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
def test_neither_order_nor_display_unit_changes_what_is_found(
    tmp_path: Path, there: dict[int, tuple[Unit, int]]
) -> None:
    minutes = list(there)
    orders = [sorted(minutes), minutes[::-1]]
    told = []
    for order in orders:
        folder = tmp_path / str(len(list(tmp_path.iterdir())))
        folder.mkdir()
        with new_diary(folder) as diary:
            person = tilde(diary)
            for minute in order:
                unit, place = there[minute]
                at = f"2026-03-12 {minute // 60:02d}:{minute % 60:02d}"
                written(diary, person, at, VALUES[unit][place], unit=unit)
            for unit in Unit:
                told.append(verdicts(lows(diary, replace(person, unit=unit))))

    assert all(each == told[0] for each in told)


def verdicts(found: Lows) -> object:
    """Everything that is said but for the numbers and the unit they are shown in."""
    return _without_values(lows_as_json(found))


def _without_values(part: object) -> object:
    if isinstance(part, dict):
        hidden = ("unit", "value", "below")
        return {name: _without_values(each) for name, each in part.items() if name not in hidden}
    return [_without_values(each) for each in part] if isinstance(part, list) else part


def test_a_low_that_was_set_aside_is_listed_and_counted_nowhere(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 08:00", "3.0", standing=Standing.SET_ASIDE)
    written(diary, person, "2026-03-12 08:20", "8.0", standing=Standing.SET_ASIDE)
    written(diary, person, "2026-03-12 09:00", "2.5", standing=Standing.NOT_MINE)

    found = lows(diary, person)

    assert [each.glucose.value for each in found.set_aside] == ["3"]
    assert (found.counts.n, found.counts.lows, found.spells) == (0, 0, ())
    assert found.left_out == {"set_aside": 2, "not_mine": 1}


def test_a_value_that_was_set_aside_closes_no_spell(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 08:00", "3.0")
    written(diary, person, "2026-03-12 08:20", "8.0", standing=Standing.SET_ASIDE)

    (spell,) = lows(diary, person).spells

    assert (spell.back_min, len(spell.readings)) == (None, 1)


def test_the_night_is_from_midnight_to_five_or_as_the_person_has_it(diary: Diary) -> None:
    person = tilde(diary)
    for at in ("2026-03-12 00:00", "2026-03-12 04:59", "2026-03-12 05:00", "2026-03-10 23:10"):
        written(diary, person, at, "3.5")
    three_days = Period(date(2026, 3, 10), DAY.last)
    usual = lows(diary, person, three_days)
    with diary.change("settings", {}, now=NOW, person=person) as change:
        change.add(
            schema.person_setting,
            person_id=person.id,
            key="night",
            value='{"from": 1380, "to": 360}',
        )

    own = lows(diary, person, three_days)

    assert (usual.night_lows, usual.nights_tested) == (2, 1)
    # What is before six belongs to the night that began the evening before.
    assert (own.night, own.night_lows, own.nights_tested) == ((1380, 360), 4, 2)


@pytest.mark.parametrize("value", ["", "[]", "{}", '{"from": 1380}', '{"from": 5, "to": 9999}'])
def test_a_night_that_can_not_be_read_is_the_usual_one(diary: Diary, value: str) -> None:
    person = tilde(diary)
    with diary.change("settings", {}, now=NOW, person=person) as change:
        change.add(schema.person_setting, person_id=person.id, key="night", value=value)

    assert lows(diary, person).night == (0, 300)


def test_every_slot_says_how_many_tests_could_have_shown_a_low(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:00", "3.5", Mark.WAKING)
    written(diary, person, "2026-03-12 13:00", "6.5", Mark.AFTER_LUNCH)
    written(diary, person, "2026-03-12 15:00", "3.7", Mark.CASUAL)

    rows = {each.mark: (each.lows, each.n) for each in lows(diary, person).by_mark}

    assert rows[Mark.WAKING] == (1, 1)
    assert rows[Mark.AFTER_LUNCH] == (0, 1)
    assert rows[Mark.NIGHT] == (0, 0)
    assert rows[Mark.CASUAL] == (1, 1)
    assert len(rows) == 9


def test_days_that_are_set_aside_mark_their_lows_and_leave_them_in(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 08:00", "3.0")
    note_days(
        diary, person, "sick", date(2026, 3, 10), None, now=NOW, text="a cold", set_aside=True
    )

    found = lows(diary, person)

    assert found.counts.lows == 1
    assert found.spells[0].readings[0].set_aside_day


def test_a_line_that_another_program_wrote_too_low_is_read_as_the_lowest_there_is(
    diary: Diary,
) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 08:00", "2.9")
    with diary.change("safety_line", {}, now=NOW, person=person) as change:
        change.add(schema.safety_line, person_id=person.id, from_day=1, low_mg=36.0, low_mmol=2.0)

    found = lows(diary, person)

    assert found.counts.lows == 1
    assert found.lines[0].low.in_unit(Unit.MMOL_L) == 3.0


def test_a_low_within_the_last_hour_is_open(diary: Diary) -> None:
    person = tilde(diary)
    written(diary, person, "2026-03-12 21:00", "3.0")

    (spell,) = lows(diary, person).spells

    assert (spell.ended.value, spell.next_min, spell.tested_after) == ("open", None, False)


@given(
    there=st.dictionaries(st.integers(0, 1439), st.integers(0, 9), max_size=14),
    newest=st.integers(0, 4),
)
@settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
def test_telling_only_the_newest_changes_no_sum(
    tmp_path: Path, there: dict[int, int], newest: int
) -> None:
    folder = tmp_path / str(len(list(tmp_path.iterdir())))
    folder.mkdir()
    with new_diary(folder) as diary:
        person = tilde(diary)
        for minute, place in there.items():
            at = f"2026-03-12 {minute // 60:02d}:{minute % 60:02d}"
            written(diary, person, at, VALUES[Unit.MMOL_L][place])
        record = record_of(diary, person)
        everything = lows_of(diary, record, DAY, now=NOW)
        few = lows_of(diary, record, DAY, now=NOW, newest=newest)

    sums = everything.sums
    assert few.sums == sums
    assert sums.n == len(everything.spells) == sums.closed + sums.no_recheck + sums.open
    for how in SpellEnd:
        assert everything.ended(how) == sum(each.ended is how for each in everything.spells)
    assert sums.tested_after == sum(each.tested_after for each in everything.spells)
    for told, whole, count in (
        (few.spells, everything.spells, sums.n),
        (few.highs_after, everything.highs_after, few.highs_after_count),
        (few.very_highs, everything.very_highs, few.very_highs_count),
    ):
        assert len(whole) == count
        assert told == whole[max(0, count - newest) :]
