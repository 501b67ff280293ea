"""A question and its answer in words: both sides, what can be said, and what was never tested."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from app.domain.clock import Period
from app.domain.glucose import Unit, shown
from app.domain.marks import Mark
from app.domain.person import Person
from app.domain.question import Kind, Outcome, Question
from app.review.apart_words import apart_words, over_days_words, reversed_words
from app.review.asked_before import AskedBefore
from app.review.asking import Answer, OfDays, shares_verdict
from app.review.asking_words import unit_of_days, untested_sentence, verdict_sentence
from app.review.compare import Compared
from app.review.figure import Mean, Missing
from app.review.periods import Portion
from app.review.two_sides import InSlot, OfSide
from app.review.words import mean_words
from app.statistics.proportion import Proportion
from app.ui.figures.words import mean_text
from app.ui.patterns.words import interval, many, tr
from app.ui.reading_words import mark_name
from app.ui.words import count_words, day_words, joined, number_words, period_words

_KINDS = {
    Kind.WEEKDAYS: "weekdays and weekends",
    Kind.METERS: "two meters",
    Kind.KEEPERS: "two keepers",
    Kind.PLACES: "two places",
    Kind.DAYS: "days",
}
_OUTCOMES = {Outcome.LOW: "lows", Outcome.HIGH: "highs", Outcome.MEAN: "the mean"}


@dataclass(frozen=True, slots=True)
class SideWords:
    """One side: its name, its share, a number in strong letters, its range, and quiet words."""

    name: str
    share: Proportion | None
    strong: str
    range: str
    quiet: str

    @property
    def said(self) -> str:
        """What a screen reader says."""
        return f"{self.name}: {joined([self.strong, self.range, self.quiet])}"


@dataclass(frozen=True, slots=True)
class AnswerWords:
    """A whole answer; `has_shares` says whether there are shares to draw.

    `details` are the slots one by one, for where there is room.
    """

    asked: str
    question: str
    sides: tuple[SideWords, ...]
    has_shares: bool
    verdict: str
    sentences: tuple[str, ...]
    details: tuple[str, ...] = ()


def words_of(asked: AskedBefore, person: Person, today: date) -> AnswerWords:
    """A question that was asked before, with its answer of today."""
    year = asked.on.year != today.year
    on = tr("Asked {day}").format(day=day_words(asked.on, person.date_order, year=year))
    found = asked.found
    if found is None:
        return AnswerWords(on, _question(asked.question, "", person), (), False, asked.why, ())
    return answer_words(found, on)


def answer_words(found: Answer | Compared, asked: str) -> AnswerWords:
    """An answer, with what is said of when it was asked."""
    return _of_answer(found, asked) if isinstance(found, Answer) else _of_compared(found, asked)


def _of_answer(found: Answer, asked: str) -> AnswerWords:
    outcome = found.question.outcome
    sides = tuple(_side(side, found) for side in (found.asked, found.others))
    said = []
    if found.apart is not None:
        difference = apart_words(found.apart, found.unit)
        said.append(tr("Difference of the means: {words}.").format(words=difference))
        said.append(over_days_words(found.apart, found.unit) or "")
    said.append(untested_sentence(found))
    doubted = found.asked.in_doubt + found.others.in_doubt
    if doubted:
        of = count_words(found.asked.n + found.others.n)
        told = "{n} of {of} readings in doubt; they count here."
        said.append(many(doubted, told, told, of=of))
    return AnswerWords(
        asked=asked,
        question=_question(found.question, found.days.words, found.person),
        sides=sides,
        has_shares=outcome is not Outcome.MEAN,
        verdict=verdict_sentence(found),
        sentences=tuple(filter(None, said)),
    )


def _side(side: OfDays, found: Answer) -> SideWords:
    tested = tr("{tested} of {days} {nights} tested").format(
        tested=count_words(side.tested),
        days=count_words(side.days),
        nights=tr(unit_of_days(found)),
    )
    if side.found is None:
        strong, range_ = _mean(side.mean, found.unit)
        n = tr("n {n}").format(n=count_words(side.n))
        return SideWords(side.name, None, strong, range_, joined([n, tested]))
    outcome = tr("{count} low") if found.question.outcome is Outcome.LOW else tr("{count} high")
    return _shared(side.name, side.found, outcome, tested)


def _shared(name: str, portion: Portion, outcome: str, quiet: str) -> SideWords:
    share, missing = portion.found, portion.missing
    counted = tr("{count} of {n}").format(count=count_words(share.count), n=count_words(share.n))
    return SideWords(
        name,
        None if missing else share,
        outcome.format(count=counted),
        missing.why if missing else interval(share),
        quiet,
    )


def _mean(mean: Mean | Missing, unit: Unit) -> tuple[str, str]:
    """A mean with its unit, and its interval; or why it is not shown."""
    if isinstance(mean, Missing):
        return tr("no mean shown"), mean.why
    text = f"{mean_text(mean, unit)} {unit}"
    if mean.low is None or mean.high is None:
        return text, ""
    low, high = (number_words(shown(end, unit)) for end in (mean.low, mean.high))
    return text, tr("95 %: about {low} to {high}").format(low=low, high=high)


def _of_compared(found: Compared, asked: str) -> AnswerWords:
    both, unit = found.found, found.unit
    sides = tuple(_compared_side(side, unit) for side in (both.first, both.second))
    said = [
        tr("Evened over the same slots: {words}.").format(words=apart_words(both.evened, unit)),
        over_days_words(both.evened, unit) or "",
        reversed_words(both, unit) or "",
        _lows(found),
    ]
    if found.outside:
        told = "{n} readings of the period on neither side."
        said.append(many(found.outside, "{n} reading of the period on neither side.", told))
    if found.question.kind is Kind.METERS:
        said.append(tr("Two meters can both be within their standard and still differ."))
    return AnswerWords(
        asked=asked,
        question=_question(found.question, _names(found), found.person),
        sides=sides,
        has_shares=True,
        verdict=_verdict(found),
        sentences=tuple(filter(None, said)),
        details=tuple(_slots(found)),
    )


def _compared_side(side: OfSide, unit: Unit) -> SideWords:
    mean = tr("mean {words}").format(words=", ".join(filter(None, _mean(side.mean, unit))))
    on = many(side.days, "n {of} on {n} day", "n {of} on {n} days", of=count_words(side.n))
    return _shared(side.name, side.first_lows, tr("{count} low"), joined([mean, on]))


def _slots(found: Compared) -> Iterator[str]:
    """Each slot that both sides have."""
    unit = found.unit
    for row in found.found.rows:
        if isinstance(row.apart, Missing):
            continue
        yield tr("{slot}: {first} and {second}, {apart}").format(
            slot=mark_name(row.mark),
            first=_in_slot(row.first, unit),
            second=_in_slot(row.second, unit),
            apart=apart_words(row.apart, unit),
        )


def _in_slot(part: InSlot, unit: Unit) -> str:
    n = count_words(part.n)
    return tr("{mean} (n {n})").format(mean=mean_words(part.mean, unit), n=n)


def _verdict(found: Compared) -> str:
    evened = found.found.evened
    if isinstance(evened, Missing) or evened.verdict == "too_few":
        return tr("Can't tell yet: too few readings on the same slots.")
    if evened.verdict == "cannot_tell":
        return tr("Can't tell yet from these readings: it could as well be no difference.")
    words = (
        tr("On the same slots, the average is lower on the side “{name}”; this does not say why.")
        if evened.verdict == "lower"
        else tr(
            "On the same slots, the average is higher on the side “{name}”; this does not say why."
        )
    )
    return words.format(name=found.found.second.name)


def _lows(found: Compared) -> str:
    first, second = found.found.first, found.found.second
    verdict = shares_verdict(first.first_lows, second.first_lows)
    if verdict == "too_few":
        return tr("Lows without rechecks: too few readings to tell.")
    if verdict == "cannot_tell":
        return tr("Lows without rechecks: the two ranges overlap.")
    words = (
        tr("Lows without rechecks: more often on the side “{name}”.")
        if verdict == "more_often"
        else tr("Lows without rechecks: less often on the side “{name}”.")
    )
    return words.format(name=first.name)


def _names(found: Compared) -> str:
    return tr("{first} and {second}").format(
        first=found.found.first.name, second=found.found.second.name
    )


def _question(question: Question, sides: str, person: Person) -> str:
    """What was asked: "Lows in the night: days with the tag “swim” and other days"."""
    where = _where(question.slot)
    sides = sides or (", ".join(question.what) if question.what else tr(_KINDS[question.kind]))
    if question.outcome is not None:
        sides = tr("{sides} and other days").format(sides=sides)
        head = tr("{what} {where}").format(what=tr(_OUTCOMES[question.outcome]), where=where)
        said = tr("{what}: {sides}").format(what=f"{head[:1].upper()}{head[1:]}", sides=sides)
    else:
        said = tr("{sides}, {where}").format(sides=f"{sides[:1].upper()}{sides[1:]}", where=where)
    if question.same_weekdays:
        said = tr("{said}, the same weekdays alone").format(said=said)
    days = Period(date.fromordinal(question.first_day), date.fromordinal(question.last_day))
    return tr("{said} ({days})").format(said=said, days=period_words(days, person.date_order))


def _where(slot: Mark | None) -> str:
    if slot is None:
        return tr("over the whole day")
    return (
        tr("in the night") if slot is Mark.NIGHT else tr("at “{slot}”").format(slot=mark_name(slot))
    )
