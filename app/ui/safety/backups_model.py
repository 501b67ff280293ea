"""The rows of the list of backups, as text: when, of what size, why made, and how they stand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import IntEnum

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from app.store.backup import rows_in
from app.store.backup_facts import BackupFacts, local
from app.ui.safety.words import tr
from app.ui.words import count_words, day_words, minute_words
from app.work.backup import why_words

Index = QModelIndex | QPersistentModelIndex
NOWHERE = QModelIndex()


class Column(IntEnum):
    """The columns in their order."""

    DAY = 0
    TIME = 1
    READINGS = 2
    ROWS = 3
    WHY = 4
    STATE = 5


NUMBERS = (Column.TIME, Column.READINGS, Column.ROWS)


@dataclass(frozen=True, slots=True)
class Listed:
    """A backup, and whether it lies in the second place."""

    facts: BackupFacts
    elsewhere: bool


class BackupsModel(QAbstractTableModel):
    """Backups, the newest first."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._rows: tuple[Listed, ...] = ()
        self._order = "dmy"

    def show_backups(self, rows: Sequence[Listed], date_order: str) -> None:
        """Show these."""
        self.beginResetModel()
        self._rows, self._order = tuple(rows), date_order
        self.endResetModel()

    def backup(self, row: int) -> BackupFacts:
        """The backup of a row."""
        return self._rows[row].facts

    def row_of(self, path: object) -> int | None:
        """The row of a backup by its path."""
        rows = (at for at, each in enumerate(self._rows) if each.facts.path == path)
        return next(rows, None)

    def text(self, row: int, column: Column) -> str:
        """What stands in a cell."""
        listed = self._rows[row]
        facts = listed.facts
        at = local(facts.at, facts.zone)
        known = bool(facts.rows)
        match column:
            case Column.DAY:
                return day_words(at.date(), self._order)
            case Column.TIME:
                return minute_words(at.hour * 60 + at.minute, 24)
            case Column.READINGS:
                return count_words(facts.readings) if known else ""
            case Column.ROWS:
                return count_words(rows_in(facts)) if known else ""
            case Column.WHY:
                why = why_words(facts.why)
                return f"{why}, {tr('second place')}" if listed.elsewhere else why
            case Column.STATE:
                return self._state(facts)

    def rowCount(self, parent: Index = NOWHERE) -> int:
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = NOWHERE) -> int:
        return 0 if parent.isValid() else len(Column)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        column = Column(index.column())
        if role == Qt.ItemDataRole.DisplayRole:
            return self.text(index.row(), column)
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return _side(column)
        if role == Qt.ItemDataRole.ToolTipRole:
            return str(self.backup(index.row()).path)
        return None

    def headerData(
        self,
        section: int,
        orientation: Qt.Orientation,
        role: int = Qt.ItemDataRole.DisplayRole,
    ) -> object:
        if orientation is not Qt.Orientation.Horizontal:
            return None
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return _side(Column(section))
        if role == Qt.ItemDataRole.DisplayRole:
            titles = (tr("Day"), tr("Time"), tr("Readings"), tr("Rows"), tr("Made"), tr("Check"))
            return titles[section]
        return None

    def _state(self, facts: BackupFacts) -> str:
        if facts.verified_at is None:
            return tr("not known to be checked")
        if facts.apart:
            before = count_words(facts.rows_before or 0)
            return tr("checked; kept apart: {n} rows before").format(n=before)
        return tr("checked")


def _side(column: Column) -> Qt.AlignmentFlag:
    side = Qt.AlignmentFlag.AlignRight if column in NUMBERS else Qt.AlignmentFlag.AlignLeft
    return side | Qt.AlignmentFlag.AlignVCenter
