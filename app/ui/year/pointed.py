"""A drawing in which one thing at a time is pointed at, by the mouse or by keys."""

from __future__ import annotations

from abc import abstractmethod
from typing import Any

from PySide6.QtCore import QEvent, QPointF, Qt, Signal
from PySide6.QtGui import QFocusEvent, QMouseEvent
from PySide6.QtWidgets import QSizePolicy, QWidget


class Pointed(QWidget):
    """What is pointed at is let go when mouse or focus leave. Signals: pointed(what or None).

    A subclass writes `under`, `pointed_at` and `choose`.
    """

    pointed = Signal(object)

    def __init__(self, parent: QWidget | None) -> None:
        super().__init__(parent)
        self._at: Any = None  # where it stands in the drawing
        self.setMouseTracking(True)
        # Time runs to the right in every language.
        self.setLayoutDirection(Qt.LayoutDirection.LeftToRight)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    @property
    @abstractmethod
    def pointed_at(self) -> object:
        """What is pointed at, None for nothing."""

    @abstractmethod
    def under(self, at: QPointF) -> object:
        """Where the thing under a point stands, None for nothing."""

    @abstractmethod
    def choose(self) -> None:
        """Do what a click or Enter on the thing pointed at does."""

    def point(self, at: object) -> None:
        """Point at what stands there, or at nothing."""
        if at != self._at:
            self._at = at
            self.update()
            self.pointed.emit(self.pointed_at)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        super().mouseMoveEvent(event)
        self.point(self.under(event.position()))

    def leaveEvent(self, event: QEvent) -> None:
        super().leaveEvent(event)
        if not self.hasFocus():
            self.point(None)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        super().mouseReleaseEvent(event)
        self.point(self.under(event.position()))
        self.choose()

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.point(None)
        self.update()
