"""One plain line about the reading that is pointed at."""

from __future__ import annotations

from datetime import date

from app.domain.marks import Mark
from app.domain.reading import Doubt, Standing
from app.look.marks import MarkLook
from app.look.shapes import tail_of
from app.review.day_rows import day_rows
from app.review.record import Record
from app.store.beside import Beside
from app.ui.modal_day.words import tr
from app.ui.now.words import clock_words, date_words, mark_words, value_words


def reading_line(record: Record, beside: Beside, reading_id: int, today: date) -> str:
    """When, how much, which mark, what kit and who; empty if the reading is gone.

    "Thu 7 May 18:07 · 2.4 mmol/L · LL · before evening meal · blue B7 · Odalys"
    """
    columns = record.columns.where(record.columns.id == reading_id)
    if not len(columns):
        return ""
    row, person = day_rows(columns, record.person, beside)[0], record.person
    said = [
        f"{date_words(row.wall.date(), today, person)} {clock_words(row.wall, person)}",
        value_words(row.glucose, person.unit),
    ]
    if row.level is not None:
        doubt = row.doubt is not Doubt.NONE
        look = MarkLook(row.level, tail_of(row.mark), doubt, row.standing, row.glucose.bound)
        said.append(look.letters)
    said.append(mark_words(row.mark, row.after_min) if row.mark is not Mark.NONE else tr("no mark"))
    if row.standing is not Standing.COUNTED:
        said.append(": ".join(filter(None, (tr(row.standing.words), row.why))))
    said += [" ".join(filter(None, (row.meter, row.vial))), row.keeper or ""]
    return " · ".join(part for part in said if part)
