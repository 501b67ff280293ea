"""Goal 7: the table of 150,000 readings beside the same table of 100, and beside bare argsort.

The picture is looked at too: as many rows as there are readings, and what the rows say, so that
nothing is won by showing less.
"""

from __future__ import annotations

import os
import sys
import tempfile
from datetime import date
from pathlib import Path

import numpy as np

from app.domain.marks import MARKS
from app.domain.person import Person
from app.review.table import ReadingsTable, SortBy, Wanted, readings_table, rows_wanted
from app.store.beside import Beside, beside_of
from app.store.columns import columns_of
from app.store.diary import Diary
from app.ui.readings.line import LineWriter
from app.ui.readings.model import SORTS, Column, ReadingsModel
from app.ui.readings.view import ReadingsView
from app.ui.readings.widths import column_texts
from tests.bench.measure import alternated, report
from tests.bench.readings import LAST_DAY, filled_diary

ROWS, FEW = 150_000, 100
TODAY = date.fromordinal(LAST_DAY)
_SIZE = (940, 560)


class Shown:
    """A table on the screen's own terms: model, view, columns fitted to their texts."""

    def __init__(self, diary: Diary, person: Person, *, beside: Beside) -> None:
        self.table: ReadingsTable = readings_table(columns_of(diary, person), person.unit)
        self.writer = LineWriter(self.table, beside, person, TODAY)
        self._turn = 0
        self.model, self.view = self._made()
        self.paint()

    def first_paint(self) -> None:
        """Make model and view anew, with everything shown, and paint once."""
        self.model, self.view = self._made()
        self.paint()

    def paint(self) -> None:
        """Paint what is seen."""
        self.view.grab()

    def scroll(self) -> None:
        """Go on by a twentieth of the whole, and paint."""
        bar = self.view.verticalScrollBar()
        self._turn += 1
        bar.setValue(self._turn % 20 * max(1, bar.maximum() // 20))
        self.view.grab()

    def sort(self) -> None:
        """Sort by the value, each time the other way round, and paint."""
        self.model.sort_next(Column.VALUE)
        self.view.grab()

    def _made(self) -> tuple[ReadingsModel, ReadingsView]:
        model = ReadingsModel()
        view = ReadingsView(model)
        view.resize(*_SIZE)
        model.show(self.writer, Wanted())
        view.fit(column_texts(self.writer, model.rows))
        view.show()
        return model, view


def main() -> int:
    """Measure first paint, scroll and sort; goals 1.5, 1.5 and 2."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from PySide6.QtWidgets import QApplication

    app = QApplication(["bench"])
    with tempfile.TemporaryDirectory() as folder:
        many_diary, many_person = filled_diary(Path(folder), ROWS)
        (other := Path(folder) / "few").mkdir()
        few_diary, few_person = filled_diary(other, FEW)
        many = Shown(many_diary, many_person, beside=beside_of(many_diary, many_person))
        few = Shown(few_diary, few_person, beside=beside_of(few_diary, few_person))
        _look_at(many, ROWS)
        _look_at(few, FEW)
        key = many.table.ordered

        def bare_sort() -> None:
            np.argsort(key, kind="stable")
            few.paint()

        found = alternated(
            {
                "few first": few.first_paint,
                "many first": many.first_paint,
                "few scroll": few.scroll,
                "many scroll": many.scroll,
                "bare sort": bare_sort,
                "many sort": many.sort,
            },
            rounds=15,
        )
        _look_at_sorted(many)
        for shown in (many, few):
            shown.view.close()
        app.processEvents()
        many_diary.close()
        few_diary.close()
    return not all(
        [
            report("first paint of 150,000 rows", found["many first"], found["few first"], 1.5),
            report("scroll in 150,000 rows", found["many scroll"], found["few scroll"], 1.5),
            report("sort of 150,000 rows", found["many sort"], found["bare sort"], 2),
        ]
    )


def _look_at(shown: Shown, n: int) -> None:
    """All rows are there, the first says what was measured last, and it is seen."""
    table, model, view = shown.table, shown.model, shown.view
    assert model.rowCount() == n == len(table.columns)
    newest = table.columns.instant.size - 1
    minute = int(table.columns.minute[newest])
    texts = [model.index(0, column).data() for column in Column]
    assert texts[Column.DAY] == "Thu 12 Mar", texts
    assert texts[Column.TIME] == f"{minute // 60:02}:{minute % 60:02}", texts
    assert texts[Column.VALUE] == table.shown(newest), texts
    assert texts[Column.MARK] == MARKS[int(table.columns.mark[newest])].words, texts
    assert view.rowAt(view.viewport().height() // 2) > 5
    assert set(view.shown_columns()) >= {Column.DAY, Column.TIME, Column.VALUE, Column.MARK}
    picture = view.grab().toImage()
    inks = {picture.pixel(x, y) for x in range(0, 300, 2) for y in range(30, 300)}
    assert len(inks) > 20, "nothing is painted"


def _look_at_sorted(shown: Shown) -> None:
    """The rows stand by value, and none was lost."""
    column, falls = shown.model.sorted_by
    assert SORTS[column] is SortBy.VALUE
    values = shown.table.ordered[shown.model.rows]
    steps = np.diff(values)
    assert (steps <= 0).all() if falls else (steps >= 0).all()
    everything = rows_wanted(shown.table, Wanted(), shown.writer.beside)
    assert np.array_equal(np.sort(shown.model.rows), everything)


if __name__ == "__main__":
    sys.exit(main())
