"""Where things of a chart lie on the screen: from minutes and glucose to px and back."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF


@dataclass(frozen=True, slots=True)
class Sight:
    """The plot's rectangle in px and the ranges that it shows."""

    plot: QRectF
    left: float
    right: float
    bottom: float
    top: float

    def x(self, at: float) -> float:
        """The px of a place on the axis below."""
        return self.plot.left() + (at - self.left) * self.per_x

    def y(self, value: float) -> float:
        """The px of a value; larger ones lie higher."""
        return self.plot.bottom() - (value - self.bottom) * self.per_y

    def point(self, at: float, value: float) -> QPointF:
        """Both as one point."""
        return QPointF(self.x(at), self.y(value))

    @property
    def per_x(self) -> float:
        """Px for one step of the axis below."""
        return self.plot.width() / (self.right - self.left)

    @property
    def per_y(self) -> float:
        """Px for one step of glucose."""
        return self.plot.height() / (self.top - self.bottom)

    def shows_x(self, at: float) -> bool:
        """Whether a place of the axis below is in sight."""
        return self.left <= at <= self.right

    def shows_y(self, value: float) -> bool:
        """Whether a value is in sight."""
        return self.bottom <= value <= self.top
