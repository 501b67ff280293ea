"""What scrolls up and down: a page, or the part of it that has no room."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from app.ui.controls.drawing import px


def scrolled(content: QWidget, parent: QWidget) -> QScrollArea:
    """A room without a frame for `content`; the keyboard walks inside it and it follows."""
    room = QScrollArea(parent)
    room.setFrameShape(QFrame.Shape.NoFrame)
    room.setWidgetResizable(True)
    room.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    room.setWidget(content)
    return room


def scrolled_whole(content: QWidget, page: QWidget) -> QScrollArea:
    """Let a page be nothing but such a room."""
    room = scrolled(content, page)
    outer = QVBoxLayout(page)
    outer.setContentsMargins(0, 0, 0, 0)
    outer.addWidget(room)
    return room


def card_in_the_middle(card: QWidget, whole: QWidget) -> None:
    """Let a widget be nothing but a card, in the middle at its top; it scrolls where it must."""
    middle = QWidget(whole)
    middle.setObjectName("scrolled")
    row = QHBoxLayout(middle)
    row.setContentsMargins(px(12), px(24), px(12), px(24))
    row.addStretch(1)
    row.addWidget(card, 0, Qt.AlignmentFlag.AlignTop)
    row.addStretch(1)
    scrolled_whole(middle, whole)
