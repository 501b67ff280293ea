"""From an entry or the last reading to the words that the slip shows."""

from __future__ import annotations

from datetime import date

from app.domain.clock import diary_day
from app.domain.doubt import doubt_of
from app.domain.entry import Entry
from app.domain.glucose import Bound, Glucose
from app.domain.marks import Mark
from app.domain.person import Person
from app.domain.reading import Doubt, Standing
from app.domain.sites import site_words
from app.domain.targets import in_force
from app.look.marks import MarkLook
from app.look.shapes import tail_of
from app.review.last import Last
from app.review.record import Record
from app.review.verdict import verdict_of
from app.ui.now.reading_view import Shown
from app.ui.now.words import mark_or_none_words, tr
from app.ui.words import moment_words, number_words, short_moment_words, value_words


def entry_shown(entry: Entry, record: Record, today: date) -> Shown | None:
    """A typed line as it will be saved, piece by piece; None while it holds no value."""
    glucose = entry.glucose
    if glucose is None:
        return None
    person = record.person
    doubt = doubt_of(
        hands=entry.hands,
        site=entry.site,
        glucose=glucose,
        mark=entry.mark,
        after_min=entry.after_min,
    )
    number, unit = _number_and_unit(glucose)
    rows = _rows(entry, glucose, doubt, person, today)
    if not entry.is_ready:  # what is still asked about is not judged yet
        return Shown(number, unit, None, "", rows)
    on = today.toordinal()
    if entry.moment is not None:
        on = diary_day(entry.moment, person.day_start)
    verdict = verdict_of(glucose, entry.mark, entry.after_min, in_force(record.targets, on))
    look = MarkLook(
        level=verdict.level, tail=tail_of(entry.mark), doubt=bool(doubt), off_scale=glucose.bound
    )
    words = tr(verdict.words)
    if doubt:
        words = tr("{level}; in doubt: {why}").format(level=words, why=tr(doubt.words))
    return Shown(number, unit, look, words, rows)


def last_shown(last: Last, person: Person, today: date) -> tuple[Shown, str]:
    """The last reading, and the quiet line below it: its mark, when, how long ago."""
    number, unit = _number_and_unit(last.glucose, in_unit_of=person)
    look = MarkLook(
        level=last.level,
        tail=tail_of(last.mark),
        doubt=bool(last.doubt),
        standing=last.standing,
        off_scale=last.glucose.bound,
    )
    said = [
        "" if last.mark is Mark.NONE else mark_or_none_words(last.mark),
        "" if last.standing is Standing.COUNTED else tr(last.standing.words),
        short_moment_words(last.wall, today, person),
        number_words(tr(last.age)).replace(" ", "\u00a0"),  # never parted at a line's end
    ]
    return Shown(number, unit, look), " · ".join(part for part in said if part)


def _number_and_unit(glucose: Glucose, *, in_unit_of: Person | None = None) -> tuple[str, str]:
    unit = in_unit_of.unit if in_unit_of else glucose.unit
    if glucose.bound is Bound.EXACT:
        return number_words(glucose.shown(unit) if in_unit_of else glucose.value or ""), unit
    word = "LO" if glucose.bound is Bound.BELOW else "HI"
    if glucose.number is None:
        return word, tr("off the meter's scale")
    limit = number_words(glucose.shown(unit).lstrip("<>"))
    side = tr("below {limit} {unit}") if word == "LO" else tr("above {limit} {unit}")
    return word, side.format(limit=limit, unit=unit)


def _rows(
    entry: Entry, glucose: Glucose, doubt: Doubt, person: Person, today: date
) -> tuple[tuple[str, str], ...]:
    found = []
    if glucose.unit is not person.unit and glucose.number is not None:
        found.append((tr("Shown as"), value_words(glucose, person.unit)))
    if entry.moment is not None:
        found.append((tr("Time"), moment_words(entry.moment.local, today, person)))
    found.append((tr("Mark"), mark_or_none_words(entry.mark, entry.after_min)))
    if entry.site:
        name = tr("Finger") if entry.site == "finger" and entry.site_detail else tr("Site")
        said = site_words(entry.site, entry.site_detail)
        found.append((name, tr(said.removesuffix(" finger") if name == tr("Finger") else said)))
    if entry.hands != "unknown":
        found.append((tr("Hands"), tr("washed") if entry.hands == "washed" else tr("not washed")))
    if entry.tags:
        found.append((tr("Tags"), ", ".join(entry.tags)))
    if entry.note:
        found.append((tr("Note"), entry.note))
    if any(piece.kind == "sure" for piece in entry.pieces):
        found.append((tr("Kept"), tr("as typed")))
    if glucose.bound is Bound.BELOW:
        found.append((tr("Counts"), tr("in shares, lows and n; in a mean as a bound")))
    if glucose.bound is Bound.ABOVE:
        found.append((tr("Counts"), tr("in shares, highs and n; in a mean as a bound")))
    if doubt:
        found.append((tr("Figures"), tr("shown with it and without it")))
    return tuple(found)
