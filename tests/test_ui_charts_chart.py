from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QImage, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.domain.glucose import Unit
from app.domain.levels import Level
from app.look.theme import apply_theme
from app.look.tokens import DARK, LIGHT, Tokens
from app.review.lanes import Lanes, Step
from app.review.marks_drawn import LEVELS, DrawnMarks
from app.review.scale import glucose_scale
from app.store.columns import BELOW, EXACT
from app.ui.charts.axes import ColumnAxis, HourAxis
from app.ui.charts.chart import GlucoseChart
from app.ui.charts.goal_names import end_names, step_names
from app.ui.charts.strips import AxisLabels, UntestedRail

GOAL = Lanes((Step(0, 1440, 4.0, 10.0, ()),), (), 3.9)


@pytest.fixture(autouse=True)
def plain(qapp: QApplication) -> Iterator[None]:
    apply_theme(qapp, LIGHT)
    yield
    apply_theme(qapp, LIGHT)


def _marks(*places: tuple[float, float, Level], bound: int = EXACT) -> DrawnMarks:
    n = len(places)
    return DrawnMarks(
        id=np.arange(101, 101 + n),
        x=np.array([x for x, _, _ in places]),
        value=np.array([value for _, value, _ in places]),
        level=np.array([LEVELS.index(level) for _, _, level in places], dtype=np.int8),
        tail=np.zeros(n, dtype=np.int8),
        doubt=np.zeros(n, dtype=np.bool_),
        apart=np.zeros(n, dtype=np.bool_),
        bound=np.full(n, bound, dtype=np.int8),
        day=np.full(n, 739_000, dtype=np.int32),
    )


THREE = _marks((60, 6.0, Level.IN_RANGE), (600, 12.0, Level.HIGH), (1200, 3.0, Level.LOW))


@pytest.fixture
def chart(qtbot: QtBot) -> GlucoseChart:
    made = GlucoseChart()
    qtbot.addWidget(made)
    made.resize(800, 400)
    axis = HourAxis()
    made.set_strips([UntestedRail("never tested"), AxisLabels(axis)])
    made.set_axes(axis, glucose_scale((2.0, 15.0), (4.0, 10.0), Unit.MMOL_L))
    made.show_lanes(GOAL, end_names(GOAL, Unit.MMOL_L), step_names(GOAL, Unit.MMOL_L))
    made.show_marks(THREE)
    with qtbot.waitExposed(made):
        made.show()
    return made


def _picture(chart: GlucoseChart) -> QImage:
    picture: QImage = chart.grab().toImage()
    return picture


def _colour_at(chart: GlucoseChart, x: float, value: float) -> str:
    at = chart.sight().point(x, value).toPoint()
    return _picture(chart).pixelColor(at).name().upper()


def test_the_arrow_keys_walk_the_marks_from_left_to_right_and_stop_at_the_ends(
    chart: GlucoseChart, qtbot: QtBot
) -> None:
    told: list[object] = []
    chart.pointed.connect(told.append)

    for key in (Qt.Key.Key_Right,) * 4 + (Qt.Key.Key_Left, Qt.Key.Key_Home, Qt.Key.Key_End):
        QTest.keyClick(chart, key)

    assert told == [101, 102, 103, 102, 101, 103]


def test_enter_chooses_the_mark_that_is_pointed_at_and_escape_lets_go(
    chart: GlucoseChart, qtbot: QtBot
) -> None:
    QTest.keyClick(chart, Qt.Key.Key_End)

    with qtbot.waitSignal(chart.chosen) as chosen:
        QTest.keyClick(chart, Qt.Key.Key_Return)
    QTest.keyClick(chart, Qt.Key.Key_Escape)

    assert chosen.args == [103]
    assert chart.pointed_at is None


def test_page_up_and_down_ask_for_the_time_before_and_after(
    chart: GlucoseChart, qtbot: QtBot
) -> None:
    asked: list[int] = []
    chart.stepped.connect(asked.append)

    QTest.keyClick(chart, Qt.Key.Key_PageUp)
    QTest.keyClick(chart, Qt.Key.Key_PageDown)

    assert asked == [-1, 1]


def test_the_pointer_finds_a_mark_within_reach_and_none_beyond(
    chart: GlucoseChart, qtbot: QtBot
) -> None:
    at = chart.sight().point(600, 12.0).toPoint()

    with qtbot.waitSignal(chart.pointed) as near:
        QTest.mouseMove(chart.viewport(), at + QPoint(6, 6))
    with qtbot.waitSignal(chart.pointed) as far:
        QTest.mouseMove(chart.viewport(), at + QPoint(40, 40))

    assert near.args == [102]
    assert far.args == [None]


def test_a_click_on_a_mark_chooses_it_and_one_beside_it_nothing(
    chart: GlucoseChart, qtbot: QtBot
) -> None:
    at = chart.sight().point(600, 12.0).toPoint()
    button = Qt.MouseButton.LeftButton

    with qtbot.waitSignal(chart.chosen) as chosen:
        QTest.mouseClick(chart.viewport(), button, pos=at)
    with qtbot.assertNotEmitted(chart.chosen):
        QTest.mouseClick(chart.viewport(), button, pos=at + QPoint(60, 0))

    assert chosen.args == [102]


@pytest.mark.parametrize(("control", "zooms"), [(False, False), (True, True)])
def test_the_wheel_zooms_only_with_control(
    chart: GlucoseChart, qapp: QApplication, control: bool, zooms: bool
) -> None:
    before = chart.sight()
    held = Qt.KeyboardModifier.ControlModifier if control else Qt.KeyboardModifier.NoModifier
    at = before.plot.center()
    turned = QWheelEvent(
        at,
        QPointF(chart.viewport().mapToGlobal(at.toPoint())),
        QPoint(),
        QPoint(0, 240),
        Qt.MouseButton.NoButton,
        held,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )

    qapp.sendEvent(chart.viewport(), turned)

    assert (chart.sight().right - chart.sight().left < before.right - before.left) is zooms


def test_a_zoom_never_leaves_the_axes_and_control_zero_shows_all_again(
    chart: GlucoseChart, qtbot: QtBot
) -> None:
    home, held = chart.sight(), Qt.KeyboardModifier.ControlModifier

    QTest.keyClick(chart, Qt.Key.Key_Plus, held)
    closer = chart.sight()
    for _ in range(5):
        QTest.keyClick(chart, Qt.Key.Key_Minus, held)
    farthest = chart.sight()
    QTest.keyClick(chart, Qt.Key.Key_0, held)

    assert closer.right - closer.left < home.right - home.left
    assert farthest.left >= home.left
    assert farthest.right <= home.right
    assert chart.sight() == home


@pytest.mark.parametrize("tokens", [LIGHT, DARK])
def test_inside_the_goal_is_the_lane_and_outside_it_the_ground_in_both_themes(
    chart: GlucoseChart, qapp: QApplication, tokens: Tokens
) -> None:
    apply_theme(qapp, tokens)

    assert _colour_at(chart, 310, 7.0) == tokens.lane
    assert _colour_at(chart, 310, 12.5) == tokens.out


def test_without_goals_nothing_is_shaded(chart: GlucoseChart) -> None:
    chart.show_lanes(Lanes((Step(0, 1440, None, None, ()),), (), 3.9))

    assert _colour_at(chart, 310, 12.5) == LIGHT.page
    assert _colour_at(chart, 310, 7.0) == LIGHT.page


def test_a_part_of_the_day_without_a_goal_is_not_shaded_either(
    chart: GlucoseChart, qapp: QApplication
) -> None:
    apply_theme(qapp, DARK)
    steps = (Step(0, 720, 4.0, 10.0, ()), Step(720, 1440, None, None, ()))
    chart.show_lanes(Lanes(steps, (), None))

    assert _colour_at(chart, 310, 7.0) == DARK.lane
    assert _colour_at(chart, 1030, 7.0) == DARK.page


def test_marks_have_the_colour_of_their_level_in_both_themes(
    chart: GlucoseChart, qapp: QApplication
) -> None:
    light = _colour_at(chart, 600, 12.0)
    apply_theme(qapp, DARK)

    assert light == LIGHT.high
    assert _colour_at(chart, 600, 12.0) == DARK.high


def test_a_result_off_the_scale_stands_at_the_edge_of_what_is_in_sight_also_when_zoomed(
    chart: GlucoseChart, qtbot: QtBot
) -> None:
    chart.show_marks(_marks((720, 0.0, Level.VERY_LOW), bound=BELOW))
    for _ in range(2):
        sight = chart.sight()
        at = QPointF(sight.x(720), sight.plot.bottom() - 16).toPoint()
        assert _picture(chart).pixelColor(at).name().upper() == LIGHT.very_low
        QTest.keyClick(chart, Qt.Key.Key_Plus, Qt.KeyboardModifier.ControlModifier)


def test_never_tested_hours_are_hatched_and_tested_ones_are_not(
    chart: GlucoseChart,
) -> None:
    rail = UntestedRail()
    rail.stretches = ((0, 720),)
    chart.set_strips([rail, AxisLabels(HourAxis())])

    picture, sight = _picture(chart), chart.sight()
    hatched, plain = (
        {
            picture.pixelColor(round(sight.x(x)), round(sight.plot.bottom()) + 7).name()
            for x in range(start, start + 200, 2)
        }
        for start in (200, 1000)
    )

    assert len(hatched) > 1
    assert plain == {LIGHT.page.lower()}


def test_the_marks_stay_where_the_axes_say_after_the_widget_grew(
    chart: GlucoseChart, qapp: QApplication
) -> None:
    chart.resize(1100, 600)
    qapp.processEvents()

    assert _colour_at(chart, 600, 12.0) == LIGHT.high


def test_pointing_from_outside_rings_a_mark_without_a_signal(
    chart: GlucoseChart, qtbot: QtBot
) -> None:
    with qtbot.assertNotEmitted(chart.pointed):
        chart.point_at(102)

    assert chart.pointed_at == 102
    chart.point_at(999)
    assert chart.pointed_at is None


def test_labels_thin_out_where_the_chart_is_narrow() -> None:
    axis = HourAxis(4, 24)

    wide = [tick.text for tick in axis.ticks(0, 1440, 20)]
    narrow = [tick.text for tick in axis.ticks(0, 1440, 5)]

    assert wide[:2] == ["04:00", "06:00"]
    assert len(wide) == 13
    assert narrow == ["04:00", "10:00", "16:00", "22:00", "04:00"]


def test_columns_are_named_in_their_middle_and_parted_at_their_edges() -> None:
    axis = ColumnAxis(("one", "two"))

    assert [(tick.at, tick.text) for tick in axis.ticks(0, 2, 10)] == [(0.5, "one"), (1.5, "two")]
    assert axis.lines(0, 2, 10) == [0, 1, 2]
