"""What the Plan page says of the whole: since when, how much was kept, where it slips."""

from __future__ import annotations

from datetime import date

from app.review.plan_gaps import PlanGaps
from app.review.plan_kept import Kept
from app.ui.due.rows import Row
from app.ui.plan.reading import PlanRead
from app.ui.plan.words import many, of_text, tr, weekday_name
from app.ui.reading_words import mark_name
from app.ui.words import count_words, day_words, joined

_REASONS = {
    "skipped": "put aside",
    "doubled": "asked for by another plan",
    "away": "away",
    "journey": "on a journey",
    "sick": "sick days",
    "paused": "the plan paused",
}


def subtitle(read: PlanRead) -> str:
    """Since when the plan is in force, which version it is, and how much was kept."""
    grid, person = read.grid, read.record.person
    if not grid.in_force:
        said = [tr("No plan is in force today")]
    else:
        newest = grid.in_force[-1]
        since = day_words(date.fromordinal(newest.from_day), person.date_order)
        said = [
            newest.name,
            tr("in force since {day}").format(day=since),
            tr("version {n}").format(n=count_words(grid.versions)),
        ]
    if read.is_paused:
        said.append(tr("paused"))
    return joined((*said, kept_words(grid.kept, grid.period.days)))


def kept_words(kept: Kept, days: int) -> str:
    """How many of the planned tests were kept."""
    if not kept.all.planned:
        return ""
    return tr("kept {kept} planned tests in {days} days").format(
        kept=of_text(kept.all), days=count_words(days)
    )


def kept_lines(kept: Kept) -> list[str]:
    """What the counts leave open: done late, not expected, still to come."""
    said = []
    if kept.all.late:
        late = tr("{n} of the {kept} kept were done late")
        said.append(late.format(n=count_words(kept.all.late), kept=count_words(kept.all.kept)))
    for reason, n in kept.not_expected.items():
        words = tr(_REASONS.get(reason, "not expected"))
        said.append(
            many(n, "{n} test not counted: {why}", "{n} tests not counted: {why}", why=words)
        )
    return said


def slip_rows(kept: Kept) -> list[Row]:
    """Where the most is unwritten, in neutral words."""
    named = [
        *((mark_name(mark) if mark else tr("any time"), count) for mark, count in kept.slip_marks),
        *((weekday_name(day, full=True), count) for day, count in kept.slip_days),
    ]
    said = tr("{kept} written")
    return [Row(name, "", name, said.format(kept=of_text(count))) for name, count in named]


def gap_rows(gaps: PlanGaps | None) -> list[Row]:
    """What the plan can never see: slots and weekdays that it asks for no test in."""
    if gaps is None:
        return []
    if len(gaps.never) == len(gaps.counts):
        said = tr("It names no slot: what it sees depends on when the tests are done.")
        return [Row("none", "", said)]
    rows = [
        Row(slot.value, "", mark_name(slot), tr("not in the plan, so not seen"))
        for slot in gaps.never
    ]
    for slot, off in gaps.off_days:
        days = ", ".join(weekday_name(day) for day in off)
        rows.append(Row(slot.value, "", mark_name(slot), tr("never on {days}").format(days=days)))
    return rows


def finding(read: PlanRead) -> str:
    """The whole grid in one sentence, for a screen reader."""
    return joined(
        (
            kept_words(read.grid.kept, read.grid.period.days),
            *(row.words for row in slip_rows(read.grid.kept)),
        )
    )
