"""Lines to type into, with a label above and a hint or what went wrong below."""

from __future__ import annotations

from PySide6.QtCore import QRect, QSize
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QSizePolicy, QVBoxLayout, QWidget

from app.look.theme import follow_theme, tokens_now
from app.look.type import Role, font
from app.ui.controls.drawing import mirrored, px
from app.ui.controls.labels import Label

_BAR = 3


class LineField(QLineEdit):
    """A line of text, 30 px high, or 42 with `tall` for the entry line; colours by the style sheet.

    With the focus its border is 2 px of ink; the text stays where it was.
    """

    def __init__(
        self,
        text: str = "",
        parent: QWidget | None = None,
        *,
        placeholder: str = "",
        tall: bool = False,
        name: str = "",
    ) -> None:
        super().__init__(text, parent)
        self._tall = tall
        self.setPlaceholderText(placeholder)
        self.setAccessibleName(name)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        follow_theme(self._restyle)

    def sizeHint(self) -> QSize:
        around = px(24 if self._tall else 14)
        return QSize(super().sizeHint().width(), self.fontMetrics().height() + around)

    def minimumSizeHint(self) -> QSize:
        return QSize(self.fontMetrics().averageCharWidth() * 8, self.sizeHint().height())

    def _restyle(self) -> None:
        self.setFont(font(Role.ENTRY if self._tall else Role.BODY))
        self.updateGeometry()


class FieldNote(QWidget):
    """The line under a field: a hint, or a sentence on what went wrong beside a brass bar."""

    def __init__(self, hint: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._hint, self._error = hint, ""
        self._label = Label(hint, self, role=Role.SMALL, ink="ink3", wrap=True)
        self._row = QHBoxLayout(self)
        self._row.addWidget(self._label)
        self._show()

    @property
    def error(self) -> str:
        """The sentence on what went wrong; empty when nothing did."""
        return self._error

    def set_hint(self, hint: str) -> None:
        """Change the hint."""
        self._hint = hint
        self._show()

    def show_error(self, sentence: str) -> None:
        """Say what went wrong in place of the hint."""
        self._error = sentence
        self._show()

    def clear_error(self) -> None:
        """Show the hint again."""
        self.show_error("")

    def paintEvent(self, _event: QPaintEvent) -> None:
        if self._error:
            painter = QPainter(self)
            bar = mirrored(self, QRect(0, 0, _BAR, self.height()))
            painter.fillRect(bar, QColor(tokens_now().brass))
            painter.end()

    def _show(self) -> None:
        # The same on both sides, since margins do not change sides with the direction of writing.
        inset = _BAR + 7 if self._error else 0
        self._row.setContentsMargins(inset, 0, inset, 0)
        self._label.setText(self._error or self._hint)
        self._label.set_ink("ink" if self._error else "ink3")
        self.setVisible(bool(self._error or self._hint))
        self.update()


class Field(QWidget):
    """A control with its label above and its note below; what was typed is never touched."""

    def __init__(
        self, label: str, control: QWidget, parent: QWidget | None = None, *, hint: str = ""
    ) -> None:
        super().__init__(parent)
        self.control = control
        self._label = Label(label, self, ink="ink2")
        self._label.setBuddy(control)
        self._note = FieldNote(hint, self)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addWidget(self._label)
        column.addWidget(control)
        column.addWidget(self._note)
        if not control.accessibleName():
            control.setAccessibleName(label.replace("&", ""))
        control.setAccessibleDescription(hint)

    def show_error(self, sentence: str) -> None:
        """Say what went wrong, to the eye and to a screen reader."""
        self._note.show_error(sentence)
        self.control.setAccessibleDescription(sentence)

    def clear_error(self) -> None:
        """Show the hint again."""
        self.show_error("")
