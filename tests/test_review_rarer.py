from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from app.domain.clock import Period
from app.domain.glucose import Unit
from app.domain.marks import Mark
from app.domain.person import Person
from app.review.figure import Figure, Missing
from app.review.rarer import Rarer, rarer_figures
from app.review.record import record_of
from app.store.diary import Diary
from tests.households import NOW, corwin, new_diary, tilde, written

MARCH = Period(date(2026, 3, 1), date(2026, 3, 31))
S10 = ["92", "118", "145", "187", "103", "231", "76", "160", "134", "112"]  # mg/dL


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


def worked(diary: Diary, person: Person, *, minimum: bool = True) -> Rarer:
    return rarer_figures(record_of(diary, person), MARCH, now=NOW, minimum=minimum)


def entered(diary: Diary, person: Person, values: list[str], unit: Unit | None = None) -> None:
    """One value an hour, eight a day from the first of March on."""
    for at, value in enumerate(values):
        day, hour = divmod(at, 8)
        written(diary, person, f"2026-03-{day + 1:02} {hour + 7:02}:00", value, unit=unit)


def why(figure: Figure) -> str:
    assert isinstance(figure, Missing)
    return figure.why


def test_the_sample_set_has_its_worked_figures(diary: Diary) -> None:
    person = corwin(diary)
    entered(diary, person, S10)

    found = worked(diary, person, minimum=False)

    assert found.iqr == pytest.approx(51.0, abs=1e-9)
    assert found.j_index == pytest.approx(33.385829, abs=1e-5)
    assert found.m_value.value == pytest.approx(11.993887, abs=1e-5)
    assert (found.m_value.reference_mg_dl, found.m_value.with_range) == (120, True)
    assert found.lbgi == pytest.approx(0.698282, abs=1e-5)
    assert found.hbgi == pytest.approx(3.494901, abs=1e-5)


def test_the_unit_that_is_shown_changes_no_index(diary: Diary) -> None:
    person = corwin(diary)
    entered(diary, person, S10)
    one = worked(diary, person, minimum=False)

    other = worked(diary, replace(person, unit=Unit.MMOL_L), minimum=False)

    for name in ("j_index", "m_value", "grade", "lbgi", "hbgi"):
        assert getattr(one, name) == getattr(other, name), name
    assert isinstance(other.iqr, float)
    assert other.iqr == pytest.approx(51.0 / 18.0156, abs=1e-9)


@pytest.mark.parametrize(("unit", "low", "high"), [(Unit.MG_DL, "70", "140"),
                                                   (Unit.MMOL_L, "3.9", "7.8")])  # fmt: skip
@pytest.mark.parametrize("shown_in", list(Unit))
def test_a_result_on_a_cut_point_of_grade_is_in_the_middle(
    diary: Diary, unit: Unit, low: str, high: str, shown_in: Unit
) -> None:
    person = replace(tilde(diary), unit=shown_in)
    entered(diary, person, [low, high], unit)

    found = worked(diary, person, minimum=False).grade

    assert (found.from_low, found.from_within, found.from_high) == (0, 1, 0)


def test_modd_takes_readings_of_one_slot_on_days_in_a_row(diary: Diary) -> None:
    person = corwin(diary)
    marks = [Mark.WAKING, Mark.BEFORE_LUNCH, Mark.BEFORE_EVENING_MEAL, Mark.BEDTIME]
    for day, values in enumerate([[100, 180, 120, 90], [130, 150, 140, 95], [110, 160, 100]]):
        for hour, (value, mark) in enumerate(zip(values, marks, strict=False)):
            written(diary, person, f"2026-03-{day + 1:02} {7 + 4 * hour:02}:00", str(value), mark)
    written(diary, person, "2026-03-02 08:00", "300")  # no mark: in no pair

    found = worked(diary, person).modd

    assert found.pairs == 7
    assert found.value == pytest.approx(22.142857, abs=1e-6)


def test_a_pair_with_a_result_off_the_scale_drops_out_of_modd(diary: Diary) -> None:
    person = corwin(diary)
    for day, value in enumerate(["100", ">600", "110", "120"]):
        written(diary, person, f"2026-03-{day + 1:02} 07:00", value, Mark.WAKING)

    found = worked(diary, person, minimum=False).modd

    assert (found.value, found.pairs, found.off_scale_pairs) == (10, 1, 2)


def test_off_the_scale_j_and_m_have_words_while_grade_and_risk_weigh_it(diary: Diary) -> None:
    person = corwin(diary)
    entered(diary, person, [*S10, "HI"])

    found = worked(diary, person, minimum=False)

    assert "1 of 11 readings are off" in why(found.j_index)
    assert "1 of 11 readings are off" in why(found.m_value.value)
    without = 3.494901 * 10
    assert found.hbgi == pytest.approx((without + 100) / 11, abs=1e-5)
    assert isinstance(found.grade.value, float)
    assert found.grade.value > 50 / 11
    assert found.off_scale_left_out == 1


def test_one_in_a_hundred_off_the_scale_is_left_out_and_said(diary: Diary) -> None:
    person = corwin(diary)
    entered(diary, person, [*S10 * 8, *S10[:1] * 7, "HI"])
    few = worked(diary, person)  # 1 of 88
    entered_more = ["100"] * 12
    for minute, value in enumerate(entered_more):
        written(diary, person, f"2026-03-12 12:{minute:02}", value)

    enough = worked(diary, person)  # 1 of 100

    assert "off the meter's scale" in why(few.j_index)
    assert isinstance(enough.j_index, float)
    assert enough.off_scale_left_out == 1


def test_below_its_minimum_each_figure_says_what_is_missing(diary: Diary) -> None:
    person = corwin(diary)
    entered(diary, person, S10)

    found = worked(diary, person)

    spread = "needs 14 readings on 5 days; there are 10 readings on 2 days"
    for figure in (found.iqr, found.j_index, found.m_value.value, found.grade.value):
        assert why(figure) == spread
    assert why(found.modd.value) == "needs 5 pairs; there are 0 pairs"
    risk = "needs 60 readings on 14 days; there are 10 readings on 2 days"
    assert why(found.lbgi) == why(found.hbgi) == risk
    assert why(found.within_day_cv).startswith("needs 5 days with 4 readings or more")
    assert found.grade.from_low is None


@pytest.mark.parametrize("minimum", [True, False])
@pytest.mark.parametrize("values", [[], ["LO"], ["HI", "LO"], [">600"] * 20])
def test_where_there_is_no_number_there_are_words(
    diary: Diary, values: list[str], minimum: bool
) -> None:
    person = corwin(diary)
    entered(diary, person, values)

    found = worked(diary, person, minimum=minimum)

    assert found.n == len(values)
    for figure in (found.iqr, found.j_index, found.m_value.value, found.modd.value):
        assert why(figure)
    if not values or minimum:
        assert why(found.lbgi)
    if not values:
        assert why(found.grade.value)


def test_equal_readings_have_no_spread_and_no_nan(diary: Diary) -> None:
    person = corwin(diary)
    entered(diary, person, ["120"] * 40)

    found = worked(diary, person)

    assert found.iqr == 0
    assert found.j_index == pytest.approx(14.4)  # 0.001 x 120^2
    assert found.m_value.value == 0
    assert isinstance(found.grade.value, float)
