"""Names inside a chart: of limits and of boxes, never over a number and never over each other."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QRectF
from PySide6.QtGui import QFontMetricsF
from PySide6.QtWidgets import QApplication

from app.look.type import Role, font
from app.review.lanes import Lanes, Step
from app.ui.charts.boxes import Island, name_tops
from app.ui.charts.lane import Limits, StepName
from app.ui.charts.sight import Sight

SIGHT = Sight(QRectF(40, 20, 600, 200), 0, 1440, 0, 20)
STEPS = (Step(0, 300, 4, 10, ()), Step(300, 520, 4, 8, ()), Step(520, 1440, 4, 10, ()))
WAKING = StepName(((300, 520),), 8.0, "waking to 8.0", "to 8.0", above=True)


@pytest.fixture(autouse=True)
def _app(qapp: QApplication) -> QApplication:
    return qapp


@given(st.floats(0, 20), st.floats(0, 8))
def test_the_words_for_median_and_box_never_meet(median: float, over: float) -> None:
    island = Island(700, 750, median - 1, median, median + over, "median", "middle half")

    first, second = name_tops(island, SIGHT)

    strong, small = (QFontMetricsF(font(role)) for role in (Role.SMALL_STRONG, Role.SMALL))
    assert first is not None
    assert second is not None
    assert second + small.height() <= first or first + strong.height() <= second
    assert min(first, second) >= SIGHT.plot.top()


def test_a_box_without_its_upper_end_leaves_its_median_named() -> None:
    first, second = name_tops(Island(700, 750, None, 6.0, None, "median", "middle half"), SIGHT)

    assert first is not None
    assert second is None


def test_the_name_of_a_limit_makes_way_for_a_number() -> None:
    limits = Limits()
    limits.show_limits(Lanes(STEPS, (), None), [WAKING])
    free = limits.names_placed(SIGHT)
    number = QRectF(SIGHT.x(400), SIGHT.y(8.0) - 16, 24, 14)

    limits.keep_clear_of(lambda _sight: [number])
    beside = limits.names_placed(SIGHT)

    assert [text for text, _ in free] == ["waking to 8.0"]
    assert free[0][1].intersects(number)
    assert all(not area.intersects(number) for _, area in beside)
    assert [text for text, _ in beside] == ["to 8.0"]


def test_a_name_that_the_low_line_would_cut_stands_on_the_other_side_of_its_limit() -> None:
    limits = Limits()
    from_below = StepName(((300, 520),), 4.6, "waking from 4.6", "from 4.6", above=False)
    limits.show_limits(Lanes(STEPS, (), None), [from_below])
    under = limits.names_placed(SIGHT)[0][1]

    limits.show_limits(Lanes(STEPS, (), 3.9), [from_below])
    over = limits.names_placed(SIGHT)[0][1]

    assert under.top() < SIGHT.y(3.9) < under.bottom()
    assert over.bottom() < SIGHT.y(4.6)


def test_where_numbers_take_all_the_room_there_is_no_name() -> None:
    limits = Limits()
    limits.show_limits(Lanes(STEPS, (), None), [WAKING])

    limits.keep_clear_of(lambda sight: [sight.plot])

    assert limits.names_placed(SIGHT) == []
