"""The glue between the times found in a line, or given apart from it, and the one moment meant."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from app.domain.clock import zone_named
from app.domain.entry.clocks import When, clock_of
from app.domain.entry.draft import Draft
from app.domain.entry.found import Found, which
from app.domain.entry.parts import take_parts
from app.domain.entry.reading import bare_time
from app.domain.entry.records import EntryContext
from app.domain.entry.tokens import cut
from app.domain.entry.values import number_at
from app.domain.entry.when import Timed, joined, settle


def today_of(context: EntryContext) -> date:
    """Today by the clocks of the person's place."""
    return context.now.astimezone(zone_named(context.zone)).date()


def has_clock(found: Sequence[Found[When]]) -> bool:
    """Whether a time of day is said, rightly or wrongly, so that no bare number is one."""
    return any(one.problem or one.what.clock or one.what.ago_min is not None for one in found)


def take_moment(
    draft: Draft, times: Sequence[Found[When]], context: EntryContext, *, sure: bool, at: str | None
) -> tuple[Timed, When]:
    """Settle the moment of a line, say its times, and ask or refuse what has to be."""
    when = _one_of(draft, times)
    if at is not None:
        apart = _apart(draft, at, context)
        if apart is not None and times and when != apart:
            draft.problems.append(
                f'The time is given twice, as "{at.strip()}" and in the line; keep one of the two.'
            )
            apart = None
        when = apart
    timed = Timed(None) if when is None else settle(when, context, sure=sure)
    if timed.question:
        draft.questions.append(timed.question)
    if timed.problem:
        draft.problems.append(timed.problem)
    for one in times:
        means = timed.means or "no time that can be taken"
        if one.kind == "date" and timed.moment and ", " in means and has_clock(times):
            means = means.rpartition(", ")[0]
        draft.say("unclear" if one.problem else one.kind, one.first, one.stop, one.problem or means)
    return timed, when or When()


def _one_of(draft: Draft, times: Sequence[Found[When]]) -> When | None:
    """The one day and time that a line says; None where it says two, or one that is none."""
    wrong = [one.problem for one in times if one.problem]
    draft.problems.extend(wrong)
    clear = True
    for part, name in (("clock", "time"), ("day", "day")):
        said = [one for one in times if _part(one.what, part) is not None]
        if len({_part(one.what, part) for one in said}) > 1:
            asks = f"The line says more than one {name}. Which is the reading's?"
            draft.questions.append(which(draft.line, f"which_{name}", asks, said))
            clear = False
    return joined([one.what for one in times]) if clear and not wrong else None


def _part(when: When, part: str) -> object:
    if part == "day":
        return when.day
    return when.clock or when.ago_min


def _apart(draft: Draft, at: str, context: EntryContext) -> When | None:
    """The time given beside the line: nothing but a time and a date may stand in it."""
    line = cut(at, draft.words)
    apart = Draft(line, draft.words, [False] * len(line.tokens))
    parts = take_parts(apart, today_of(context), context.date_order)
    times = list(parts.times)
    if not has_clock(times):
        for i in apart.left():
            number = number_at(line, i, apart.taken, draft.words)
            clock = clock_of(line.tokens[i].text)
            if number and clock and not has_clock(times):
                times.append(bare_time(apart, number, clock))
    when = _one_of(apart, times) if len(at) <= 100 else None
    wrong = apart.left() or parts.marks or parts.sites or parts.hands or not times
    if wrong or when is None:
        why = apart.problems[0] + " " if apart.problems else ""
        draft.problems.append(
            f'{why}"{at.strip()[:100]}" is not a time that can be taken; give one as '
            '"22:10", "yesterday 22:10" or "2026-03-12 22:10".'
        )
        return None
    return when
