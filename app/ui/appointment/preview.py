"""The sheet on the screen: painted by the one painter, as wide as there is room for."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFocusEvent, QImage, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.look.theme import tokens_now
from app.look.tokens import LIGHT
from app.report.paper import PER_INCH, SIZES_MM
from app.report.said import page_said
from app.report.sheet import paint_sheet
from app.review.visit import VisitPage
from app.ui.appointment.words import tr
from app.ui.controls.drawing import paint_ring, px

_WIDEST, _NARROWEST = 900, 260  # px at a text size of 13 px


class SheetPreview(QWidget):
    """The sheet; its words are its accessible text. It keeps the shape of the paper."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._page: VisitPage | None = None
        self._paper = "A4"
        self._image: QImage | None = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(tr("The sheet for the appointment"))
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    def show_page(self, page: VisitPage, paper: str) -> None:
        """Show a sheet on a paper."""
        self._page, self._paper, self._image = page, paper, None
        said = page_said(page)
        parts = (said.tested, said.lows, said.highs, said.know, said.asks)
        told = ". ".join(f"{part.title}: {' '.join(part.paragraphs)}" for part in parts)
        self.setAccessibleDescription(told.replace("<b>", "").replace("</b>", ""))
        self.updateGeometry()
        self.update()

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        wide, high = SIZES_MM[self._paper]
        return round(min(width, px(_WIDEST)) * high / wide)

    def sizeHint(self) -> QSize:
        return QSize(px(_WIDEST), self.heightForWidth(px(_WIDEST)))

    def minimumSizeHint(self) -> QSize:
        return QSize(px(_NARROWEST), self.heightForWidth(px(_NARROWEST)))

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter, tokens = QPainter(self), tokens_now()
        wide = min(self.width(), px(_WIDEST))
        sheet = QRectF((self.width() - wide) / 2, 0, wide, self.heightForWidth(wide))
        painter.fillRect(sheet, QColor(LIGHT.page))  # paper is light
        if self._page is not None:
            ratio = self.devicePixelRatioF()
            size = (sheet.size() * ratio).toSize()
            if self._image is None or self._image.size() != size:
                self._image = _painted(self._page, self._paper, size)
            painter.drawImage(sheet, self._image)
        painter.setPen(QColor(tokens.line))
        painter.drawRect(sheet.adjusted(0, 0, -1, -1))
        if self.hasFocus():
            paint_ring(painter, sheet.toRect(), tokens.ink, radius=0)
        painter.end()

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.update()


def _painted(page: VisitPage, paper: str, size: QSize) -> QImage:
    image = QImage(size, QImage.Format.Format_ARGB32_Premultiplied)
    image.fill(0xFFFFFFFF)
    painter = QPainter(image)
    scale = size.width() / (SIZES_MM[paper][0] / 25.4 * PER_INCH)
    painter.scale(scale, scale)
    paint_sheet(painter, page, size=paper)
    painter.end()
    return image
