from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QToolButton
from pytestqt.qtbot import QtBot

from app.look.theme import apply_theme
from app.look.tokens import LIGHT
from app.look.type import scale_text
from app.ui.controls import PageTabs, Segment, Segments

LENGTHS = [Segment(n, str(n), f"{n} days") for n in (7, 14, 30, 60, 90)]
NAMES = ["Day", "Readings", "Modal day", "Figures", "Patterns", "Kit", "Plan", "Appointment"]


@pytest.fixture(autouse=True)
def plain(qapp: QApplication) -> Iterator[None]:
    """Light and the usual text size, before and after."""
    usual = qapp.font()
    apply_theme(qapp, LIGHT)
    yield
    qapp.setFont(usual)
    apply_theme(qapp, LIGHT)


@pytest.fixture
def segments(qtbot: QtBot) -> Segments:
    """The periods, with 14 days chosen, in a window that is active."""
    made = Segments([*LENGTHS, Segment(None, "From – to")], name="Period")
    qtbot.addWidget(made)
    made.choose(14)
    made.show()
    made.activateWindow()
    qtbot.waitUntil(made.isActiveWindow)
    return made


@pytest.fixture
def tabs(qtbot: QtBot) -> PageTabs:
    """The tabs of the pages, in a window that is active."""
    made = PageTabs(NAMES, name="Pages")
    qtbot.addWidget(made)
    made.resize(900, 44)
    made.show()
    made.activateWindow()
    qtbot.waitUntil(made.isActiveWindow)
    return made


def _buttons(segments: Segments) -> list[QToolButton]:
    return segments.findChildren(QToolButton)


def _press(qtbot: QtBot, key: Qt.Key) -> None:
    focused = QApplication.focusWidget()
    assert focused is not None
    QTest.keyClick(focused, key)


def test_arrow_keys_move_the_choice_and_say_so(segments: Segments, qtbot: QtBot) -> None:
    said: list[object] = []
    segments.chosen.connect(said.append)
    _buttons(segments)[1].setFocus()

    for key in (Qt.Key.Key_Right, Qt.Key.Key_Right, Qt.Key.Key_Left, Qt.Key.Key_Down):
        _press(qtbot, key)

    assert said == [30, 60, 30, 60]
    assert segments.value() == 60


def test_arrow_keys_follow_the_direction_of_writing(segments: Segments, qtbot: QtBot) -> None:
    segments.setLayoutDirection(Qt.LayoutDirection.RightToLeft)
    _buttons(segments)[1].setFocus()

    _press(qtbot, Qt.Key.Key_Left)

    assert segments.value() == 30


def test_arrow_keys_stop_at_the_ends(segments: Segments, qtbot: QtBot) -> None:
    _buttons(segments)[1].setFocus()

    for _ in range(4):
        _press(qtbot, Qt.Key.Key_Left)

    assert segments.value() == 7


def test_there_is_one_tab_stop_and_it_is_the_chosen_one(segments: Segments) -> None:
    stops = [
        button.text()
        for button in _buttons(segments)
        if button.focusPolicy() is Qt.FocusPolicy.StrongFocus
    ]

    assert stops == ["14"]


def test_choosing_from_code_says_nothing(segments: Segments, qtbot: QtBot) -> None:
    with qtbot.assertNotEmitted(segments.chosen):
        segments.choose(90)

    assert segments.value() == 90
    with pytest.raises(ValueError, match="value=8"):
        segments.choose(8)


def test_own_period_can_be_asked_for_again(segments: Segments, qtbot: QtBot) -> None:
    own = _buttons(segments)[-1]
    said: list[object] = []
    segments.chosen.connect(said.append)

    QTest.mouseClick(own, Qt.MouseButton.LeftButton)
    QTest.mouseClick(own, Qt.MouseButton.LeftButton)

    assert said == [None, None]


def test_width_is_the_same_whichever_is_chosen(segments: Segments) -> None:
    widths = set()
    for value in (7, 14, 30, 60, 90, None):
        segments.choose(value)
        widths.add(segments.sizeHint().width())

    assert len(widths) == 1


def test_each_segment_says_its_whole_name(segments: Segments) -> None:
    names = [button.accessibleName() for button in _buttons(segments)]

    assert names == ["7 days", "14 days", "30 days", "60 days", "90 days", "From – to"]
    assert segments.accessibleName() == "Period"


def test_ring_of_a_segment_lies_inside_it(segments: Segments, qtbot: QtBot) -> None:
    button = _buttons(segments)[1]
    button.setFocus()
    qtbot.waitUntil(button.hasFocus)

    image = button.grab().toImage()
    across = [image.pixelColor(x, image.height() // 2) for x in range(5)]

    ink, page = QColor(LIGHT.ink), QColor(LIGHT.page)
    assert across == [ink, ink, page, page, ink]


def test_chosen_words_fit_at_every_text_size(qapp: QApplication, segments: Segments) -> None:
    scale_text(2.0, base=qapp.font())
    segments.resize(segments.sizeHint())

    for button in _buttons(segments):
        words = button.accessibleName() if button.isChecked() else button.text()
        assert button.width() >= button.fontMetrics().horizontalAdvance(words)


def test_segments_without_days_keep_their_text(qtbot: QtBot) -> None:
    view = Segments([Segment("clock", "By the clock"), Segment("slot", "By slot")], name="View")
    qtbot.addWidget(view)

    assert view.value() == "clock"
    assert [button.accessibleName() for button in _buttons(view)] == ["By the clock", "By slot"]


def test_tabs_do_not_move_when_another_page_is_shown(tabs: PageTabs) -> None:
    places = set()
    for at in range(len(NAMES)):
        tabs.setCurrentIndex(at)
        places.add(tuple(tabs.tabRect(other).left() for other in range(len(NAMES))))

    assert len(places) == 1


def test_shown_tab_is_underlined_in_ink_over_a_hairline(tabs: PageTabs) -> None:
    tabs.setCurrentIndex(2)
    image = tabs.grab().toImage()
    bottom = image.height() - 1

    inside, beside = tabs.tabRect(2).center().x(), tabs.tabRect(4).center().x()
    assert image.pixelColor(inside, bottom) == QColor(LIGHT.ink)
    assert image.pixelColor(inside, bottom - 1) == QColor(LIGHT.ink)
    assert image.pixelColor(beside, bottom) == QColor(LIGHT.line)


def test_focus_on_the_tabs_is_seen(tabs: PageTabs, qtbot: QtBot) -> None:
    tabs.clearFocus()
    without = tabs.grab().toImage()

    tabs.setFocus()
    qtbot.waitUntil(tabs.hasFocus)

    assert tabs.grab().toImage() != without


def test_arrow_keys_walk_the_tabs(tabs: PageTabs, qtbot: QtBot) -> None:
    with qtbot.waitSignal(tabs.currentChanged):
        QTest.keyClick(tabs, Qt.Key.Key_Right)

    assert tabs.currentIndex() == 1


def test_tabs_grow_with_the_text(qapp: QApplication, tabs: PageTabs) -> None:
    before = tabs.tabRect(1).size()

    scale_text(2.0, base=qapp.font())

    assert tabs.tabRect(1).width() > 1.6 * before.width()
    assert tabs.tabSizeHint(1).height() > 1.6 * before.height()
