from __future__ import annotations

import io
import tempfile
from collections import Counter
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.domain.errors import NeedsAnswer
from app.domain.glucose import converted
from app.domain.person import Person
from app.domain.reading import Reading
from app.exchange.file_read import Account
from app.exchange.recipe_toml import read_recipe
from app.exchange.table import read_table
from app.store import schema
from app.store.diary import Diary
from app.store.readings import readings_of
from app.work.bring_in import BroughtIn, File, bring_in, try_file
from app.work.people import add_person
from app.work.send_out import write_csv
from app.work.take_back import undo_last
from tests.households import NOW, new_diary, tilde, written

RECIPE = """
name = "kitchen"
unit = "mmol/L"
delimiter = "comma"
date_format = "YYYY-MM-DD"
header = false
[columns]
date = 1
time = 2
value = 3
note = 4
"""
MORNINGS = ("2026-03-01,07:00,6.2,", "2026-03-02,07:05,7.9,late", "2026-03-03,07:01,5.4,")


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


@pytest.fixture
def person(diary: Diary) -> Person:
    return tilde(diary)


def a_file(*rows: str) -> File:
    data = "".join(f"{row}\n" for row in rows).encode()
    return File("meter.csv", data, read_table(data, read_recipe(RECIPE, where="kitchen.toml")))


def take(diary: Diary, person: Person, *rows: str, now: datetime = NOW) -> BroughtIn:
    return bring_in(diary, person, a_file(*rows), now=now, recipe=("kitchen", RECIPE))


def counts(found: BroughtIn) -> tuple[int, int, int, int]:
    account = found.account
    return account.new, account.already, account.refused, account.held


def walls(diary: Diary, person: Person) -> list[str]:
    return [each.moment.wall for each in readings_of(diary, person) if each.moment]


def test_the_same_file_twice_adds_nothing(diary: Diary, person: Person) -> None:
    assert counts(take(diary, person, *MORNINGS)) == (3, 0, 0, 0)

    assert counts(take(diary, person, *MORNINGS)) == (0, 3, 0, 0)
    assert len(readings_of(diary, person)) == 3


def test_a_longer_file_adds_the_difference(diary: Diary, person: Person) -> None:
    take(diary, person, *MORNINGS[:2])

    found = take(diary, person, "2026-02-28,07:00,6.0,", *MORNINGS)

    assert counts(found) == (2, 2, 0, 0)
    assert [wall[:10] for wall in walls(diary, person)] == [
        "2026-02-28",
        "2026-03-01",
        "2026-03-02",
        "2026-03-03",
    ]


def test_two_equal_rows_of_a_file_stay_two(diary: Diary, person: Person) -> None:
    assert counts(take(diary, person, MORNINGS[0], MORNINGS[0])) == (2, 0, 0, 0)

    assert counts(take(diary, person, MORNINGS[0], MORNINGS[0])) == (0, 2, 0, 0)
    assert counts(take(diary, person, MORNINGS[0])) == (0, 1, 0, 0)
    assert counts(take(diary, person, *(MORNINGS[0],) * 3)) == (1, 2, 0, 0)


def test_a_file_turned_round_holds_the_same_rows(diary: Diary, person: Person) -> None:
    take(diary, person, *MORNINGS)

    assert counts(take(diary, person, *reversed(MORNINGS))) == (0, 3, 0, 0)


def test_a_dry_run_counts_the_same_and_writes_nothing(diary: Diary, person: Person) -> None:
    before = diary.path.read_bytes()

    tried = try_file(diary, person, a_file(*MORNINGS), now=NOW)

    assert diary.path.read_bytes() == before
    assert tried == take(diary, person, *MORNINGS)


def row_id(diary: Diary, person: Person, place: int) -> int:
    return readings_of(diary, person)[place].id


def test_what_was_done_to_rows_in_between_survives_the_file(diary: Diary, person: Person) -> None:
    take(diary, person, *MORNINGS)
    corrected, deleted, noted = (row_id(diary, person, place) for place in range(3))
    uid = readings_of(diary, person)[2].uid
    with diary.change("correct", {}, now=NOW, person=person) as change:
        change.edit(schema.reading, corrected, value="8.2", mg_dl=8.2 * 18.0156)
        change.delete(schema.reading, deleted)
        change.add(schema.note, tbl="reading", row_uid=uid.bytes, text="after the run")

    found = take(diary, person, *MORNINGS, "2026-03-04,07:00,6.6,")

    assert counts(found) == (1, 3, 0, 0)
    assert [(each.glucose.value, each.note) for each in readings_of(diary, person)] == [
        ("8.2", None),
        ("5.4", "after the run"),
        ("6.6", None),
    ]
    assert noted == row_id(diary, person, 1)


def test_taking_an_import_back_takes_its_rows_alone(diary: Diary, person: Person) -> None:
    written(diary, person, "2026-03-02 12:00", "7.2", note="typed", tags=("lunch",))
    take(diary, person, MORNINGS[0])
    take(diary, person, *MORNINGS)

    done = undo_last(diary, person, now=NOW)

    assert done.sentence == "Taken back: the import of meter.csv; 2 rows are in the bin."
    assert [each.glucose.value for each in readings_of(diary, person)] == ["6.2", "7.2"]
    assert [each.note for each in readings_of(diary, person)] == [None, "typed"]
    undo_last(diary, person, now=NOW)
    assert [each.glucose.value for each in readings_of(diary, person)] == ["7.2"]


def test_an_import_taken_back_comes_again_with_the_file(diary: Diary, person: Person) -> None:
    take(diary, person, *MORNINGS)
    before = readings_of(diary, person)
    undo_last(diary, person, now=NOW)
    assert readings_of(diary, person) == []

    found = take(diary, person, *MORNINGS)

    assert counts(found) == (3, 0, 0, 0)
    assert readings_of(diary, person) == before  # same uids, notes once, not amended
    undo_last(diary, person, now=NOW)
    assert readings_of(diary, person) == []
    assert counts(take(diary, person, *MORNINGS)) == (3, 0, 0, 0)


def test_a_restored_export_taken_back_comes_again(diary: Diary, tmp_path: Path) -> None:
    owner = tilde(diary)
    for day in (9, 10):
        written(diary, owner, f"2026-03-{day:02} 07:05", "7.2", note="n", tags=("t",))
    text = io.StringIO(newline="")
    write_csv(diary, owner, text)
    data = text.getvalue().encode()
    file = File("export.csv", data, read_table(data, None))

    with new_diary(tmp_path, "other.thimblebook") as other:
        person = tilde(other)
        for _ in range(2):
            assert counts(bring_in(other, person, file, now=NOW, recipe=None)) == (2, 0, 0, 0)
            assert [each.note for each in readings_of(other, person)] == ["n", "n"]
            assert [each.tags for each in readings_of(other, person)] == [("t",), ("t",)]
            undo_last(other, person, now=NOW)
            assert readings_of(other, person) == []


def test_a_reading_deleted_by_hand_does_not_come_back(diary: Diary, person: Person) -> None:
    take(diary, person, *MORNINGS)
    with diary.change("delete", {}, now=NOW, person=person) as change:
        change.delete(schema.reading, row_id(diary, person, 0))

    assert counts(take(diary, person, *MORNINGS)) == (0, 3, 0, 0)
    assert len(readings_of(diary, person)) == 2


def test_rows_of_one_person_are_new_for_another(diary: Diary, person: Person) -> None:
    bram = add_person(diary, "Bram", unit="mmol/L", zone="Europe/Lisbon", now=NOW)
    take(diary, person, *MORNINGS)

    assert counts(take(diary, bram, *MORNINGS)) == (3, 0, 0, 0)


@pytest.mark.parametrize(
    ("row", "why"),
    [
        ("2026-03-12,21:41,7.2,", "the time lies in the future"),
        ("2099-01-01,07:00,7.2,", "the time lies in the future"),
        ("2026-03-01,07:00,0.5,", "0.5 mmol/L is under 10 mg/dL (0.6 mmol/L)"),
        ("2026-03-01,07:00,55.6,", "55.6 mmol/L is over 1,000 mg/dL (55.5 mmol/L)"),
    ],
)
def test_what_is_more_likely_a_slip_waits_for_a_person(
    diary: Diary, person: Person, row: str, why: str
) -> None:
    found = take(diary, person, row, *MORNINGS)

    assert counts(found) == (3, 0, 0, 1)
    (held,) = found.held
    assert held.line == 1
    assert held.why.startswith(why)
    assert row.split(",")[2] in held.text


def test_a_clock_ten_minutes_ahead_is_taken(diary: Diary, person: Person) -> None:
    assert counts(take(diary, person, "2026-03-12,21:40,7.2,")) == (1, 0, 0, 0)


def test_what_was_held_comes_in_when_its_time_has_come(diary: Diary, person: Person) -> None:
    take(diary, person, *MORNINGS, "2026-03-13,07:00,7.2,")

    found = take(diary, person, *MORNINGS, "2026-03-13,07:00,7.2,", now=NOW + timedelta(days=1))

    assert counts(found) == (1, 3, 0, 0)


def states(diary: Diary, person: Person) -> list[tuple[str, int, str]]:
    return [
        (each.moment.wall[11:], each.moment.offset_min, each.time_state)
        for each in readings_of(diary, person)
        if each.moment
    ]


def test_a_time_in_the_skipped_hour_is_kept_as_written_and_flagged(
    diary: Diary, person: Person
) -> None:
    found = take(diary, person, "2025-03-30,00:59,7.2,", "2025-03-30,01:30,7.3,",
                 "2025-03-30,02:00,7.4,")  # fmt: skip

    assert found.flagged == {"gap": 1}
    # By the offset before the change, 01:30 is the instant that the clock on the wall called 02:30.
    assert sorted(states(diary, person)) == [
        ("00:59", 0, "sure"),
        ("01:30", 0, "gap"),
        ("02:00", 60, "sure"),
    ]


AUTUMN = (
    ("2025-10-26,00:50,5.0,", ("00:50", 60, "sure")),
    ("2025-10-26,01:10,5.1,", ("01:10", 60, "overlap")),
    ("2025-10-26,01:50,5.2,", ("01:50", 60, "overlap")),
    ("2025-10-26,01:10,5.3,", ("01:10", 0, "sure")),
    ("2025-10-26,01:55,5.4,", ("01:55", 0, "sure")),
    ("2025-10-26,02:05,5.5,", ("02:05", 0, "sure")),
)


@pytest.mark.parametrize("newest_first", [False, True])
def test_the_order_of_the_file_tells_the_two_hours_apart(
    diary: Diary, person: Person, newest_first: bool
) -> None:
    rows = [row for row, _ in AUTUMN]

    found = take(diary, person, *(reversed(rows) if newest_first else rows))

    assert found.flagged == {"overlap": 2}
    assert states(diary, person) == [state for _, state in AUTUMN]
    assert [each.glucose.value for each in readings_of(diary, person)] == [
        "5.0", "5.1", "5.2", "5.3", "5.4", "5.5",
    ]  # fmt: skip


def test_an_hour_that_came_twice_without_a_sign_is_the_first_and_flagged(
    diary: Diary, person: Person
) -> None:
    found = take(diary, person, "2025-10-26,01:10,5.1,", "2025-10-26,07:00,5.2,")

    assert found.flagged == {"overlap": 1}
    assert states(diary, person)[0] == ("01:10", 60, "overlap")


def test_the_second_hour_of_one_year_says_nothing_of_the_next(diary: Diary, person: Person) -> None:
    take(diary, person, "2024-10-27,01:40,5.0,", "2024-10-27,01:10,5.1,", "2024-11-01,07:00,5.2,",
         "2025-10-26,01:10,5.3,")  # fmt: skip

    assert states(diary, person)[-1] == ("01:10", 60, "overlap")


def test_a_meter_whose_clock_began_anew_does_not_turn_the_file_round(
    diary: Diary, person: Person
) -> None:
    rows = [row for row, _ in AUTUMN]

    take(diary, person, *rows, "2020-01-01,00:20,6.1,", "2020-01-01,04:20,6.2,")

    assert states(diary, person)[2:] == [state for _, state in AUTUMN]


def test_a_question_stands_before_every_row(diary: Diary, person: Person) -> None:
    data = b"Date,Time,Glucose\n03/04/2025,07:00,22\n"
    before = diary.path.read_bytes()

    with pytest.raises(NeedsAnswer) as asked:
        bring_in(diary, person, File("x", data, read_table(data, None)), now=NOW, recipe=None)

    assert {question.kind for question in asked.value.questions} == {"date_order", "unit"}
    assert diary.path.read_bytes() == before


def test_an_import_that_fails_half_way_leaves_no_trace(
    diary: Diary, person: Person, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = readings_of(diary, person)

    def fails(*_: object) -> None:
        raise OSError("the disk went away")

    with monkeypatch.context() as patched:
        patched.setattr("app.store.imports.bring_back", fails)
        with pytest.raises(OSError, match="went away"):
            take(diary, person, *MORNINGS)

    assert readings_of(diary, person) == before
    assert counts(take(diary, person, *MORNINGS)) == (3, 0, 0, 0)


def test_an_account_that_does_not_add_up_is_our_bug() -> None:
    with pytest.raises(ValueError, match="does not add up"):
        Account(seen=3, new=1, already=1, refused=0, held=0)


dates = st.dates(datetime(2019, 1, 1).date(), datetime(2027, 1, 1).date()).map(str)  # noqa: DTZ001
cells = st.tuples(
    dates | st.sampled_from(("2026-02-30", "", "2025-10-26", "2025-03-30", "x")),
    st.times().map(lambda at: at.strftime("%H:%M")) | st.sampled_from(("25:00", "01:30", "")),
    st.decimals("0.1", "70", places=1).map(str) | st.sampled_from(("LO", "HI", "nan", "", "1_0")),
    st.sampled_from(("", "n", '"q', "a,b", "\x1b")),
)
lines = st.lists(cells.map(",".join) | st.text('0123456789,:-.;" \t', max_size=12), max_size=25)


# So many plain rows that no odd ones put the shape or the unit of the table in question.
TABLE = tuple(f"2026-01-{1 + at // 4:02},{6 * (at % 4):02}:00,6.2," for at in range(100))


@settings(max_examples=60, deadline=None)
@given(lines, st.lists(st.integers(0, 24), max_size=10), lines)
def test_every_row_of_any_file_is_accounted_for(
    rows: list[str], again: list[int], more: list[str]
) -> None:
    first = [*TABLE, *rows, *(rows[at] for at in again if at < len(rows))]
    with tempfile.TemporaryDirectory() as folder, new_diary(Path(folder)) as diary:
        person = tilde(diary)

        one = take(diary, person, *first)
        twice = take(diary, person, *first)
        longer = take(diary, person, *first, *more)
        found = readings_of(diary, person)

    for each in (one, twice, longer):
        account = each.account
        assert account.seen == account.new + account.already + account.refused + account.held
        assert (len(each.refused), len(each.held)) == (account.refused, account.held)
        assert sum(each.kinds.values()) == account.new
    assert one.account.already == 0
    assert (twice.account.new, twice.account.already) == (0, one.account.new)
    assert twice.refused == one.refused
    assert longer.account.already >= one.account.new - len(more)  # a quote may swallow what follows
    assert len(found) == one.account.new + longer.account.new
    assert all(is_true_to_its_value(each) for each in found)
    assert max(Counter(each.uid for each in found).values()) == 1


def is_true_to_its_value(each: Reading) -> bool:
    number = each.glucose.number
    if number is None:
        return each.glucose.mg_dl is None
    return each.glucose.mg_dl == converted(number, each.glucose.unit, type(each.glucose.unit).MG_DL)
