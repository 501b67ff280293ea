"""Text in a role and an ink, lines of text that wrap, and the hairline between sections."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QSize, Qt
from PySide6.QtGui import QColor, QFontMetrics, QPainter, QPaintEvent, QPalette
from PySide6.QtWidgets import QLabel, QSizePolicy, QWidget

from app.look.theme import follow_theme, tokens_now
from app.look.type import Role, font
from app.ui.controls.drawing import leading, trailing

_LONGEST_LINE = 90  # characters; longer lines lose the eye on its way back (common practice)


class Label(QLabel):
    """Plain text in one role and one ink; what people typed is never read as markup.

    Parameters
    ----------
    text : str
        Shown as it is.
    role : Role
        How it is set.
    ink : str
        The name of a colour token: "ink", "ink2", "ink3", "brass", "low_text" ...
    wrap : bool
        Over several lines where the room is narrow.
    at_end : bool
        At the far side of its room, for a column of numbers.
    """

    def __init__(
        self,
        text: str = "",
        parent: QWidget | None = None,
        *,
        role: Role = Role.BODY,
        ink: str = "ink",
        wrap: bool = False,
        at_end: bool = False,
    ) -> None:
        super().__init__(parent)
        self._role, self._ink, self._at_end = role, ink, at_end
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setWordWrap(wrap)
        self.setText(text)
        follow_theme(self._restyle)

    def set_ink(self, ink: str) -> None:
        """Change the colour to that of another token."""
        self._ink = ink
        self._restyle()

    def set_role(self, role: Role) -> None:
        """Change how it is set."""
        self._role = role
        self._restyle()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() is QEvent.Type.LayoutDirectionChange:
            self._align()

    def _align(self) -> None:
        side = trailing(self) if self._at_end else leading(self)
        self.setAlignment(side | Qt.AlignmentFlag.AlignVCenter)

    def _restyle(self) -> None:
        self._align()
        self.setFont(font(self._role))
        palette = QPalette(self.palette())
        palette.setColor(QPalette.ColorRole.WindowText, QColor(getattr(tokens_now(), self._ink)))
        self.setPalette(palette)
        self.updateGeometry()


class TextColumn(Label):
    """Running text that wraps and stops at 90 characters a line."""

    def __init__(
        self,
        text: str = "",
        parent: QWidget | None = None,
        *,
        role: Role = Role.BODY,
        ink: str = "ink",
    ) -> None:
        super().__init__(text, parent, role=role, ink=ink, wrap=True)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    def heightForWidth(self, width: int) -> int:
        # A layout asks for its own width, which may be beyond that of the longest line.
        return super().heightForWidth(min(width, self.maximumWidth()))

    def _restyle(self) -> None:
        super()._restyle()
        self.setMaximumWidth(QFontMetrics(self.font()).averageCharWidth() * _LONGEST_LINE)


class Hairline(QWidget):
    """A rule of 1 px across; `strong` where it bounds something: over a table, before a day."""

    def __init__(self, parent: QWidget | None = None, *, strong: bool = False) -> None:
        super().__init__(parent)
        self._strong = strong
        self.setFixedHeight(1)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        follow_theme(self.update)

    def sizeHint(self) -> QSize:
        return QSize(1, 1)

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter, tokens = QPainter(self), tokens_now()
        painter.fillRect(self.rect(), QColor(tokens.edge if self._strong else tokens.line))
        painter.end()


def align_baselines(labels: Sequence[QLabel]) -> None:
    """Let labels of different sizes in one row stand on one line; add them with AlignBottom."""
    deepest = max(QFontMetrics(label.font()).descent() for label in labels)
    for label in labels:
        lift = deepest - QFontMetrics(label.font()).descent()
        label.setContentsMargins(0, 0, 0, lift)
