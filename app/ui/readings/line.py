"""One row of the table in words and signs, written when it is about to be seen."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from app.domain.glucose import Unit
from app.domain.marks import MARKS, Mark
from app.domain.person import Person
from app.domain.reading import STANDINGS, Standing
from app.look.marks import MarkLook
from app.look.shapes import tail_of
from app.review.marks_drawn import LEVELS
from app.review.one_reading import wall_at
from app.review.table import BOUNDS, NO_LEVEL, ReadingsTable
from app.store.beside import Beside
from app.store.columns import MMOL_L
from app.ui.reading_words import DASH, doubt_reasons, mark_words, standing_name
from app.ui.readings.words import sign_words, time_state_name, tr
from app.ui.words import clock_words, date_words, joined, number_words


@dataclass(frozen=True, slots=True)
class Line:
    """What stands in a row. `day` is filled in every row; the table shows it once.

    `odd` says only what is out of the ordinary; `doubtful` whether it begins with that.
    """

    id: int
    day: str
    time: str
    value: str
    look: MarkLook | None
    sign: str
    mark: str
    odd: str
    doubtful: bool
    kit: str
    note: str
    keeper: str
    tip: str


class LineWriter:
    """Writes the lines of one table for one person, as of a day."""

    def __init__(self, table: ReadingsTable, beside: Beside, person: Person, today: date) -> None:
        self.table, self.beside, self.person, self.today = table, beside, person, today

    def write(self, row: int) -> Line:
        """The line of one place in the columns."""
        columns, beside = self.table.columns, self.beside
        row_id = int(columns.id[row])
        day = date.fromordinal(int(columns.day[row]))
        wall = wall_at(columns, row, self.person.day_start)
        look = self._look(row)
        odd = self.odd(row)
        tags = (f"#{label}" for label in beside.tags.get(row_id, ()))
        note = joined([*beside.note.get(row_id, "").splitlines(), *tags])
        kit = " ".join(
            name
            for name in (
                beside.meters.get(int(columns.meter[row])),
                beside.vials.get(int(columns.vial[row])),
            )
            if name
        )
        keeper = beside.keepers.get(int(columns.keeper[row]), "")
        value = number_words(self.table.shown(row)) or DASH
        mark = self._mark(row, row_id)
        at = f"{date_words(wall.date(), self.today, self.person)}, {clock_words(wall, self.person)}"
        sign = sign_words(look)
        said = [f"{value} {self.table.unit}", sign, "" if mark == DASH else mark]
        said += [odd, note, kit, keeper]
        return Line(
            id=row_id,
            day=date_words(day, self.today, self.person),
            time=clock_words(wall, self.person),
            value=value,
            look=look,
            sign=sign,
            mark=mark,
            odd=odd,
            doubtful=look is not None and look.doubt and not look.is_apart,
            kit=kit,
            note=note,
            keeper=keeper,
            tip="\n".join([at, *(part for part in said if part)]),
        )

    def odd(self, row: int) -> str:
        """What is out of the ordinary about one place in the columns."""
        row_id = int(self.table.columns.id[row])
        columns, beside = self.table.columns, self.beside
        standing = STANDINGS[int(columns.standing[row])]
        said = []
        if standing is not Standing.COUNTED:
            said.append(standing_name(standing))
            said.append(beside.why.get(row_id, tr("in no figure")))
        elif columns.doubt[row]:
            said.append(tr("in doubt"))
            said += doubt_reasons(int(columns.doubt[row]))
        state = beside.time_state.get(row_id)
        if state is not None:
            said.append(time_state_name(state))
        if row_id in beside.later:
            said.append(tr("added later"))
        if (columns.unit[row] == MMOL_L) != (self.table.unit is Unit.MMOL_L):
            said.append(self._as_entered(row))
        return joined(said)

    def _look(self, row: int) -> MarkLook | None:
        columns, level = self.table.columns, int(self.table.level[row])
        if level == NO_LEVEL:
            return None
        return MarkLook(
            LEVELS[level],
            tail=tail_of(MARKS[int(columns.mark[row])]),
            doubt=bool(columns.doubt[row]),
            standing=STANDINGS[int(columns.standing[row])],
            off_scale=BOUNDS[int(columns.bound[row])],
        )

    def _mark(self, row: int, row_id: int) -> str:
        code = self.beside.mark.get(row_id)
        if code is not None:  # of a newer list: as written
            return code.replace("_", " ")
        mark = MARKS[int(self.table.columns.mark[row])]
        if mark is Mark.NONE:
            return DASH
        minutes = int(self.table.columns.after_min[row])
        return mark_words(mark, None if minutes < 0 else minutes, short=True)

    def _as_entered(self, row: int) -> str:
        columns = self.table.columns
        unit = Unit.MMOL_L if columns.unit[row] == MMOL_L else Unit.MG_DL
        entered = float(columns.entered[row])
        if not entered:
            return tr("written in {unit}").format(unit=unit)
        return tr("written as {value} {unit}").format(value=number_words(f"{entered:g}"), unit=unit)
