from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.domain.glucose import Bound, Glucose, LimitPair, Unit, converted, shown

positive = st.floats(0.01, 3000, allow_nan=False)


def test_units_are_each_other_s_other_and_have_their_places() -> None:
    assert Unit.MG_DL.other is Unit.MMOL_L
    assert Unit.MMOL_L.other is Unit.MG_DL
    assert (Unit.MG_DL.places, Unit.MMOL_L.places) == (0, 1)


def test_result_keeps_what_was_entered() -> None:
    entered = Glucose("5.60", Unit.MMOL_L)

    assert (entered.value, entered.number) == ("5.60", 5.6)
    assert entered.in_unit(Unit.MMOL_L) == 5.6
    assert entered.mg_dl == pytest.approx(100.88736)


def test_number_in_its_own_unit_is_not_converted() -> None:
    assert Glucose("112", Unit.MG_DL).mg_dl == 112.0


@pytest.mark.parametrize(
    ("glucose", "unit", "text"),
    [
        (Glucose("5.6", Unit.MMOL_L), Unit.MMOL_L, "5.6"),
        (Glucose("5.6", Unit.MMOL_L), Unit.MG_DL, "101"),
        (Glucose("112", Unit.MG_DL), Unit.MMOL_L, "6.2"),
        (Glucose("5", Unit.MMOL_L), Unit.MMOL_L, "5.0"),
        (Glucose("5.65", Unit.MMOL_L), Unit.MMOL_L, "5.7"),
        (Glucose("20", Unit.MG_DL, Bound.BELOW), Unit.MG_DL, "<20"),
        (Glucose("20", Unit.MG_DL, Bound.BELOW), Unit.MMOL_L, "<1.1"),
        (Glucose("33.3", Unit.MMOL_L, Bound.ABOVE), Unit.MG_DL, ">600"),
        (Glucose(None, Unit.MG_DL, Bound.BELOW), Unit.MMOL_L, "LO"),
        (Glucose(None, Unit.MG_DL, Bound.ABOVE), Unit.MG_DL, "HI"),
        (Glucose(None, Unit.MG_DL, Bound.NO_VALUE), Unit.MG_DL, "no value"),
    ],
)
def test_result_is_shown_as_a_person_reads_it(glucose: Glucose, unit: Unit, text: str) -> None:
    assert glucose.shown(unit) == text


def test_bound_with_an_unknown_limit_has_no_number() -> None:
    low = Glucose(None, Unit.MMOL_L, Bound.BELOW)

    assert (low.number, low.mg_dl, low.in_unit(Unit.MMOL_L)) == (None, None, None)


def test_limit_pair_gives_the_number_printed_for_the_unit() -> None:
    pair = LimitPair(180, 10.0)

    assert pair.in_unit(Unit.MG_DL) == 180
    assert pair.in_unit(Unit.MMOL_L) == 10.0


@given(positive, st.sampled_from(list(Unit)))
def test_conversion_there_and_back_is_the_same_number(number: float, unit: Unit) -> None:
    there = converted(number, unit, unit.other)

    assert converted(there, unit.other, unit) == pytest.approx(number, rel=1e-12)
    assert converted(number, unit, unit) == number


@given(positive, positive, st.sampled_from(list(Unit)))
def test_conversion_keeps_the_order(one: float, other: float, unit: Unit) -> None:
    low, high = sorted((one, other))

    assert converted(low, unit, unit.other) <= converted(high, unit, unit.other)


@pytest.mark.parametrize("number", [math.nan, math.inf, -math.inf])
def test_only_a_finite_number_is_shown(number: float) -> None:
    with pytest.raises(ValueError, match="finite"):
        shown(number, Unit.MMOL_L)
