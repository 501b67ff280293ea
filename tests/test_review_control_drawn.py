"""Control tests and pairs ready to draw."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.domain.control import Verdict, judge
from app.domain.glucose import Glucose, Unit
from app.review import kit_tests
from app.review.control_drawn import drawn_tests
from app.review.pairs_drawn import limit_line
from tests.kits import control, kit_of_tests

USES = ((1, 1, 0, 50), (2, 1, 50, None))


def lines_of(*tests: tuple[int, str]) -> tuple[kit_tests.TestLine, ...]:
    """Tests of one meter by hour and value; its vial changes at hour 50."""
    made = [control(at, hour, 1, None, value) for at, (hour, value) in enumerate(tests, start=1)]
    kit = kit_of_tests(made, uses=USES)
    return kit_tests.test_lines(kit, judge(kit), ())


def test_they_stand_in_the_order_of_time_and_join_while_the_range_is_the_same() -> None:
    found = drawn_tests(lines_of((60, "6.0"), (1, "5.2"), (30, "9.5")), Unit.MMOL_L)

    assert [each.value for each in found] == [5.2, 9.5, 6.0]
    assert [each.verdict for each in found] == [Verdict.PASSED, Verdict.FAILED, Verdict.PASSED]
    assert [each.joins for each in found] == [False, True, False]
    assert {(each.low, each.high) for each in found} == {(5.2, 7.8)}


def test_on_an_axis_in_mg_dl_only_the_place_is_converted() -> None:
    (found,) = drawn_tests(lines_of((1, "6.0")), Unit.MG_DL)

    assert found.value == pytest.approx(108.0936)  # times 18.0156
    assert found.low == pytest.approx(93.68112)
    assert found.line.judged.test.glucose == Glucose("6.0", Unit.MMOL_L)


@given(st.lists(st.tuples(st.integers(0, 99), st.decimals("2", "20", places=1)), max_size=12))
def test_every_test_is_drawn_once_and_inside_its_range_exactly_when_it_passed(
    tests: list[tuple[int, object]],
) -> None:
    lines = lines_of(*((hour, str(value)) for hour, value in tests))

    found = drawn_tests(lines, Unit.MMOL_L)

    assert sorted(each.line.judged.test.id for each in found) == list(range(1, len(tests) + 1))
    for each in found:
        assert each.value is not None
        assert each.low is not None
        assert each.high is not None
        assert (each.verdict is Verdict.PASSED) is (each.low <= each.value <= each.high)


def test_without_a_vial_there_is_no_range() -> None:
    kit = kit_of_tests([control(1, 1, 3, None, "6.0")])
    (unknown,) = drawn_tests(kit_tests.test_lines(kit, judge(kit), ()), Unit.MMOL_L)

    assert (unknown.low, unknown.high, unknown.joins) == (None, None, False)
    assert unknown.verdict is Verdict.NO_RANGE
    assert datetime.fromtimestamp(unknown.line.judged.at, UTC).hour == 1


@given(st.floats(1.0, 800.0))
def test_the_limit_never_falls_towards_higher_results(until: float) -> None:
    corners = limit_line(Unit.MG_DL, until)

    assert corners[-1][0] == pytest.approx(until)
    assert [y for _, y in corners] == sorted(y for _, y in corners)
    assert corners[0] == (0.0, 15.0)
