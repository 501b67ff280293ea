from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from app.domain.glucose import Unit
from app.domain.person import Person
from app.domain.reading import Standing
from app.review.rounding import HINT, Rounding, rounding_of
from app.store.diary import Diary
from app.store.typed_values import typed_values
from tests.households import NOW, corwin, new_diary, tilde, written


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


def looked_at(person: Person, counts: list[int], unit: Unit = Unit.MG_DL) -> Rounding:
    """So many typed values with each last digit from 0 to 9."""
    text = "1{}" if unit is Unit.MG_DL else "7.{}"
    return rounding_of(person, [(text.format(d), unit, n) for d, n in enumerate(counts)])


def test_many_values_that_end_in_0_or_5_are_told_in_neutral_words(diary: Diary) -> None:
    (found,) = looked_at(corwin(diary), [30, 5, 6, 7, 5, 24, 6, 5, 7, 5]).units

    assert found.hint == HINT
    assert HINT == "many values end in 0 or 5; rounding when writing down?"
    assert (found.n, found.digits.round_count, found.expected) == (100, 54, 20)


@pytest.mark.parametrize(
    "counts",
    [
        [12, 9, 11, 8, 10, 13, 9, 10, 8, 10],  # 25 of 100: chance
        [30, 0, 0, 0, 0, 19, 0, 0, 0, 0],  # 49 values: too few to say
        [1200, 1000, 1000, 1000, 1000, 1200, 1000, 1000, 1000, 600],  # 24 of 100: not many
    ],
)
def test_where_chance_would_do_or_readings_are_few_nothing_is_told(
    diary: Diary, counts: list[int]
) -> None:
    (found,) = looked_at(corwin(diary), counts).units

    assert found.hint is None


def test_too_few_values_say_what_is_missing(diary: Diary) -> None:
    (found,) = looked_at(corwin(diary), [49]).units

    assert found.missing is not None
    assert found.missing.why == "needs 50 readings; there are 49 readings"


def test_a_whole_number_in_mmol_ends_in_0_and_finer_ones_are_left_out(diary: Diary) -> None:
    typed = [("5", Unit.MMOL_L, 3), ("5.5", Unit.MMOL_L, 2), ("5.60", Unit.MMOL_L, 1),
             ("5.55", Unit.MMOL_L, 4), ("110.5", Unit.MG_DL, 1)]  # fmt: skip

    in_mg, in_mmol = rounding_of(tilde(diary), typed).units

    assert in_mmol.digits.counts == (3, 0, 0, 0, 0, 2, 1, 0, 0, 0)
    assert (in_mmol.finer, in_mg.finer, in_mg.n) == (4, 1, 0)


def test_only_values_that_were_typed_for_this_person_are_looked_at(diary: Diary) -> None:
    person, other = corwin(diary), tilde(diary)
    written(diary, person, "2026-03-10 07:00", "110")
    written(diary, person, "2026-03-10 08:00", "110")
    written(diary, person, "2026-03-10 09:00", "HI")
    written(diary, person, "2026-03-10 10:00", "120", standing=Standing.NOT_MINE)
    written(diary, person, "2026-03-10 11:00", "6.5", unit=Unit.MMOL_L)
    written(diary, other, "2026-03-10 12:00", "5.5")
    with diary.change("enter", {}, now=NOW, person=person) as change:
        change.connection.exec_driver_sql("UPDATE reading SET origin = 'file' WHERE value = '6.5'")

    assert typed_values(diary, person) == (("110", Unit.MG_DL, 2),)
