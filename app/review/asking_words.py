"""An answer in plain sentences: counts, shares with their ranges, what was never tested."""

from __future__ import annotations

from collections.abc import Iterator

from app.domain.glucose import Unit
from app.domain.marks import Mark
from app.domain.question import Outcome
from app.review.apart_words import apart_words, over_days_words, portion_words
from app.review.asking import Answer, OfDays, Verdict
from app.review.words import mean_words

_MORE_BY_CHANCE = 2


def answer_sentences(found: Answer) -> Iterator[str]:
    """The comparison in words, then what was never tested."""
    unit = found.unit
    for side in (found.asked, found.others):
        yield _side(side, found, unit)
    if found.apart is not None:
        yield f"Difference of the means: {apart_words(found.apart, unit)}."
        over_days = over_days_words(found.apart, unit)
        if over_days:
            yield over_days
    yield verdict_sentence(found)
    yield untested_sentence(found)
    in_doubt = found.asked.in_doubt + found.others.in_doubt
    if in_doubt:
        of = f"{in_doubt} of the {found.asked.n + found.others.n} readings looked at"
        yield f"{of} {_is(in_doubt)} in doubt; they count here."


def verdict_sentence(found: Answer) -> str:
    """What can be said, in one sentence; never a cause."""
    what, plural = found.question.outcome, unit_of_days(found)
    if found.verdict == "too_few":
        return f"Can't tell yet: too few {plural} were tested."
    if found.verdict == "cannot_tell":
        if what is Outcome.MEAN:
            return f"Can't tell yet from these {plural}: it could as well be no difference."
        return f"Can't tell yet from these {plural}: the two ranges overlap."
    if what is Outcome.MEAN:
        return (
            f"The mean is {found.verdict} on {found.asked.name} than on the other days; "
            "this does not say why."
        )
    return ranges_sentence(found.verdict, f"{plural} with a {what}", found.asked.name)


def ranges_sentence(verdict: Verdict, what: str, where: str) -> str:
    """Two shares whose ranges do not overlap."""
    often = "more" if verdict == "more_often" else "less"
    return (
        f"{what[:1].upper()}{what[1:]} were {often} frequent on {where}: the two ranges do not "
        "overlap. This does not say why."
    )


def untested_sentence(found: Answer) -> str:
    """What was never tested, on both sides."""
    plural, asked, others = unit_of_days(found), found.asked, found.others
    # A name that counts days itself is not told as "days on days with the tag".
    where = asked.name if asked.name.startswith(f"{plural} ") else f"{plural} on {asked.name}"
    return (
        f"{asked.untested} of {asked.days} {where} and {others.untested} of "
        f"{others.days} other {plural} untested; those tested may have been tested when someone "
        "was worried."
    )


def asked_so_far(count: int) -> str:
    """How many questions there were, and what that means."""
    said = f"{count} question{'' if count == 1 else 's'} asked so far."
    if count < _MORE_BY_CHANCE:
        return said
    return f"{said} The more are asked, the more sides differ by chance alone."


def unit_of_days(found: Answer) -> str:
    """What is counted: "nights" or "days"."""
    return "nights" if found.question.slot is Mark.NIGHT else "days"


def _side(side: OfDays, found: Answer, unit: Unit) -> str:
    plural = unit_of_days(found)
    head = f"{side.name[:1].upper()}{side.name[1:]}"
    where = found.question.slot
    at = "" if where is None or where is Mark.NIGHT else f" {where.words}"
    tested = f"{side.tested} of {side.days} {plural} tested{at}"
    if side.found is None:
        return f"{head}: {tested}, n {side.n}, mean {mean_words(side.mean, unit)} {unit}."
    what = found.question.outcome
    said = portion_words(side.found).partition(", ")
    share = f", {said[2]}" if said[2] else ""
    short = f" ({side.found.missing.why})" if side.found.missing else ""
    return f"{head}: {tested}, {said[0]} with a {what}{share}{short}."


def _is(count: int) -> str:
    return "is" if count == 1 else "are"
