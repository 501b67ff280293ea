"""The shares of the five levels as one bar, each part led to its number below."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import (
    QColor,
    QFocusEvent,
    QKeyEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPolygonF,
    QResizeEvent,
)
from PySide6.QtWidgets import QBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from app.domain.levels import Level
from app.look.theme import follow_theme, tokens_now
from app.look.type import Role, font
from app.ui.controls.drawing import paint_ring, px
from app.ui.figures.level_column import LevelColumn, LevelShare

_BAR, _LEADERS, _GAP, _LEAST = 22, 24, 2, 3
_COLUMN_PX, _FOLDED_PX = 118, 240  # the narrowest of five columns, and of the rows instead
_STEP = 4  # between leaders that run side by side


class ShareBar(QWidget):
    """A bar of five parts. One Tab stop; the left and right arrows walk the parts."""

    help_key = "shares"

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shares: tuple[LevelShare, ...] = ()
        self._missing = ""
        self._finding = ""
        self._at = 0
        self._bar = QWidget(self)  # keeps the room of bar and leaders
        self._columns = [LevelColumn(self) for _ in Level]
        self._column = column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self._bar)
        self._row = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        for each in self._columns:
            self._row.addWidget(each, 1, Qt.AlignmentFlag.AlignTop)
        column.addLayout(self._row)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        follow_theme(self._restyle)

    def show_shares(self, shares: Sequence[LevelShare], *, missing: str, finding: str) -> None:
        """Show five shares, or the words for why there are none; `finding` is what they say."""
        self._shares, self._missing, self._finding = tuple(shares), missing, finding
        for column, share in zip(self._columns, shares, strict=True):
            column.show_share(share)
        self._say()
        self.update()

    @property
    def is_folded(self) -> bool:
        """Whether the levels stand below each other, without leaders."""
        return self._row.direction() is QBoxLayout.Direction.TopToBottom

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        self._fold(width)
        return self._column.totalHeightForWidth(width)

    def minimumSizeHint(self) -> QSize:
        return QSize(px(_FOLDED_PX), px(_BAR))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step = {Qt.Key.Key_Right: 1, Qt.Key.Key_Left: -1}.get(Qt.Key(event.key()), 0)
        if not step:
            super().keyPressEvent(event)
            return
        if self._right_to_left():
            step = -step
        self._at = min(len(self._columns) - 1, max(0, self._at + step))
        self._say()
        self.update()

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.update()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fold(event.size().width())
        self._column.activate()  # at once: a picture may be taken before the next event
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter, tokens = QPainter(self), tokens_now()
        parts = self.parts()
        if not parts:
            self._paint_missing(painter)
        for share, part in zip(self._shares, parts, strict=False):
            if part.width() <= 0:
                continue
            if share.level is Level.IN_RANGE:
                painter.setPen(QPen(QColor(tokens.spe), 1))
                painter.setBrush(QColor(tokens.sp1))
                painter.drawRect(part.adjusted(0.5, 0.5, -0.5, -0.5))
            else:
                painter.fillRect(part, QColor(tokens.level_colour(share.level)))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(QColor(tokens.spe), 1))
        for leader in [] if self.is_folded else self._leaders(parts):
            painter.drawPolyline(leader)
        if self.hasFocus():
            self._paint_focus(painter, parts)
        painter.end()

    def parts(self) -> list[QRectF]:
        """Where each level lies in the bar, empty ones with no width; none without shares."""
        if self._missing or not self._shares:
            return []
        given = [share.part or 0.0 for share in self._shares]
        there = [part > 0 for part in given]
        if not any(there):
            return []
        room = self._room()
        free = room.width() - px(_GAP) * (sum(there) - 1)
        widths = [max(px(_LEAST), part * free) if part else 0.0 for part in given]
        over = sum(widths) - free  # what the thin ones took more than their share
        widest = widths.index(max(widths))
        widths[widest] -= over
        found, at = [], room.left()
        for width in widths:
            left = round(at)
            found.append(QRectF(left, room.top(), round(at + width) - left, room.height()))
            at += width + (px(_GAP) if width else 0)
        return [self._mirrored(part) for part in found]

    def _room(self) -> QRectF:
        return QRectF(0, 4, self.width(), px(_BAR))

    def _leaders(self, parts: Sequence[QRectF]) -> list[QPolygonF]:
        """From the middle of each part down to its column, side by side where they overlap."""
        links = [
            (part.center().x(), column.sign_x(self), at)
            for at, (part, column) in enumerate(zip(parts, self._columns, strict=False))
            if part.width() > 0
        ]
        links.sort()
        top, bottom = self._room().bottom() + 3, float(self._bar.height()) - 1
        found = []
        for at, (start, end, _) in enumerate(links):
            # Of those that run the same way, each must pass the risers of the ones before it.
            same = [other for other in links if (other[1] < other[0]) == (end < start)]
            rank = same.index(links[at])
            level = rank if end < start else len(same) - 1 - rank
            turn = min(bottom - 3, top + 4 + level * px(_STEP))
            found.append(
                QPolygonF(
                    [
                        QPointF(round(start) + 0.5, top),
                        QPointF(round(start) + 0.5, round(turn) + 0.5),
                        QPointF(round(end) + 0.5, round(turn) + 0.5),
                        QPointF(round(end) + 0.5, bottom),
                    ]
                )
            )
        return found

    def _paint_missing(self, painter: QPainter) -> None:
        tokens, room = tokens_now(), self._room()
        painter.setPen(QPen(QColor(tokens.edge), 1, Qt.PenStyle.DashLine))
        painter.drawRect(room.adjusted(0.5, 0.5, -0.5, -0.5))
        painter.setFont(font(Role.SMALL))
        painter.setPen(QColor(tokens.ink2))
        words = painter.fontMetrics().elidedText(
            self._missing, Qt.TextElideMode.ElideRight, round(room.width()) - 16
        )
        painter.drawText(room, Qt.AlignmentFlag.AlignCenter, words)

    def _paint_focus(self, painter: QPainter, parts: Sequence[QRectF]) -> None:
        ink = tokens_now().ink
        paint_ring(painter, self._room().toRect().adjusted(0, -4, 0, 4), ink, radius=2)
        if parts:
            column = self._columns[self._at]
            painter.fillRect(
                QRectF(column.x(), column.geometry().bottom() - 1, column.width(), 2), QColor(ink)
            )

    def _say(self) -> None:
        self.setAccessibleName(self._finding)
        if self._shares:
            self.setAccessibleDescription(self._shares[self._at].said)

    def _right_to_left(self) -> bool:
        return self.layoutDirection() is Qt.LayoutDirection.RightToLeft

    def _mirrored(self, part: QRectF) -> QRectF:
        if not self._right_to_left():
            return part
        return QRectF(self.width() - part.right(), part.top(), part.width(), part.height())

    def _fold(self, width: int) -> None:
        narrow = width < len(self._columns) * px(_COLUMN_PX)
        if narrow is not self.is_folded:
            self._row.setDirection(
                QBoxLayout.Direction.TopToBottom if narrow else QBoxLayout.Direction.LeftToRight
            )
            for column in self._columns:
                self._row.setAlignment(
                    column, Qt.AlignmentFlag(0) if narrow else Qt.AlignmentFlag.AlignTop
                )
                column.set_flat(narrow)
            self._set_sizes()

    def _set_sizes(self) -> None:
        below = px(6) if self.is_folded else px(_LEADERS)
        self._bar.setFixedHeight(px(_BAR) + below + 8)
        self._row.setSpacing(px(2) if self.is_folded else px(12))

    def _restyle(self) -> None:
        self._set_sizes()
        self.update()
