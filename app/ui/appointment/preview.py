"""The sheets on the screen: painted by the one painter off the GUI thread, as wide as fits."""

from __future__ import annotations

from functools import partial
from html import unescape

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFocusEvent, QImage, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.look.theme import tokens_now
from app.look.tokens import LIGHT
from app.report.paper import SIZES_MM
from app.report.said import page_said
from app.report.screen import Painted, painted
from app.review.second_sheet import SecondSheet
from app.review.visit import VisitPage
from app.ui.appointment.words import tr
from app.ui.controls.drawing import paint_ring, px
from app.ui.job import Job

_WIDEST, _NARROWEST = 900, 260  # px at a text size of 13 px
_BETWEEN = 12
MOST_SHOWN = 4  # pages; the file and the printer get all of them


class SheetPreview(QWidget):
    """The sheets; their words are its accessible text. It keeps the shape of the paper.

    Signals: painted_anew() when what is seen is what was asked for last.
    """

    painted_anew = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._asked: tuple[VisitPage, SecondSheet | None] | None = None
        self._paper = "A4"
        self._seen: Painted | None = None
        self._wanted: tuple[object, str, int] | None = None
        self._job = Job(self)
        self._job.answered.connect(self._on_painted)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(tr("The sheet for the appointment"))
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    @property
    def pages(self) -> int:
        """How many pages there are, also those that are not shown; 0 before the first is."""
        return self._seen.pages if self._seen is not None else 0

    @property
    def images(self) -> tuple[QImage, ...]:
        """The pages as they are seen."""
        return self._seen.images if self._seen is not None else ()

    def show_page(self, page: VisitPage, paper: str, second: SecondSheet | None = None) -> None:
        """Show a sheet on a paper, and the second one where there is one."""
        self._asked, self._paper, self._wanted = (page, second), paper, None
        said = page_said(page)
        parts = (said.tested, said.lows, said.highs, said.know, said.asks)
        told = ". ".join(f"{part.title}: {' '.join(part.paragraphs)}" for part in parts)
        self.setAccessibleDescription(unescape(told.replace("<b>", "").replace("</b>", "")))
        self.updateGeometry()
        self._paint_anew()
        self.update()

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        count = max(1, len(self.images))
        return count * self._page_height(min(width, px(_WIDEST))) + (count - 1) * px(_BETWEEN)

    def sizeHint(self) -> QSize:
        return QSize(px(_WIDEST), self.heightForWidth(px(_WIDEST)))

    def minimumSizeHint(self) -> QSize:
        return QSize(px(_NARROWEST), self.heightForWidth(px(_NARROWEST)))

    def paintEvent(self, _event: QPaintEvent) -> None:
        self._paint_anew()
        painter, tokens = QPainter(self), tokens_now()
        wide = min(self.width(), px(_WIDEST))
        high, left = self._page_height(wide), (self.width() - wide) / 2
        for at, image in enumerate(self.images or (None,)):
            sheet = QRectF(left, at * (high + px(_BETWEEN)), wide, high)
            painter.fillRect(sheet, QColor(LIGHT.page))  # paper is light
            if image is not None:
                painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
                painter.drawImage(sheet, image)
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

    def _page_height(self, width: int) -> int:
        wide, high = SIZES_MM[self._paper]
        return round(width * high / wide)

    def _paint_anew(self) -> None:
        """Ask for the pages in the size that they are seen in; meanwhile the old ones stand."""
        if self._asked is None or not self.isVisible():
            return
        wide = round(min(self.width(), px(_WIDEST)) * self.devicePixelRatioF())
        wanted = (self._asked, self._paper, wide)
        if wanted == self._wanted:
            return
        self._wanted = wanted
        page, second = self._asked
        self._job.start(partial(painted, page, second, self._paper, wide, most=MOST_SHOWN))

    def _on_painted(self, seen: Painted) -> None:
        self._seen = seen
        self.updateGeometry()
        self.update()
        self.painted_anew.emit()
