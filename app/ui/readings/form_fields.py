"""The fields of the form of one reading, in the order of the eye."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QSignalBlocker, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QCompleter,
    QHBoxLayout,
    QPlainTextEdit,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from app.domain.glucose import Unit
from app.domain.marks import known_mark
from app.look.theme import follow_theme
from app.look.type import Role, font
from app.ui.controls import CheckBox, Choice, Field, LineField
from app.ui.controls.drawing import px
from app.ui.readings.typed import HANDS, NO_SITE, Typed, marks_to_choose, sites_to_choose
from app.ui.readings.words import tr


class FormFields(QWidget):
    """Every field of a reading. Signals: changed(), submitted() by Enter in a line."""

    changed = Signal()
    submitted = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.value = LineField()
        self.unit = Choice([(unit.value, unit) for unit in Unit], name=tr("Unit"))
        self.time = LineField()
        self.mark = _WideChoice(name=tr("Mark"))
        self.after_min = LineField()
        self.site = _WideChoice(name=tr("Sampling site"))
        self.hands = _WideChoice(
            [(tr("not said"), HANDS[0]), (tr("washed"), HANDS[1]), (tr("not washed"), HANDS[2])],
            name=tr("Hands"),
        )
        self.note = _NoteField()
        self.private = CheckBox(tr("The note stays in this home"))
        self.private.setToolTip(
            tr("It stays behind when copies of the diary are brought together, and is on no sheet.")
        )
        self.tags = LineField()
        self.keeper = LineField()
        self._fields = {
            "value": Field(tr("Result"), self._result()),
            "time": Field(tr("Time"), self.time),
            "mark": Field(tr("Mark"), self.mark),
            "after_min": Field(tr("Minutes after the meal began"), self.after_min),
            "note": Field(tr("Note"), self.note),
            "tags": Field(tr("Tags"), self.tags, hint=tr("parted by commas")),
            "site": Field(tr("Sampling site"), self.site),
            "hands": Field(tr("Hands"), self.hands),
            "keeper": Field(tr("Keeper"), self.keeper, hint=tr("who wrote it")),
        }
        self.value.setAccessibleName(tr("Result"))
        self._column = QVBoxLayout(self)
        for name, each in self._fields.items():
            self._column.addWidget(each)
            if name == "note":
                self._column.addWidget(self.private)
        self._column.addStretch(1)
        self._connect()
        follow_theme(self._restyle)

    def place(self, name: str, widget: QWidget) -> None:
        """Put a widget below a field: what is asked about it."""
        self._column.insertWidget(self._column.indexOf(self._fields[name]) + 1, widget)

    def control(self, name: str) -> QWidget:
        """The control of a field."""
        return self.value if name == "value" else self._fields[name].control

    def show_error(self, name: str, sentence: str) -> None:
        """Say what went wrong below a field; an empty sentence takes that away."""
        self._fields[name].show_error(sentence)

    def clear_errors(self) -> None:
        """Say nothing of what went wrong any more."""
        for each in self._fields.values():
            each.clear_error()

    def suggest_keepers(self, names: Sequence[str]) -> None:
        """Offer names that were used before."""
        completer = QCompleter(list(names), self.keeper)
        popup = completer.popup()
        if popup is not None:
            popup.setObjectName("popup")  # a window of its own: it needs a ground
        completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        self.keeper.setCompleter(completer)

    def typed(self) -> Typed:
        """What stands in the fields."""
        # Qt hands back mere text for a unit, and a list for a pair.
        site = self.site.value()
        return Typed(
            value=self.value.text(),
            unit=Unit(str(self.unit.value())),
            time=self.time.text(),
            mark=str(self.mark.value()),
            after_min=self.after_min.text(),
            site=(site[0], site[1]) if isinstance(site, (tuple, list)) else NO_SITE,
            hands=str(self.hands.value()),
            note=self.note.toPlainText(),
            note_is_private=self.private.isChecked(),
            tags=self.tags.text(),
            keeper=self.keeper.text(),
        )

    def set_typed(self, typed: Typed) -> None:
        """Fill the fields, without a signal."""
        blocker = QSignalBlocker(self)
        for field, text in (
            (self.value, typed.value),
            (self.time, typed.time),
            (self.after_min, typed.after_min),
            (self.tags, typed.tags),
            (self.keeper, typed.keeper),
        ):
            field.setText(text)
            field.setCursorPosition(0)
        self.note.setPlainText(typed.note)
        self.private.setChecked(typed.note_is_private)
        self.unit.choose(typed.unit)
        _offer(self.mark, marks_to_choose(typed.mark), typed.mark)
        _offer(self.site, sites_to_choose(typed.site), typed.site)
        self.hands.setCurrentIndex(HANDS.index(typed.hands) if typed.hands in HANDS else 0)
        blocker.unblock()
        self._show_minutes()

    def _result(self) -> QWidget:
        both = QWidget()
        row = QHBoxLayout(both)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(6)
        row.addWidget(self.value, 1)
        row.addWidget(self.unit)
        both.setFocusProxy(self.value)
        return both

    def _connect(self) -> None:
        for field in (self.value, self.time, self.after_min, self.tags, self.keeper):
            field.textEdited.connect(self._on_changed)
            field.returnPressed.connect(self.submitted)
        for choice in (self.unit, self.mark, self.site, self.hands):
            choice.activated.connect(self._on_changed)
        self.note.textChanged.connect(self._on_changed)
        self.private.toggled.connect(self._on_changed)
        self.note.submitted.connect(self.submitted)

    def _on_changed(self) -> None:
        self._show_minutes()
        self.changed.emit()

    def _show_minutes(self) -> None:
        mark = known_mark(str(self.mark.value()))
        self._fields["after_min"].setVisible(mark is not None and mark.is_after_meal)
        self.private.setEnabled(bool(self.note.toPlainText().strip()))

    def _restyle(self) -> None:
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(px(8))


class _WideChoice(Choice):
    """A choice as wide as its place, with its own widest text kept from widening the form."""

    def __init__(self, choices: Sequence[tuple[str, object]] = (), *, name: str) -> None:
        super().__init__(choices, name=name)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)


class _NoteField(QPlainTextEdit):
    """Two lines of text that grow no page; Tab goes on. Signals: submitted() by Ctrl+Enter."""

    submitted = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setTabChangesFocus(True)
        self.setAccessibleName(tr("Note"))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        follow_theme(self._restyle)

    def sizeHint(self) -> QSize:
        return QSize(px(160), 3 * self.fontMetrics().height() + px(14))

    def minimumSizeHint(self) -> QSize:
        return QSize(px(80), self.sizeHint().height())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if enter and event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.submitted.emit()
        elif event.key() == Qt.Key.Key_Escape:
            event.ignore()
        else:
            super().keyPressEvent(event)

    def _restyle(self) -> None:
        self.setFont(font(Role.BODY))
        self.updateGeometry()


def _offer(choice: Choice, lines: Sequence[tuple[str, object]], chosen: object) -> None:
    choice.clear()
    for text, value in lines:
        choice.addItem(text or tr("not said"), value)
    choice.setCurrentIndex([value for _, value in lines].index(chosen))
