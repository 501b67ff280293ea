"""A list of things with a time: what is due, what is to be followed up, a day's planned tests."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import (
    QAbstractListModel,
    QItemSelectionModel,
    QModelIndex,
    QPersistentModelIndex,
    QPoint,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import (
    QContextMenuEvent,
    QFocusEvent,
    QKeyEvent,
    QMouseEvent,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QAbstractItemView, QFrame, QListView, QSizePolicy, QWidget

from app.look.theme import follow_theme
from app.ui.due.row_painting import RowPainter
from app.ui.plan.signs import Sign
from app.ui.words import joined

ROW_ROLE = int(Qt.ItemDataRole.UserRole) + 1

_Index = QModelIndex | QPersistentModelIndex


@dataclass(frozen=True, slots=True)
class Row:
    """A time, what is due then, quieter words to it; `late` is washed in brass.

    Where there is no room for `note`, `short` stands in its place.

    `key` names it for good, `about` is what the list was told with it.
    """

    key: str
    when: str
    title: str
    note: str = ""
    short: str = ""
    late: bool = False
    quiet: bool = False
    sign: Sign | None = None
    about: object = None

    @property
    def words(self) -> str:
        """All of it in one line."""
        return joined((self.when, self.title, self.note))


class RowModel(QAbstractListModel):
    """The rows of a list."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._rows: tuple[Row, ...] = ()

    @property
    def rows(self) -> tuple[Row, ...]:
        """What is shown."""
        return self._rows

    def show_rows(self, rows: Sequence[Row]) -> None:
        """Show other rows."""
        self.beginResetModel()
        self._rows = tuple(rows)
        self.endResetModel()

    def rowCount(self, parent: _Index = QModelIndex()) -> int:  # noqa: B008  (Qt's own default)
        return 0 if parent.isValid() else len(self._rows)

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        if not index.isValid():
            return None
        row = self._rows[index.row()]
        if role == ROW_ROLE:
            return row
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return row.words
        return None


class RowList(QListView):
    """Rows as high as their words, with no scroll bar; one Tab stop, walked by the arrow keys.

    Signals: opened(Row) Enter or a click, looked_at(Row) the current row changed, menu_wanted(Row,
    QPoint) the global place for a menu.

    Parameters
    ----------
    name : str
        What a screen reader says of the whole.
    beside : bool
        The quieter words stand at the far end of the line, else below the title.
    inset : float
        Room at both sides that the wash fills, at a text size of 13 px.
    opens : bool
        Something comes of a row; without, it is to be read alone and no Tab stop.
    """

    opened = Signal(object)
    looked_at = Signal(object)
    menu_wanted = Signal(object, QPoint)

    def __init__(
        self,
        parent: QWidget | None = None,
        *,
        name: str,
        beside: bool = False,
        inset: float = 0,
        opens: bool = True,
    ) -> None:
        super().__init__(parent)
        self.opens = opens
        self._silent = False
        self.lines = RowModel(self)
        self.painter_of_rows = RowPainter(self, beside=beside, inset=inset)
        self.setModel(self.lines)
        self.setItemDelegate(self.painter_of_rows)
        self.setAccessibleName(name)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setSelectionMode(QAbstractItemView.SelectionMode.NoSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.setMouseTracking(opens)
        if not opens:
            self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.viewport().setAutoFillBackground(False)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        follow_theme(self._restyle)

    @property
    def rows(self) -> tuple[Row, ...]:
        """What is shown."""
        return self.lines.rows

    def show_rows(self, rows: Sequence[Row]) -> None:
        """Show other rows; the current one stays where it is still there."""
        if tuple(rows) == self.lines.rows:
            return
        at = self.current()
        self.lines.show_rows(rows)
        if at is not None:
            self.look_at(at.key)
        self.painter_of_rows.forget()
        self.updateGeometry()
        self.doItemsLayout()

    def current(self) -> Row | None:
        """The row that the keys speak of."""
        index = self.currentIndex()
        return self.lines.rows[index.row()] if index.isValid() else None

    def look_at(self, key: str) -> None:
        """Make the row of a key the current one, where it is there; nothing is told of it."""
        keys = [row.key for row in self.lines.rows]
        if key in keys:
            self._silent = True
            self._set_current(keys.index(key))
            self._silent = False

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        return sum(self.painter_of_rows.height(row, width) for row in self.lines.rows)

    def sizeHint(self) -> QSize:
        wide = max((self.painter_of_rows.width(row) for row in self.lines.rows), default=0)
        return QSize(wide, self.heightForWidth(self.width()))

    def minimumSizeHint(self) -> QSize:
        return QSize(0, 0)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.oldSize().width() != event.size().width():
            self.updateGeometry()
            self.doItemsLayout()

    def wheelEvent(self, event: QWheelEvent) -> None:
        event.ignore()

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        if self.current() is None and self.lines.rows:
            self._set_current(0)
        self.viewport().update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.viewport().update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        row = self.current()
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and row is not None:
            self.opened.emit(row)
        elif event.key() in (Qt.Key.Key_PageUp, Qt.Key.Key_PageDown, Qt.Key.Key_Escape):
            event.ignore()
        else:
            super().keyPressEvent(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        super().mouseReleaseEvent(event)
        index = self.indexAt(event.position().toPoint())
        if event.button() is Qt.MouseButton.LeftButton and index.isValid() and self.opens:
            self.opened.emit(self.lines.rows[index.row()])

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        index = self.currentIndex()
        if event.reason() is not QContextMenuEvent.Reason.Keyboard:
            index = self.indexAt(self.viewport().mapFromGlobal(event.globalPos()))
        if index.isValid():
            self._set_current(index.row())
            at = self.viewport().mapToGlobal(self.visualRect(index).bottomLeft())
            self.menu_wanted.emit(self.lines.rows[index.row()], at)

    def currentChanged(self, current: _Index, previous: _Index) -> None:
        super().currentChanged(current, previous)
        self.viewport().update()
        if current.isValid() and not self._silent:
            self.looked_at.emit(self.lines.rows[current.row()])

    def _set_current(self, place: int) -> None:
        self.selectionModel().setCurrentIndex(
            self.lines.index(place, 0), QItemSelectionModel.SelectionFlag.NoUpdate
        )

    def _restyle(self) -> None:
        self.painter_of_rows.forget()
        self.updateGeometry()
        self.doItemsLayout()
