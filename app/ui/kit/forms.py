"""What the forms of the Kit page share; what is typed stays when it is refused or asked about."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Callable, Iterable
from datetime import date, datetime

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import (
    QDialog,
    QFrame,
    QHBoxLayout,
    QScrollArea,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from app.domain.errors import DiaryError, NeedsAnswer, Refused
from app.domain.kit import Meter
from app.review.kit import KitShown
from app.ui.controls import Button, Choice, Field, LineField, SectionTitle, TextColumn
from app.ui.controls.drawing import px
from app.ui.kit.words import tr
from app.ui.session import Session
from app.work.note_down import moment_typed

_WIDE, _MARGIN = 460, 24  # at a text size of 13 px
_AIR = 48  # px left free of the window round a form


class KitForm(QDialog):
    """Fields over a Save button. Enter saves, Esc leaves; a long form scrolls in a small window.

    Signals: done_with(str), the sentence of what was saved.
    """

    done_with = Signal(str)

    def __init__(self, session: Session, title: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self.setWindowTitle(title)
        self.setAccessibleName(title)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(px(_MARGIN), px(20), px(_MARGIN), px(16))
        outer.setSpacing(px(10))
        outer.addWidget(SectionTitle(title, self))
        self._area = _Fields(self)
        outer.addWidget(self._area, 1)
        self.column = self._area.column
        self._row: QHBoxLayout | None = None
        self.trouble = TextColumn("", self)
        self.trouble.setMinimumWidth(px(380))
        self.trouble.setVisible(False)
        self.save = Button(tr("Save"), self, main=True, size="form")
        self.leave = Button(tr("Leave"), self, size="form")
        self.save.setDefault(True)
        self.save.clicked.connect(self.try_to_save)
        self.leave.clicked.connect(self.reject)

    def add_line(
        self, label: str, *, hint: str = "", text: str = "", beside: bool = False
    ) -> LineField:
        """Add a line to type in; `beside` the field before it, where both are short."""
        line = LineField(text, self, name=label)
        self.add_field(Field(label, line, parent=self, hint=hint), beside=beside)
        return line

    def add_choice(
        self,
        label: str,
        choices: Iterable[tuple[str, object]],
        *,
        hint: str = "",
        beside: bool = False,
    ) -> Choice:
        """Add a list to choose from."""
        choice = Choice(choices, name=label)
        self.add_field(Field(label, choice, parent=self, hint=hint), beside=beside)
        return choice

    def add_field(self, field: QWidget, *, beside: bool = False) -> None:
        """Add a field, in a row of its own or beside the one before it."""
        if not beside or self._row is None:
            self._row = QHBoxLayout()
            self._row.setSpacing(px(16))
            self.column.addLayout(self._row)
        place = Qt.AlignmentFlag.AlignTop
        if field.sizePolicy().horizontalPolicy() is QSizePolicy.Policy.Fixed:
            place |= Qt.AlignmentFlag.AlignLeading
        self._row.addWidget(field, 1, place)

    def close_up(self) -> None:
        """Put the buttons below all fields."""
        row = QHBoxLayout()
        row.addStretch(1)
        row.addWidget(self.leave)
        row.addWidget(self.save)
        outer = self.layout()
        assert isinstance(outer, QVBoxLayout)
        outer.addWidget(self.trouble)
        outer.addLayout(row)

    def sizeHint(self) -> QSize:
        hint = super().sizeHint()
        return QSize(max(hint.width(), px(_WIDE)), hint.height())

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        parent = self.parentWidget()
        room = parent.window().size() if parent is not None else self.screen().availableSize()
        wide = min(self.sizeHint().width(), max(px(320), room.width() - _AIR))
        self.resize(wide, min(self.sizeHint().height(), max(px(240), room.height() - _AIR)))

    @abstractmethod
    def write(self, now: datetime) -> str:
        """Save what was typed and say what was done."""

    def try_to_save(self) -> None:
        """Save; what is refused or asked stands above the buttons, and nothing typed is lost."""
        try:
            sentence = self.write(self.session.now())
        except NeedsAnswer as asked:
            self._tell(" ".join(_asked(each.asks, each.answers) for each in asked.questions))
        except DiaryError as trouble:
            self._tell(str(trouble))
        else:
            self.done_with.emit(sentence)
            self.accept()

    def _tell(self, text: str) -> None:
        self.trouble.setText(text)
        self.trouble.setVisible(True)
        self.trouble.setAccessibleName(text)


class _Fields(QScrollArea):
    """The fields of a form at their own height; they scroll only where the window is too small."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        inside = QWidget()
        inside.setObjectName("scrolled")
        self.column = QVBoxLayout(inside)
        self.column.setContentsMargins(2, 2, 2, 2)
        self.column.setSpacing(px(10))
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setWidgetResizable(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setWidget(inside)

    def sizeHint(self) -> QSize:
        inside = self.widget()
        least = inside.minimumSizeHint()
        wide = max(least.width(), px(_WIDE) - 2 * px(_MARGIN)) + self.verticalScrollBar().width()
        return QSize(wide, max(inside.heightForWidth(wide), least.height()))

    def minimumSizeHint(self) -> QSize:
        return QSize(self.widget().minimumSizeHint().width(), px(120))


def whole(text: str, what: str) -> int | None:
    """A whole number as typed, None where nothing was.

    Raises
    ------
    DiaryError
        It is no whole number; the sentence names `what`.
    """
    typed = text.strip()
    if not typed:
        return None
    if not typed.isdecimal():
        raise DiaryError(tr("{what}: say a whole number. Nothing was saved.").format(what=what))
    return int(typed)


def day_said(text: str, session: Session, now: datetime) -> date | None:
    """A day as typed ("2026-03-01", "1 Mar", "yesterday"), None where nothing was.

    Raises
    ------
    DiaryError
        It is no day, or it could be several.
    """
    typed = text.strip()
    if not typed:
        return None
    try:
        return date.fromisoformat(typed)
    except ValueError:
        noon = moment_typed(f"{typed} 12:00", session.person, now=now, sure=True)
        return date.fromordinal(noon.day)


def day_text(day: int | None) -> str:
    """A date ordinal as it stands in a field to be corrected; nothing where it is not known."""
    return "" if day is None else date.fromordinal(day).isoformat()


def meter_choices(shown: KitShown) -> list[tuple[str, object]]:
    """The meters by name; those out of use come last."""
    lines = sorted(shown.meters, key=lambda each: each.meter.last_day is not None)
    return [(each.meter.name, each.meter.id) for each in lines]


def meter_of(shown: KitShown, chosen: object) -> Meter:
    """The meter that was chosen by its local id.

    Raises
    ------
    Refused
        There is none.
    """
    found = next((each.meter for each in shown.meters if each.meter.id == chosen), None)
    if found is None:
        raise Refused(tr("There is no meter yet; New meter begins it. Nothing was saved."))
    return found


def _asked(asks: str, answers: tuple[str, ...]) -> str:
    ways = [each for each in answers if not each.startswith("--")]
    return tr("{asks} Say it as {ways}.").format(asks=asks, ways=", ".join(ways)) if ways else asks


FormOf = Callable[[Session, KitShown, QWidget], KitForm]
