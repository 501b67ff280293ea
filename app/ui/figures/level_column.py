"""What stands below the bar for one level: its sign, range, share and count."""

from __future__ import annotations

from dataclasses import dataclass
from html import escape

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QBoxLayout, QHBoxLayout, QWidget

from app.domain.levels import Level
from app.look.marks import MarkLook
from app.look.theme import follow_theme, tokens_now
from app.look.type import Role, font
from app.ui.controls import Label, MarkSign


@dataclass(frozen=True, slots=True)
class LevelShare:
    """What stands below the bar for one level; `part` is its share, None where none is shown."""

    level: Level
    range: str
    strong: str
    quiet: str
    said: str
    part: float | None


class LevelColumn(QWidget):
    """Sign, range, share and count of one level."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._sign = MarkSign(parent=self, scale=1.0)
        self._range = Label("", self, role=Role.SMALL, ink="ink2", wrap=True)
        self._numbers = Label("", self, wrap=True)
        self._numbers.setTextFormat(Qt.TextFormat.RichText)
        self._shown: LevelShare | None = None
        top = QHBoxLayout()
        top.setSpacing(4)
        top.addWidget(self._sign, 0, Qt.AlignmentFlag.AlignVCenter)
        top.addWidget(self._range, 1)
        self._box = QBoxLayout(QBoxLayout.Direction.TopToBottom, self)
        self._box.setContentsMargins(0, 0, 0, 3)
        self._box.setSpacing(1)
        self._box.addLayout(top, 2)
        self._box.addWidget(self._numbers, 3)
        follow_theme(self._restyle)

    def show_share(self, share: LevelShare) -> None:
        """Show the numbers of a level."""
        self._shown = share
        self._sign.set_look(MarkLook(share.level))
        self._range.setText(share.range)
        self._numbers.setAccessibleName(share.said)
        self._restyle()

    def set_flat(self, flat: bool) -> None:
        """Set its numbers beside the range, or below it."""
        way = QBoxLayout.Direction.LeftToRight if flat else QBoxLayout.Direction.TopToBottom
        self._box.setDirection(way)

    def sign_x(self, bar: QWidget) -> float:
        """Where the middle of its sign lies in the bar, along it."""
        side = min(self._sign.width(), self._sign.height())
        inside = self._sign.width() - side / 2 if self._is_mirrored() else side / 2
        return float(self._sign.mapTo(bar, self._sign.rect().topLeft()).x()) + inside

    def _is_mirrored(self) -> bool:
        return self.layoutDirection() is Qt.LayoutDirection.RightToLeft

    def _restyle(self) -> None:
        if self._shown is None:
            return
        small, ink = font(Role.SMALL).pointSizeF(), tokens_now().ink2
        self._numbers.setText(
            f"<b>{escape(self._shown.strong)}</b> "
            f'<span style="font-size:{small:.2f}pt;color:{ink}">{escape(self._shown.quiet)}</span>'
        )
