"""The card on the screen: an image that another thread painted by the one painter."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFocusEvent, QImage, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.look.theme import tokens_now
from app.look.tokens import LIGHT
from app.report.paper import SIZES_MM
from app.ui.controls.drawing import paint_ring, px
from app.ui.hand_over.words import tr

_WIDEST, _NARROWEST = 900, 160  # px at a text size of 13 px


class CardPreview(QWidget):
    """The card, its words as the accessible text. Signals: resized() when it could be sharper."""

    resized = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._image: QImage | None = None
        self._paper, self._whole = "A4", False
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(tr("The hand-over card"))
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    @property
    def has_card(self) -> bool:
        """Whether a card is shown."""
        return self._image is not None

    def pixels(self, *, paper: str) -> QSize:
        """How many pixels a whole page should have, to be sharp here."""
        wide, high = SIZES_MM[paper]
        across = round(self._wide() * self.devicePixelRatioF())
        return QSize(across, round(across * high / wide))

    def show_card(self, image: QImage, words: str, *, paper: str, whole: bool) -> None:
        """Show a page that holds a card: its upper half, or the whole of it."""
        self._image, self._paper, self._whole = image, paper, whole
        self.setAccessibleDescription(words)
        self.updateGeometry()
        self.update()

    def show_nothing(self) -> None:
        """Take the card away."""
        self._image = None
        self.update()

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        wide, high = SIZES_MM[self._paper]
        return round(min(width, px(_WIDEST)) * high / wide / (1 if self._whole else 2))

    def sizeHint(self) -> QSize:
        return QSize(px(_WIDEST), self.heightForWidth(px(_WIDEST)))

    def minimumSizeHint(self) -> QSize:
        return QSize(px(_NARROWEST), self.heightForWidth(px(_NARROWEST)))

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter, tokens = QPainter(self), tokens_now()
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        wide = self._wide()
        card = QRectF((self.width() - wide) / 2, 0, wide, self.heightForWidth(wide))
        painter.fillRect(card, QColor(LIGHT.page))  # paper is light
        if self._image is not None:
            high = self._image.height() / (1 if self._whole else 2)
            painter.drawImage(card, self._image, QRectF(0, 0, self._image.width(), high))
        painter.setPen(QColor(tokens.line))
        painter.drawRect(card.adjusted(0, 0, -1, -1))
        if self.hasFocus():
            paint_ring(painter, card.toRect(), LIGHT.ink, radius=0)
        painter.end()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.resized.emit()

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.update()

    def _wide(self) -> int:
        return min(self.width(), px(_WIDEST))
