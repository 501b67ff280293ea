"""One known moment to type: what the clock showed, when it truly was, how that is known."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Signal
from PySide6.QtWidgets import QGridLayout, QWidget

from app.look.theme import follow_theme
from app.review.clock_stretch import AS_PROPOSED
from app.ui.controls import Label, LineField
from app.ui.controls.drawing import px
from app.ui.kit.clocks_draft import Known
from app.ui.kit.words import tr

_NAME = 132  # px at a text size of 13 px


class KnownMoment(QWidget):
    """Three lines side by side, under their labels where they have `heads`.

    Signals: changed(), entered() with Enter, reached() by focus.
    """

    changed = Signal()
    entered = Signal()
    reached = Signal()

    def __init__(self, name: str, parent: QWidget | None = None, *, heads: bool = True) -> None:
        super().__init__(parent)
        self.shown = LineField("", self, name=tr("{name}: the clock showed").format(name=name))
        self.true = LineField("", self, name=tr("{name}: it truly was").format(name=name))
        self.why = LineField("", self, name=tr("{name}: how it is known").format(name=name))
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(px(8))
        grid.setVerticalSpacing(px(4))
        self._name = Label(name, self, ink="ink2", wrap=True)
        grid.addWidget(self._name, 1, 0)
        labels = (tr("The clock showed"), tr("It truly was"), tr("How it is known"))
        fields = (self.shown, self.true, self.why)
        for column, (label, field) in enumerate(zip(labels, fields, strict=True), 1):
            if heads:
                told = Label(label, self, ink="ink2", wrap=True)
                told.setBuddy(field)
                grid.addWidget(told, 0, column)
            grid.addWidget(field, 1, column)
            grid.setColumnStretch(column, 3 if field is not self.why else 2)
            field.installEventFilter(self)
            field.textChanged.connect(self.changed)
            field.returnPressed.connect(self._on_entered)
        # A proposed shift that was typed over is no longer one.
        for field in (self.shown, self.true):
            field.textEdited.connect(self._on_typed)
        follow_theme(self._restyle)

    @property
    def known(self) -> Known:
        """What is typed."""
        return Known(self.shown.text(), self.true.text(), self.why.text())

    def begin(self, known: Known) -> None:
        """Fill the lines."""
        for field, text in (
            (self.shown, known.shown),
            (self.true, known.true),
            (self.why, known.why),
        ):
            field.setText(text)

    def take_stamp(self, stamp: str) -> None:
        """Speak of another record: its stamp is taken, and its true time is to be typed."""
        if stamp != self.shown.text():
            self.begin(Known(stamp))
        self.true.setFocus()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() is QEvent.Type.FocusIn:
            self.reached.emit()
        return super().eventFilter(watched, event)

    def _on_typed(self, _text: str) -> None:
        if self.why.text() == AS_PROPOSED:
            self.why.clear()

    def _on_entered(self) -> None:
        fields = (self.shown, self.true, self.why)
        empty = next((each for each in fields[:2] if not each.text().strip()), None)
        if empty is None:
            self.entered.emit()
        else:
            empty.setFocus()

    def _restyle(self) -> None:
        self._name.setFixedWidth(px(_NAME))  # both rows stand under the same labels
