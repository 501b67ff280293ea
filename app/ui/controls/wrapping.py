"""Text that wraps between words, and inside a word where that is longer than the line."""

from __future__ import annotations

import re
from collections.abc import Callable

from PySide6.QtCore import QPointF, QSize, Qt
from PySide6.QtGui import QFont, QFontMetrics, QPainter, QPaintEvent, QPalette, QTextLayout
from PySide6.QtGui import QTextOption as Option
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.look.type import Role
from app.ui.controls.labels import Label

_WIDEST = 1 << 20
_UNIT = re.compile(r"(?:(?<=\d) )?\b(mmol|mg)/(?=d?L\b)")


class WrapLabel(Label):
    """A label that is never cut: a name or tag without blanks breaks where the line ends."""

    def __init__(
        self,
        text: str = "",
        parent: QWidget | None = None,
        *,
        role: Role = Role.BODY,
        ink: str = "ink",
    ) -> None:
        super().__init__(text, parent, role=role, ink=ink)
        self.setSizePolicy(hfw_policy())

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        return wrapped(self.text(), self.font(), width, self.layoutDirection())[1]

    def sizeHint(self) -> QSize:
        metrics = QFontMetrics(self.font())
        lines = self.text().split("\n")
        widest = max(metrics.horizontalAdvance(line) for line in lines)
        return QSize(widest + 2, metrics.height() * len(lines))

    def minimumSizeHint(self) -> QSize:
        metrics = QFontMetrics(self.font())
        wide = min(metrics.averageCharWidth() * 6, self.sizeHint().width())
        return QSize(wide, metrics.height())

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setPen(self.palette().color(QPalette.ColorRole.WindowText))
        layout, _ = wrapped(self.text(), self.font(), self.width(), self.layoutDirection())
        layout.draw(painter, QPointF(0, 0))
        painter.end()


def hfw_policy() -> QSizePolicy:
    """As wide as there is room, as high as that width asks for."""
    policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
    policy.setHeightForWidth(True)
    return policy


def lines_of(text: str, width_of: Callable[[str], float], width: float) -> tuple[str, ...]:
    """A text broken between its words into lines of a width; a longer word stands alone."""
    lines: list[str] = []
    for word in text.split():
        line = f"{lines[-1]} {word}" if lines else word
        if lines and width_of(line) <= width:
            lines[-1] = line
        else:
            lines.append(word)
    return tuple(lines)


def unbroken(text: str) -> str:
    """The same text, which no line's end parts between a number and its unit, or in a unit."""
    return _UNIT.sub(lambda found: f"{found[0].replace(' ', chr(0xA0))}\u2060", text)


def wrapped(
    text: str, font: QFont, width: float, direction: Qt.LayoutDirection
) -> tuple[QTextLayout, int]:
    """Text broken into lines, ready to draw, and its height.

    It leans on the leading side of `direction`; its own letters decide which way it is read.
    """
    layout = QTextLayout(unbroken(text).replace("\n", "\u2028"), font)
    option = Option()
    option.setWrapMode(Option.WrapMode.WrapAtWordBoundaryOrAnywhere)
    option.setTextDirection(Qt.LayoutDirection.LayoutDirectionAuto)
    side = (
        Qt.AlignmentFlag.AlignRight
        if direction is Qt.LayoutDirection.RightToLeft
        else Qt.AlignmentFlag.AlignLeft
    )
    option.setAlignment(side | Qt.AlignmentFlag.AlignAbsolute)
    layout.setTextOption(option)
    layout.beginLayout()
    top = 0.0
    while (line := layout.createLine()).isValid():
        line.setLineWidth(width if width > 0 else _WIDEST)
        line.setPosition(QPointF(0, top))
        top += line.height()
    layout.endLayout()
    return layout, max(1, round(top + 0.49))
