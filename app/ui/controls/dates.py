"""Fields for a date and a time: typed whole or part by part, or stepped with the arrow keys."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication, QDate, QSize, Qt, QTime
from PySide6.QtGui import QFontMetrics, QWheelEvent
from PySide6.QtWidgets import QDateEdit, QDateTimeEdit, QSizePolicy, QTimeEdit, QWidget

from app.domain.entry.alone import date_alone, time_alone
from app.look.theme import follow_theme
from app.look.type import Role, font
from app.ui.controls.drawing import px
from app.ui.controls.typed_whole import TypedWhole

_INSET = 8


def _tr(text: str) -> str:
    return QCoreApplication.translate("Dates", text)


class DateField(TypedWhole, QDateEdit):
    """A date. Signals: dateChanged(QDate), editingFinished.

    `order` is Qt's date format, from the person's date order: "d MMM yyyy", "yyyy-MM-dd".
    """

    def __init__(
        self, date: QDate, parent: QWidget | None = None, *, order: str, name: str = ""
    ) -> None:
        super().__init__(date, parent)
        _prepare(self, order, name)
        follow_theme(self._restyle)

    def date(self) -> QDate:
        """The date that stands there, also one that is just being typed over the whole field."""
        self.settle()
        return super().date()

    def read_whole(self, text: str) -> bool:
        """Take the date that a text is, its figures in the order of this field."""
        read = date_alone(text, _order_of(self.displayFormat()))
        there = None if read is None else QDate(read.year, read.month, read.day)
        if there is None or not self.minimumDate() <= there <= self.maximumDate():
            return False
        self.setDate(there)
        return True

    def unread_words(self, text: str) -> str:
        """Why a text is no date for this field, and what stands instead."""
        return _tr(
            '"{text}" is not a date that fits here; {shown} stands. '
            "Write day, month and year, as 2026-02-07."
        ).format(text=text.strip(), shown=self.text())

    def sizeHint(self) -> QSize:
        return _size(self)

    def minimumSizeHint(self) -> QSize:
        return _size(self)

    def focusNextPrevChild(self, forward: bool) -> bool:
        """Tab leaves at once: the arrow keys walk from day to month to year."""
        return bool(QWidget.focusNextPrevChild(self, forward))

    def wheelEvent(self, event: QWheelEvent) -> None:
        event.ignore()  # scrolling a page must not change what the pointer passes

    def _restyle(self) -> None:
        self.setFont(font(Role.BODY))
        self.updateGeometry()


class TimeField(TypedWhole, QTimeEdit):
    """A time of day. Signals: timeChanged(QTime), editingFinished.

    `order` is Qt's time format, from the person's clock: "HH:mm", "h:mm AP".
    """

    def __init__(
        self, time: QTime, parent: QWidget | None = None, *, order: str = "HH:mm", name: str = ""
    ) -> None:
        super().__init__(time, parent)
        _prepare(self, order, name)
        follow_theme(self._restyle)

    def time(self) -> QTime:
        """The time that stands there, also one that is just being typed over the whole field."""
        self.settle()
        return super().time()

    def read_whole(self, text: str) -> bool:
        """Take the time of day that a text is."""
        read = time_alone(text)
        there = None if read is None else QTime(read.hour, read.minute)
        if there is None or not self.minimumTime() <= there <= self.maximumTime():
            return False
        self.setTime(there)
        return True

    def unread_words(self, text: str) -> str:
        """Why a text is no time for this field, and what stands instead."""
        return _tr(
            '"{text}" is not a time of day; {shown} stands. Write it as 18:20 or 6:20 pm.'
        ).format(text=text.strip(), shown=self.text())

    def sizeHint(self) -> QSize:
        return _size(self)

    def minimumSizeHint(self) -> QSize:
        return _size(self)

    def wheelEvent(self, event: QWheelEvent) -> None:
        event.ignore()

    def _restyle(self) -> None:
        self.setFont(font(Role.BODY))
        self.updateGeometry()


def _order_of(form: str) -> str:
    """Which of day, month and year comes first in Qt's format of a date."""
    return {"d": "dmy", "M": "mdy"}.get(form[:1], "ymd")


def _prepare(field: QDateTimeEdit, order: str, name: str) -> None:
    # Else Qt turns the parts around: 20:08 would read 08:20.
    field.setLayoutDirection(Qt.LayoutDirection.LeftToRight)
    field.setDisplayFormat(order)
    field.setAccessibleName(name)
    field.setWrapping(True)
    field.lineEdit().setTextMargins(_INSET, 0, _INSET, 0)  # a style sheet does not reach in here
    field.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)


def _size(field: QDateTimeEdit) -> QSize:
    metrics = QFontMetrics(field.font())
    # A format such as "MMM" shows words of several widths: the widest month and day fit too.
    widest = max(
        metrics.horizontalAdvance(
            field.locale().toString(QDate(2028, month, 28), field.displayFormat())
            if isinstance(field, QDateEdit)
            else field.locale().toString(QTime(month + 11, 58), field.displayFormat())
        )
        for month in range(1, 13)
    )
    return QSize(widest + px(28), metrics.height() + px(14))
