"""What an export says in words: its forms, what will be in the file, what was written."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path

from PySide6.QtCore import QCoreApplication, QLocale

from app.domain.person import Person
from app.review.visit import VisitPage
from app.store.spoiled import counted
from app.ui.send_out.wish import Form, Wish
from app.ui.words import count_words, day_words, period_words
from app.work.csv_rows import CsvHolds, Part
from app.work.whole_diary import WholeSent

_MOST_NAMES, _MOST_KINDS = 8, 6


def tr(text: str) -> str:
    """Translate a text of the export."""
    return QCoreApplication.translate("SendOut", text)


def many(count: int, one: str, more: str) -> str:
    """Words for one or for more, their `{n}` filled."""
    return tr(one if count == 1 else more).format(n=count_words(count))


def form_names() -> list[tuple[str, object]]:
    """The forms as they are offered."""
    return [
        (tr("A table of readings (CSV)"), Form.CSV),
        (tr("The sheet for an appointment (PDF)"), Form.PDF),
        (tr("The sheet as a web page (HTML)"), Form.HTML),
        (tr("The plan as a calendar (iCalendar)"), Form.ICS),
        (tr("The whole diary as text (JSON Lines)"), Form.LINES),
        (tr("The whole diary as a database (SQLite)"), Form.SQLITE),
    ]


def form_says(form: Form) -> str:
    """What a form is good for."""
    return {
        Form.CSV: tr(
            "One row for each reading, for any spreadsheet program. Brought in again, each reading "
            "is as it was."
        ),
        Form.PDF: tr("The sheet that the Appointment page shows, to be printed or sent."),
        Form.HTML: tr("The sheet as text and tables, for screen readers and for pasting."),
        Form.ICS: tr("Planned tests with an alarm each, for the calendar of a telephone."),
        Form.LINES: tr(
            "Every row of every kind as text that any program can read. It comes into a new diary, "
            "which then says the same."
        ),
        Form.SQLITE: tr(
            "The diary's own file, copied and checked. It opens as a diary, and in any database "
            "program."
        ),
    }[form]


def part_names() -> list[tuple[Part, str]]:
    """What of a table may stay behind, as it is offered."""
    return [
        (Part.NOTES, tr("Notes")),
        (Part.TAGS, tr("Tags")),
        (Part.KEEPERS, tr("Names of who wrote")),
        (Part.DOUBT, tr("Reasons for doubt")),
        (Part.SOURCE, tr("Words of the files they came from")),
    ]


def csv_lines(found: CsvHolds, wish: Wish) -> list[str]:
    """What a table will hold, and what stays behind of what there is."""
    if not found.readings:
        return [tr("No readings of {name} on these days.").format(name=found.person.name)]
    lines = [_readings(found)]
    if found.undated:
        lines.append(many(found.undated, "{n} has no time.", "{n} have no time."))
    elif found.period is not None:
        lines.append(tr("Readings without a time stay behind."))
    there = {part: words for part, words in _parts(found) if words}
    lines += [words for part, words in there.items() if part not in wish.without]
    if found.not_counted:
        lines.append(_not_counted(found))
    names = dict(part_names())
    behind = [names[part].lower() for part in there if part in wish.without]
    if behind:
        lines.append(tr("Stays behind: {what}.").format(what=", ".join(behind)))
    if Part.SOURCE in wish.without and found.sourced:
        lines.append(
            tr(
                "Without the words of their files, a meter's file would come in a second time "
                "beside these readings."
            )
        )
    lines.append(tr("Doses, events, kit and plan are not in a table of readings."))
    return lines


def sheet_lines(page: VisitPage) -> list[str]:
    """What a sheet will say."""
    person, found = page.person, page.figures
    days = period_words(page.period, person.date_order)
    lines = [
        tr("The sheet of {name}, {days}.").format(name=person.name, days=days),
        many(found.n, "{n} reading in its figures.", "{n} readings in its figures."),
    ]
    said = [
        (len(page.changes), "{n} change", "{n} changes"),
        (len(page.spans), "{n} stretch of days with a name", "{n} stretches of days with a name"),
        (len(page.labs), "{n} laboratory value", "{n} laboratory values"),
        (len(page.asks), "{n} question of the ask list", "{n} questions of the ask list"),
    ]
    beside = [many(count, one, more) for count, one, more in said if count]
    if beside:
        lines.append(tr("Beside them: {what}.").format(what=", ".join(beside)))
    lines.append(tr("The name is on it; lows are told with what was written beside them."))
    return lines


def calendar_lines(tests: int, wish: Wish) -> list[str]:
    """What a calendar will hold."""
    name = wish.person.name
    if not tests:
        return [tr("{name} has no plan in force from today on.").format(name=name)]
    lines = [many(tests, "{n} planned test, with an alarm.", "{n} planned tests, with alarms.")]
    if wish.quiet:
        lines.append(tr("It says “reminder” alone, and nobody's name."))
    else:
        lines.append(tr("It says what is to be tested, and the name {name}.").format(name=name))
    return lines


def whole_lines(found: WholeSent, form: Form) -> list[str]:
    """What a whole diary holds: everything."""
    who = people(found.persons)
    lines = [
        many(len(found.persons), "{n} person: ", "{n} people: ") + who + ".",
        many(found.count, "{n} row: ", "{n} rows: ") + _kinds(found.rows) + ".",
        tr("Every day there is; names, notes, private notes and kit are in it."),
    ]
    if form is Form.SQLITE:
        lines.append(tr("The journal of every change is in it, and what lies in the bin."))
    else:
        lines.append(
            tr("The journal stays behind, and of the bin all but what other rows speak of.")
        )
    return lines


def _kinds(rows: Mapping[str, int]) -> str:
    """How many rows of each kind, the most first; of the last ones their sum."""
    kinds = sorted(rows.items(), key=lambda each: -each[1])
    listed = [counted(count, table) for table, count in kinds[:_MOST_KINDS]]
    rest = kinds[_MOST_KINDS:]
    if rest:
        more = tr("{n} of {kinds} other kinds")
        total = count_words(sum(count for _, count in rest))
        listed.append(more.format(n=total, kinds=count_words(len(rest))))
    return ", ".join(listed)


def people(names: Iterable[str]) -> str:
    """Names in a row; of very many the first ones."""
    named = list(names)
    rest = len(named) - _MOST_NAMES
    shown = QLocale().createSeparatedList(named[:_MOST_NAMES])
    return shown if rest <= 0 else tr("{names} and {n} more").format(names=shown, n=rest)


def written_words(what: str, out: Path) -> str:
    """What is said once the file is there."""
    said = tr("Written to {file}: {what}. Only you can read the file.")
    return said.format(file=out, what=what)


def file_name(wish: Wish) -> str:
    """A name for the file; nobody's name is in it where the file is quiet about it."""
    if wish.form.is_whole:
        stem = tr("whole-diary")
    elif wish.form is Form.ICS:
        stem = tr("plan")
    else:
        kept = "".join(each for each in wish.person.name if each.isalnum() or each in " -_")
        kind = tr("readings") if wish.form is Form.CSV else tr("appointment")
        stem = "-".join((*kept.split(), kind)).lower()[:80]
    return f"{stem}.{wish.form.value}"


def _readings(found: CsvHolds) -> str:
    person = found.person
    words = many(found.readings, "{n} reading of", "{n} readings of")
    if found.first is None or found.last is None:
        return f"{words} {person.name}."
    first, last = (day_words(day, person.date_order) for day in (found.first, found.last))
    days = first if first == last else tr("{first} to {last}").format(first=first, last=last)
    return f"{words} {person.name}, {days}."


def _parts(found: CsvHolds) -> list[tuple[Part, str]]:
    return [
        (Part.NOTES, _notes(found)),
        (Part.TAGS, _some(found.tags, "{n} with tags.")),
        (Part.KEEPERS, _keepers(found.keepers)),
        (Part.DOUBT, _some(found.doubt, "{n} with a reason for doubt.")),
        (Part.SOURCE, _some(found.sourced, "{n} with the words of the file they came from.")),
    ]


def _some(count: int, words: str) -> str:
    return tr(words).format(n=count_words(count)) if count else ""


def _notes(found: CsvHolds) -> str:
    if not found.notes:
        return ""
    words = many(found.notes, "{n} with a note", "{n} with a note")
    if not found.note_keepers:
        return f"{words}."
    return tr("{words}, written by {names}.").format(words=words, names=people(found.note_keepers))


def _keepers(keepers: Mapping[str, int]) -> str:
    listed = [f"{name} {count_words(count)}" for name, count in sorted(keepers.items())]
    return tr("Who wrote them: {names}.").format(names=people(listed)) if listed else ""


def _not_counted(found: CsvHolds) -> str:
    words = many(found.not_counted, "{n} is in no average", "{n} are in no average")
    if found.reasons:
        return tr("{words}; the reasons leave with them.").format(words=words)
    return f"{words}."


def person_choices(persons: Iterable[Person]) -> list[tuple[str, object]]:
    """Everybody, each as one line of a choice."""
    return [(each.name, each) for each in persons]
