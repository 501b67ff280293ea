from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from uuid import UUID

import pytest

from app.domain.a1c import A1cUnit, TranslatedAverage
from app.domain.clock import moment_at, offsets_of
from app.domain.glucose import Unit
from app.domain.marks import Mark
from app.domain.person import Person
from app.domain.written import Lab
from app.review.figure import Mean, Missing
from app.review.lab import LabValues, lab_values
from app.review.parts import Evened
from app.review.record import record_of
from app.store.diary import Diary
from tests.households import NOW, corwin, new_diary, tilde, written


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


def lab(value: str, unit: str, at: str = "2026-03-10 08:30", kind: str = "a1c") -> Lab:
    wall = datetime.fromisoformat(at)
    moment = moment_at(wall, "America/Chicago", offsets_of(wall, "America/Chicago")[0])
    return Lab(1, UUID(int=1), kind, value, unit, moment)


def beside(diary: Diary, person: Person, *labs: Lab) -> LabValues:
    return lab_values(record_of(diary, person), labs, now=NOW)


@pytest.mark.parametrize(("value", "unit"), [("7.0", "%"), ("53", "mmol/mol")])
def test_a_value_stands_in_both_units_whichever_was_printed(
    diary: Diary, value: str, unit: str
) -> None:
    (found,) = beside(diary, corwin(diary), lab(value, unit)).a1c

    assert (found.value, found.unit) == (value, A1cUnit(unit))
    assert float(found.percent) == pytest.approx(7.0, abs=0.001)
    assert float(found.mmol_mol) == pytest.approx(53.0, abs=0.01)


def test_the_translation_is_in_the_persons_unit_with_its_interval(diary: Diary) -> None:
    found = [beside(diary, person, lab("7", "%")).a1c[0].average
             for person in (corwin(diary), tilde(diary))]  # fmt: skip

    assert found == [
        TranslatedAverage(Unit.MG_DL, Decimal("154.2"), Decimal(123), Decimal(185), False),
        TranslatedAverage(
            Unit.MMOL_L, Decimal("154.2") / 18, Decimal("6.8"), Decimal("10.3"), False
        ),
    ]


def test_outside_the_table_there_are_words_and_no_average(diary: Diary) -> None:
    (found,) = beside(diary, corwin(diary), lab("13.1", "%")).a1c

    assert found.average == Missing("the table of the translation spans 5 to 12 % alone")


def test_beside_it_are_the_readings_of_the_ninety_days_up_to_the_blood_test(diary: Diary) -> None:
    person = corwin(diary)
    last = date(2026, 3, 10)
    for days_back, value in ((90, "400"), (89, "100"), (0, "200"), (-1, "400")):
        day = last - timedelta(days=days_back)
        written(
            diary, person, f"{day} 07:00", value, Mark.WAKING if value == "100" else Mark.BEDTIME
        )
    written(diary, person, f"{last} 03:00", "150", Mark.NIGHT)

    (found,) = beside(diary, person, lab("7.2", "%")).a1c

    before = found.before
    assert (before.period.first, before.period.last) == (date(2025, 12, 11), last)
    assert (before.n, before.days_with_readings, before.at_night) == (3, 2, 1)
    assert isinstance(before.mean, Mean)
    assert before.mean.value == 150
    assert isinstance(before.evened, Evened)
    assert before.evened.value == 150
    chosen, trusted = found.reasons
    assert chosen == (
        "The readings are 3 moments on 2 of 90 days, at times that somebody chose; "
        "1 of them is marked night. An A1C adds up day and night."
    )
    assert trusted == f"How far to trust their average: {'; '.join(before.trust.reasons)}."


def test_without_readings_nothing_stands_beside_it_but_words(diary: Diary) -> None:
    found = beside(diary, corwin(diary), lab("7.2", "%"))

    assert isinstance(found.a1c[0].before.mean, Missing)
    assert found.a1c[0].reasons == ()
    assert len(found.reasons) == 3


def test_glucose_of_a_laboratory_and_what_cannot_be_read_stand_apart(diary: Diary) -> None:
    odd = lab("about 7", "%")

    found = beside(diary, corwin(diary), lab("6,1", "mmol/L", kind="glucose"), odd)

    assert [(each.value, each.unit) for each in found.glucose] == [("6.1", Unit.MMOL_L)]
    assert found.unreadable == (odd,)
    assert found.a1c == ()


def test_readings_alone_never_give_an_a1c(diary: Diary) -> None:
    person = corwin(diary)
    for day in range(1, 12):
        written(diary, person, f"2026-03-{day:02} 07:00", "150", Mark.WAKING)

    found = beside(diary, person)

    assert (found.a1c, found.glucose, found.unreadable) == ((), (), ())
