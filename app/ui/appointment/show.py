"""The sheet on the whole screen, in parts, for the desk or a call: arrows turn, Esc goes back."""

from __future__ import annotations

import re
from html import unescape

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import (
    QAbstractTextDocumentLayout,
    QColor,
    QFont,
    QFontMetricsF,
    QKeyEvent,
    QPainter,
    QPaintEvent,
    QPalette,
    QTextDocument,
)
from PySide6.QtWidgets import QWidget

from app.look.tokens import LIGHT
from app.look.type import Role, font
from app.report.paper import MM, Paper
from app.report.spoken import ShownPart, shown_parts
from app.review.visit import VisitPage
from app.ui.appointment.words import tr
from app.ui.controls.drawing import px

_ACROSS_MM = 160.0  # of paper that a chart spans: its letters grow with the screen
_LARGEST, _SMALLEST = 0.052, 0.02  # of the height: the size of the letters
_STEP = 0.92
_STEPS = {
    Qt.Key.Key_Right: 1,
    Qt.Key.Key_Down: 1,
    Qt.Key.Key_PageDown: 1,
    Qt.Key.Key_Space: 1,
    Qt.Key.Key_Left: -1,
    Qt.Key.Key_Up: -1,
    Qt.Key.Key_PageUp: -1,
    Qt.Key.Key_Home: -1_000,
    Qt.Key.Key_End: 1_000,
}


class FullScreenSheet(QWidget):
    """One part of the sheet at a time, as large as it fits; on white, as on paper."""

    def __init__(self, page: VisitPage, parent: QWidget | None = None) -> None:
        super().__init__(parent, Qt.WindowType.Window)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(tr("The sheet"))
        self.parts = shown_parts(page)
        self.at = 0
        self._show()

    @property
    def shown(self) -> ShownPart:
        """The part that is seen."""
        return self.parts[self.at]

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step = _STEPS.get(Qt.Key(event.key()))
        if event.key() == Qt.Key.Key_Escape:
            self.close()
        elif step is not None:
            back = self.layoutDirection() is Qt.LayoutDirection.RightToLeft
            sideways = event.key() in (Qt.Key.Key_Left, Qt.Key.Key_Right)
            self.at = min(max(self.at + (-step if back and sideways else step), 0), self._last)
            self._show()
        else:
            super().keyPressEvent(event)

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(self.rect(), QColor(LIGHT.page))
        room = QRectF(self.rect()).adjusted(px(48), px(36), -px(48), -px(28))
        foot = QFontMetricsF(font(Role.SMALL)).height()
        painter.setFont(font(Role.SMALL))
        painter.setPen(QColor(LIGHT.ink2))
        place = QRectF(room.left(), room.bottom() - foot, room.width(), foot)
        painter.drawText(place, Qt.AlignmentFlag.AlignLeading, self._foot())
        room.setBottom(place.top() - px(16))
        room.setTop(self._paint_heading(painter, room))
        if self.shown.chart is not None:
            self._paint_chart(painter, room)
        else:
            self._paint_words(painter, room)
        painter.end()

    @property
    def _last(self) -> int:
        return len(self.parts) - 1

    def _show(self) -> None:
        words = " ".join(self.shown.part.paragraphs)
        words = unescape(re.sub(r"</?b>", "", words))
        self.setAccessibleName(f"{unescape(self.shown.heading)}. {words}")
        self.update()

    def _foot(self) -> str:
        return tr("{at} of {all} · arrow keys turn, Esc goes back").format(
            at=self.at + 1, all=len(self.parts)
        )

    def _paint_heading(self, painter: QPainter, room: QRectF) -> float:
        """The heading above the part; where the part begins."""
        document = self._document(f"<b>{self.shown.heading}</b>", _LARGEST, room.width())
        self._draw(painter, document, room)
        return room.top() + document.size().height() + px(16)

    def _paint_words(self, painter: QPainter, room: QRectF) -> None:
        """The paragraphs in the largest letters with which all of them fit."""
        html = "".join(f"<p>{each}</p>" for each in self.shown.part.paragraphs)
        size = _LARGEST
        document = self._document(html, size, room.width())
        while document.size().height() > room.height() and size > _SMALLEST:
            size *= _STEP
            document = self._document(html, size, room.width())
        self._draw(painter, document, room)

    def _paint_chart(self, painter: QPainter, room: QRectF) -> None:
        assert self.shown.chart is not None
        scale = room.width() / (_ACROSS_MM * MM)
        painter.save()
        painter.translate(room.topLeft())
        painter.scale(scale, scale)
        paper = Paper(painter)
        with paper.chart():
            area = QRectF(0, 0, room.width() / scale, room.height() / scale)
            self.shown.chart(paper, area)
        painter.restore()

    def _document(self, html: str, size: float, width: float) -> QTextDocument:
        letters = QFont(font(Role.BODY))
        letters.setPixelSize(max(px(13), round(size * self.height())))
        document = QTextDocument()
        document.setDocumentMargin(0)
        document.setDefaultFont(letters)
        document.setDefaultStyleSheet("p { margin-top: 0; margin-bottom: 0.5em; }")
        document.setHtml(html.replace(" %", "\u00a0%"))
        document.setTextWidth(width)
        return document

    def _draw(self, painter: QPainter, document: QTextDocument, room: QRectF) -> None:
        context = QAbstractTextDocumentLayout.PaintContext()
        context.palette.setColor(QPalette.ColorRole.Text, QColor(LIGHT.ink))
        painter.save()
        painter.translate(room.topLeft())
        document.documentLayout().draw(painter, context)
        painter.restore()
