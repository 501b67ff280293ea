from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtCore import QDate, QRect, Qt
from PySide6.QtGui import QColor, QFontMetrics, QPalette
from PySide6.QtWidgets import QApplication, QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from app.domain.glucose import Bound
from app.domain.levels import Level
from app.domain.reading import Standing
from app.look.marks import MarkLook
from app.look.shapes import Tail
from app.look.theme import apply_theme
from app.look.tokens import DARK, LIGHT
from app.look.type import Role, font, scale_text
from app.ui.controls import (
    Button,
    DateField,
    ElidedLabel,
    Field,
    FigureTile,
    Hairline,
    KeyHint,
    Label,
    LineField,
    MarkSign,
    PageHead,
    SectionTitle,
    Segment,
    Segments,
    TextColumn,
)

LONG = "4 readings so far · one low spell, open since 18:07 · swim 16:30–17:30 · 3 tests to come"


@pytest.fixture(autouse=True)
def plain(qapp: QApplication) -> Iterator[None]:
    """Light and the usual text size, before and after."""
    usual = qapp.font()
    apply_theme(qapp, LIGHT)
    yield
    qapp.setFont(usual)
    apply_theme(qapp, LIGHT)


def test_label_takes_role_and_ink_and_follows_theme_and_text_size(
    qapp: QApplication, qtbot: QtBot
) -> None:
    label = Label("7.2", role=Role.FIGURE, ink="low_text")
    qtbot.addWidget(label)
    before = label.sizeHint()

    apply_theme(qapp, DARK)
    scale_text(2.0, base=qapp.font())

    assert label.palette().color(QPalette.ColorRole.WindowText) == QColor(DARK.low_text)
    assert label.font().pointSizeF() == pytest.approx(font(Role.FIGURE).pointSizeF())
    assert label.sizeHint().height() > 1.7 * before.height()


def test_what_people_typed_is_never_markup(qtbot: QtBot) -> None:
    label = Label("<b>juice</b> & rest")
    qtbot.addWidget(label)

    assert label.textFormat() is Qt.TextFormat.PlainText
    words = QFontMetrics(label.font()).horizontalAdvance("<b>juice</b> & rest")
    assert label.sizeHint().width() >= words


def test_label_begins_at_the_leading_side_whatever_the_text(qtbot: QtBot) -> None:
    label, number = Label("Median"), Label("7.2", at_end=True)
    for one in (label, number):
        qtbot.addWidget(one)
        one.setLayoutDirection(Qt.LayoutDirection.RightToLeft)

    assert label.alignment() & Qt.AlignmentFlag.AlignRight
    assert number.alignment() & Qt.AlignmentFlag.AlignLeft


def test_text_column_wraps_and_stops_at_ninety_characters(qtbot: QtBot) -> None:
    column = TextColumn(LONG * 4)
    qtbot.addWidget(column)

    assert column.maximumWidth() == QFontMetrics(column.font()).averageCharWidth() * 90
    assert column.heightForWidth(300) > column.heightForWidth(600) > 0


def test_elided_label_says_all_in_a_tip_only_where_it_does_not_fit(qtbot: QtBot) -> None:
    label = ElidedLabel(LONG)
    qtbot.addWidget(label)

    label.resize(80, 20)
    label.show()
    assert label.is_elided()
    assert label.toolTip() == LONG
    label.resize(label.sizeHint())
    assert not label.is_elided()
    assert label.toolTip() == ""
    assert label.accessibleName() == LONG


def test_hairline_is_one_px_and_stronger_where_it_bounds(qtbot: QtBot) -> None:
    for strong, colour in ((False, LIGHT.line), (True, LIGHT.edge)):
        line = Hairline(strong=strong)
        qtbot.addWidget(line)
        line.resize(40, 1)
        assert line.height() == 1
        assert line.grab().toImage().pixelColor(20, 0) == QColor(colour)


def test_section_title_holds_count_and_note(qtbot: QtBot) -> None:
    title = SectionTitle("Follow-up", count=2)
    qtbot.addWidget(title)
    title.resize(400, 30)
    title.show()

    labels = {label.text(): label for label in title.findChildren(Label)}
    gap = labels["2"].geometry().left() - labels["Follow-up"].geometry().right()
    assert 0 < gap < 20
    title.set_count(None)
    title.set_note("by slot")
    assert title.accessibleName() == "Follow-up, by slot"


def test_figure_tile_shows_number_unit_and_lines_on_one_line_of_writing(qtbot: QtBot) -> None:
    tile = FigureTile("Plain average")
    qtbot.addWidget(tile)
    tile.set_figure("7.2", "mmol/L", ["95 %: about 6.8 to 7.6", "n 134"])
    tile.resize(240, 120)
    tile.show()

    number, unit = (
        next(label for label in tile.findChildren(Label) if label.text() == text)
        for text in ("7.2", "mmol/L")
    )
    assert _baseline(number) == _baseline(unit)
    said = "Plain average: 7.2 mmol/L. 95 %: about 6.8 to 7.6. n 134"
    assert tile.accessibleName() == said


def _baseline(label: Label) -> int:
    bottom = label.geometry().bottom() - label.contentsMargins().bottom()
    return bottom - QFontMetrics(label.font()).descent()


def test_figure_tile_says_what_is_missing_instead_of_a_number(qtbot: QtBot) -> None:
    tile = FigureTile("Spread (SD)")
    qtbot.addWidget(tile)
    tile.set_figure("2.4", "mmol/L", ["CV 33 %"])

    tile.set_missing("5 more readings would do", "n 9")

    shown = [label.text() for label in tile.findChildren(Label) if not label.isHidden()]
    assert shown == ["Spread (SD)", "5 more readings would do", "n 9"]
    assert tile.accessibleName() == "Spread (SD): 5 more readings would do. n 9"


def test_figure_tile_has_two_small_lines_at_most(qtbot: QtBot) -> None:
    tile = FigureTile("Median")
    qtbot.addWidget(tile)

    with pytest.raises(ValueError, match="two small lines"):
        tile.set_figure("7.1", "mmol/L", ["a", "b", "c"])


@pytest.mark.parametrize("factor", [1.0, 2.0])
@pytest.mark.parametrize("width", [520, 748, 988])
def test_page_head_folds_its_tools_and_cuts_nothing(
    qapp: QApplication, qtbot: QtBot, factor: float, width: int
) -> None:
    scale_text(factor, base=qapp.font())
    page = QWidget()
    qtbot.addWidget(page)
    column = QVBoxLayout(page)
    tools: list[QWidget] = [
        Segments([Segment(30, "30", "30 days")], name="Period"),
        Button("Today"),
    ]
    head = PageHead("Thursday 7 May 2026", LONG, tools=tools)
    column.addWidget(head)
    column.addStretch(1)
    page.resize(width, 600)
    page.show()
    title, subtitle = (
        next(label for label in head.findChildren(Label) if label.text() == text)
        for text in ("Thursday 7 May 2026", LONG)
    )

    # The height that folding needs reaches the page with the next layout request.
    qtbot.waitUntil(
        lambda: all(one.height() >= one.heightForWidth(one.width()) for one in (title, subtitle))
    )
    qtbot.waitUntil(lambda: all(tool.width() >= tool.sizeHint().width() for tool in tools))

    boxes = [
        QRect(widget.mapTo(head, widget.rect().topLeft()), widget.size())
        for widget in (title, subtitle, *tools)
    ]
    for at, one in enumerate(boxes):
        assert head.rect().contains(one)
        assert all(not one.intersects(other) for other in boxes[at + 1 :])


def test_field_says_what_went_wrong_and_keeps_what_was_typed(qtbot: QtBot) -> None:
    field = Field("&Time", LineField("25:10"), hint="As the clock on the wall has it.")
    qtbot.addWidget(field)

    field.show_error("“25:10” is not on a clock: write 22:10, for instance.")

    assert field.control.accessibleName() == "Time"
    assert "not on a clock" in field.control.accessibleDescription()
    field.clear_error()
    shown = [label.text() for label in field.findChildren(Label)]
    assert "As the clock on the wall has it." in shown
    assert isinstance(field.control, LineField)
    assert field.control.text() == "25:10"


def test_text_in_a_date_stays_where_it_is_when_the_border_grows(qtbot: QtBot) -> None:
    field, other = DateField(QDate(2026, 5, 7), order="d MMM yyyy"), LineField("somewhere else")
    window = QWidget()
    qtbot.addWidget(window)
    column = QVBoxLayout(window)
    column.addWidget(other)
    column.addWidget(field)
    window.show()
    window.activateWindow()
    other.setFocus()
    qtbot.waitUntil(other.hasFocus)
    before = _ink(field)

    field.setFocus()
    field.lineEdit().deselect()
    qtbot.waitUntil(field.hasFocus)

    assert _ink(field) == before
    assert before[0] > 50


def _ink(field: QWidget) -> tuple[int, int]:
    """Where the last digit ends: the caret stands farther ahead."""
    image = field.grab().toImage()
    dark = [
        (x, y)
        for x in range(4, image.width() - 4)
        for y in range(4, image.height() - 4)
        if image.pixelColor(x, y).lightness() < 150
    ]
    end = max(x for x, _ in dark)
    return end, min(y for x, y in dark if x > end - 5)


@pytest.mark.parametrize("tall", [False, True])
def test_text_in_a_field_stays_where_it_is_when_the_border_grows(qtbot: QtBot, tall: bool) -> None:
    field, other = LineField("7.2", tall=tall), LineField("somewhere else")
    window = QWidget()
    qtbot.addWidget(window)
    column = QVBoxLayout(window)
    column.addWidget(other)
    column.addWidget(field)
    window.show()
    window.activateWindow()
    other.setFocus()
    qtbot.waitUntil(other.hasFocus)
    before, size = field.cursorRect(), field.size()

    field.setFocus()
    qtbot.waitUntil(field.hasFocus)

    assert field.cursorRect() == before
    assert field.size() == size
    image = field.grab().toImage()
    middle = image.height() // 2
    assert [image.pixelColor(x, middle) for x in (0, 1)] == [QColor(LIGHT.ink)] * 2


@pytest.mark.parametrize(
    ("look", "said"),
    [
        (MarkLook(Level.LOW, Tail.RIGHT), "below"),
        (MarkLook(Level.VERY_HIGH, off_scale=Bound.ABOVE), "far above, off the meter's scale"),
        (MarkLook(Level.HIGH, doubt=True), "above, in doubt"),
        (MarkLook(Level.HIGH, standing=Standing.NOT_MINE), "not mine"),
    ],
)
def test_mark_sign_says_what_it_shows(look: MarkLook, said: str, qtbot: QtBot) -> None:
    sign = MarkSign()
    qtbot.addWidget(sign)
    assert sign.sizeHint().isEmpty()

    sign.set_look(look)
    sign.resize(sign.sizeHint())

    assert sign.accessibleName() == said
    picture = sign.grab().toImage()
    assert any(
        picture.pixelColor(x, y) != picture.pixelColor(0, 0)
        for x in range(picture.width())
        for y in range(picture.height())
    )


def test_key_hint_has_room_for_key_and_words(qapp: QApplication, qtbot: QtBot) -> None:
    hint = KeyHint("Enter", "saves")
    qtbot.addWidget(hint)
    before = hint.sizeHint()

    scale_text(2.0, base=qapp.font())

    assert hint.accessibleName() == "Enter: saves"
    assert hint.sizeHint().width() > 1.5 * before.width()
    assert hint.sizeHint().width() > hint.fontMetrics().horizontalAdvance("Enter saves")
