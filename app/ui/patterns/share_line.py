"""A share with its interval on a line from 0 over 50 to 100 %, for table rows and questions."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.look.theme import follow_theme, tokens_now
from app.look.tokens import Tokens
from app.statistics.proportion import Proportion
from app.ui.controls.drawing import px

_TALL, _TICK, _THICK, _MARK = 16.0, 8.0, 4.0, 2.0
_WIDE = 110


def paint_share(
    painter: QPainter, area: QRectF, share: Proportion | None, tokens: Tokens, *, turned: bool
) -> None:
    """Paint the line across `area`, and on it the interval as a bar and the share as a stroke.

    `share` is None where no share is shown: then the line alone is there. `turned` begins it at
    the right.
    """
    middle = round(area.center().y())
    left, width = round(area.left()), max(1, round(area.width()) - 1)

    def x(part: float) -> int:
        return left + round(width * (1 - part if turned else part))

    painter.fillRect(QRectF(left, middle, width + 1, 1), QColor(tokens.edge))
    tick = px(_TICK)
    for part in (0.0, 0.5, 1.0):
        painter.fillRect(QRectF(x(part), middle - tick // 2, 1, tick + 1), QColor(tokens.edge))
    if share is None or share.share is None or share.low is None or share.high is None:
        return
    begin, end = sorted((x(share.low), x(share.high)))
    thick = px(_THICK)
    bar = QRectF(begin, middle - thick // 2, max(2, end - begin), thick)
    painter.fillRect(bar, QColor(tokens.ink2))
    mark, tall = px(_MARK), px(_TALL)
    at = QRectF(x(share.share) - mark // 2, middle - tall // 2, mark, tall)
    painter.fillRect(at.adjusted(-1, 0, 1, 0), QColor(tokens.page))
    painter.fillRect(at, QColor(tokens.ink))


class ShareLine(QWidget):
    """The same as a small widget, as wide as there is room; what it shows stands beside it."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._share: Proportion | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        follow_theme(self._restyle)

    def show_share(self, share: Proportion | None, said: str) -> None:
        """Show a share, or the bare line; `said` is what it tells."""
        self._share = share
        self.setAccessibleName(said)
        self.setToolTip(said)
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(px(_WIDE), px(_TALL) + 4)

    def minimumSizeHint(self) -> QSize:
        return QSize(px(_WIDE) // 2, px(_TALL) + 4)

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        area = QRectF(self.rect()).adjusted(1, 0, -1, 0)
        paint_share(painter, area, self._share, tokens_now(), turned=self.isRightToLeft())
        painter.end()

    def _restyle(self) -> None:
        self.updateGeometry()
        self.update()
