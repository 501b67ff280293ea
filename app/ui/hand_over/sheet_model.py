"""The boxes of a paper sheet as typed, each with what stands in the way of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt, Signal

from app.domain.marks import SLOTS, Mark
from app.domain.return_sheet import CellReading, CellTrouble, SheetCell, Understood, key_of
from app.ui.hand_over.words import tr

Index = QModelIndex | QPersistentModelIndex
Read = Callable[[SheetCell], tuple[Understood, ...]]
NOWHERE = QModelIndex()


class SheetModel(QAbstractTableModel):
    """Days down, slots across. Signals: typed(str) when a box was changed by hand, with its key.

    What is typed stays when other days are shown; `cells` gives every box with something in it.
    """

    typed = Signal(str)

    def __init__(
        self, read: Read, name: Callable[[date], str], says: Callable[[Understood], str]
    ) -> None:
        super().__init__()
        self._read, self._name, self._says = read, name, says
        self._days: tuple[date, ...] = ()
        self._texts: dict[tuple[date, Mark], str] = {}
        self._understood: dict[tuple[date, Mark], tuple[Understood, ...]] = {}
        self._asked: Mapping[str, str] = {}
        self._narrow = False

    @property
    def days(self) -> tuple[date, ...]:
        """The days of the rows."""
        return self._days

    def show_days(self, days: Sequence[date]) -> None:
        """Show other days."""
        self.beginResetModel()
        self._days = tuple(days)
        self.endResetModel()

    def cells(self) -> tuple[SheetCell, ...]:
        """Every box with something in it, by day and slot, of days that are not shown too."""
        filled = sorted(self._texts, key=lambda at: (at[0], SLOTS.index(at[1])))
        return tuple(SheetCell(day, slot, self._texts[day, slot]) for day, slot in filled)

    def set_narrow(self, *, narrow: bool) -> bool:
        """Let the heads take one word a line; whether that is a change."""
        if narrow == self._narrow:
            return False
        self._narrow = narrow
        self.headerDataChanged.emit(Qt.Orientation.Horizontal, 0, len(SLOTS) - 1)
        return True

    def empty(self) -> None:
        """Empty every box."""
        self.beginResetModel()
        self._texts, self._understood, self._asked = {}, {}, {}
        self.endResetModel()

    def read_anew(self) -> None:
        """Understand every box again: the unit or the usual times are other ones."""
        self._understood = {(cell.day, cell.slot): self._read(cell) for cell in self.cells()}
        self._all_changed()

    def show_asked(self, asked: Mapping[str, str]) -> None:
        """Mark the readings, by key, that are asked about, with the question."""
        if asked != self._asked:
            self._asked = dict(asked)
            self._all_changed()

    def troubles(self) -> list[CellTrouble]:
        """What was not understood, by day and slot."""
        return [
            each
            for cell in self.cells()
            for each in self._understood.get((cell.day, cell.slot), ())
            if isinstance(each, CellTrouble)
        ]

    def is_wrong(self, index: Index) -> bool:
        """Whether something of a box was not understood."""
        return any(isinstance(each, CellTrouble) for each in self._of(index))

    def is_asked(self, index: Index) -> bool:
        """Whether something of a box is asked about."""
        return any(each.key in self._asked for each in self._of(index))

    def sentence(self, index: Index, *, typing: str | None = None) -> str:
        """What a box says, or what stands in the way; of a text that is still being typed."""
        if not index.isValid():
            return ""
        day, slot = self.at(index)
        found = self._of(index) if typing is None else self._read(SheetCell(day, slot, typing))
        where = f"{self._name(day)}, {tr(slot.words)}"
        if not found:
            return tr("{where}: nothing is typed").format(where=where)
        parts = [self._asked.get(each.key) or self._says(each) for each in found]
        return f"{where}: {' / '.join(parts)}"

    def at(self, index: Index) -> tuple[date, Mark]:
        """The day and the slot of a box."""
        return self._days[index.row()], SLOTS[index.column()]

    def rowCount(self, parent: Index = NOWHERE) -> int:
        return 0 if parent.isValid() else len(self._days)

    def columnCount(self, parent: Index = NOWHERE) -> int:
        return 0 if parent.isValid() else len(SLOTS)

    def flags(self, index: Index) -> Qt.ItemFlag:
        if not index.isValid():
            return Qt.ItemFlag.NoItemFlags
        return super().flags(index) | Qt.ItemFlag.ItemIsEditable

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        if not index.isValid():
            return None
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.EditRole):
            return self._texts.get(self.at(index), "")
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return self.sentence(index)
        if role == Qt.ItemDataRole.ToolTipRole and self._of(index):
            return self.sentence(index)
        return None

    def setData(self, index: Index, value: object, role: int = Qt.ItemDataRole.EditRole) -> bool:
        if not index.isValid() or role != Qt.ItemDataRole.EditRole:
            return False
        text, at = " ".join(str(value).split()), self.at(index)
        if text == self._texts.get(at, ""):
            return False
        if text:
            self._texts[at] = text
            self._understood[at] = self._read(SheetCell(*at, text))
        else:
            self._texts.pop(at, None)
            self._understood.pop(at, None)
        self.dataChanged.emit(index, index)
        self.typed.emit(key_of(*at))
        return True

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> object:
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return Qt.AlignmentFlag.AlignLeading | Qt.AlignmentFlag.AlignVCenter
        if role not in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return None
        if orientation is Qt.Orientation.Vertical:
            return self._name(self._days[section])
        words = tr(SLOTS[section].words)
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return words
        return words.replace(" ", "\n", -1 if self._narrow else 1)

    def _of(self, index: Index) -> tuple[CellReading | CellTrouble, ...]:
        return self._understood.get(self.at(index), ()) if index.isValid() else ()

    def _all_changed(self) -> None:
        if self._days:
            last = self.index(len(self._days) - 1, len(SLOTS) - 1)
            self.dataChanged.emit(self.index(0, 0), last)
