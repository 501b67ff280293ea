"""What the hand-over card says: limits, the family's own words marked as theirs, and the grid."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from html import escape

from app.domain.cautions import caution_texts
from app.domain.glucose import LimitPair, Unit
from app.domain.marks import SLOTS, Mark
from app.domain.person import Person
from app.domain.targets import AFTER, ALL, BEDTIME, BEFORE, WAKING, Limit
from app.report.words import plain, tr
from app.review.hand_over import CardPart, HandOverCard

_MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"]
_WEEKDAYS = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"]
_GROUPS = {
    WAKING: "waking",
    BEFORE: "before meals",
    AFTER: "after meals",
    BEDTIME: "bedtime",
    ALL: "at any time",
}


@dataclass(frozen=True, slots=True)
class CardText:
    """A part of the card: its title, the quiet words beside it, and its paragraphs.

    `<b>` and `<i>` are the one markup; what the family typed stands in `<i>`.
    """

    title: str
    note: str
    paragraphs: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CardSaid:
    """The words of the card; `days` are the heads of the rows, `slots` of the columns."""

    name: str
    title: str
    unit: str
    parts: tuple[CardText, ...]
    days: tuple[str, ...]
    slots: tuple[tuple[str, str], ...]
    grid: str
    fill_in: tuple[str, ...]
    caution: tuple[str, ...]
    foot: str


def card_said(card: HandOverCard) -> CardSaid:
    """Put the card into words; what is not written down says so, and nothing is made up."""
    said = tuple(_SAID[part](card) for part in CardPart if part in card.parts)
    return CardSaid(
        name=" ".join(card.person.name.split()),
        title=tr("Hand-over card"),
        unit=tr("Limits and readings in {unit}").format(unit=card.unit),
        parts=said,
        days=tuple(day_words(day, card.person) for day in card.days),
        slots=tuple(_slot_words(slot) for slot in SLOTS),
        grid=tr("In each box: value, time, and what you saw. The night goes with the day before."),
        fill_in=(tr("Written by"), tr("Place"), tr("Meter"), tr("Strips left")),
        caution=_caution(card),
        foot=tr("Made {day} with Thimblebook").format(
            day=f"{day_words(card.made.date(), card.person)} {card.made.year}"
        ),
    )


def title_of_card(card: HandOverCard) -> str:
    """The title of the file: no author, no name of a person."""
    first, last = (day_words(each, card.person) for each in (card.days[0], card.days[-1]))
    days = first if first == last else f"{first} – {last}"
    return tr("Hand-over card, {days}").format(days=f"{days} {card.days[-1].year}")


def day_words(day: date, person: Person) -> str:
    """A day with its weekday, in the person's order: "Mon 4 May", "Mon May 4"."""
    weekday, month = tr(_WEEKDAYS[day.weekday()]), tr(_MONTHS[day.month - 1])
    if person.date_order == "dmy":
        return f"{weekday} {day.day} {month}"
    return f"{weekday} {month} {day.day}"


def _limits(card: HandOverCard) -> CardText:
    unit, targets = card.unit, card.targets
    low = tr("<b>Below {low}</b> is a low.").format(low=_number(card.low, unit))
    if targets is None:
        return CardText(tr("Limits"), "", (low, tr("No goals are written down.")))
    lines = [_limit_words(limit, unit) for limit in targets.limits]
    goals = tr("Goals: {goals}.").format(goals="; ".join(line for line in lines if line))
    return CardText(tr("Limits"), plain(targets.name), (low, goals))


def _limit_words(limit: Limit, unit: Unit) -> str:
    what = _GROUPS.get(limit.mark, limit.mark.replace("_", " "))
    if limit.after_from is not None and limit.after_to is not None:
        what = tr("{what}, {first} to {last} min").format(
            what=tr(what), first=limit.after_from, last=limit.after_to
        )
    below = tr("under {high}") if limit.high_open else tr("up to {high}")
    if limit.low is not None and limit.high is not None and not limit.high_open:
        ends = f"{_number(limit.low, unit)} – {_number(limit.high, unit)}"
    elif limit.low is not None and limit.high is not None:
        ends = f"{_number(limit.low, unit)}, {below.format(high=_number(limit.high, unit))}"
    elif limit.high is not None:
        ends = below.format(high=_number(limit.high, unit))
    elif limit.low is not None:
        ends = tr("from {low}").format(low=_number(limit.low, unit))
    else:
        return ""
    return f"{escape(tr(what))} <b>{ends}</b>"


def _number(pair: LimitPair, unit: Unit) -> str:
    return f"{pair.in_unit(unit):.{unit.places}f}"


def _typed(title: str, text: str | None) -> CardText:
    """A text as the family typed it, line by line; a note where there is none."""
    lines = [plain(line) for line in (text or "").splitlines() if line.strip()]
    if not lines:
        return CardText(title, tr("nothing is written down"), ())
    return CardText(title, tr("as the family wrote it"), tuple(f"<i>{line}</i>" for line in lines))


def _low_plan(card: HandOverCard) -> CardText:
    return _typed(tr("In a low"), card.care.low_plan)


def _sick_plan(card: HandOverCard) -> CardText:
    return _typed(tr("On a sick day"), card.care.sick_plan)


def _hand_over(card: HandOverCard) -> CardText:
    return _typed(tr("At the hand-over"), card.care.hand_over)


def _to_watch(card: HandOverCard) -> CardText:
    return _typed(tr("What to watch"), card.care.what_to_watch)


def _contacts(card: HandOverCard) -> CardText:
    care = card.care
    numbers = [
        f"{tr(label)}: <b>{plain(number)}</b>"
        for label, number in (
            ("Emergency", care.emergency_number),
            ("Care team", care.team_phone),
        )
        if number
    ]
    written = _typed(tr("Contacts"), care.contacts)
    if not numbers:
        return written
    note = written.note if written.paragraphs else ""
    return CardText(written.title, note, (*written.paragraphs, *numbers))


def _last(card: HandOverCard) -> CardText:
    title, last = tr("Last reading"), card.last
    if last is None:
        return CardText(title, tr("nothing is written down"), ())
    value = last.glucose.shown(card.unit)
    value = value if last.glucose.number is None else f"{value} {card.unit}"
    at = _clock(card.person, last.wall.hour, last.wall.minute)
    words = [
        f"<b>{escape(value)}</b>",
        f"{day_words(last.wall.date(), card.person)} {at}",
        *([] if last.mark is Mark.NONE else [tr(last.mark.words)]),
        *([tr("in doubt")] if last.doubt else []),
    ]
    return CardText(title, "", (" · ".join(words),))


def _clock(person: Person, hour: int, minute: int) -> str:
    if person.clock == 24:
        return f"{hour:02d}:{minute:02d}"
    half = tr("AM") if hour < 12 else tr("PM")
    return f"{(hour + 11) % 12 + 1}:{minute:02d} {half}"


def _slot_words(slot: Mark) -> tuple[str, str]:
    first, _, rest = slot.words.partition(" ")
    return (tr(first), tr(rest)) if rest else ("", tr(first))


def _caution(card: HandOverCard) -> tuple[str, ...]:
    texts = caution_texts()
    number = (card.care.emergency_number or "").strip() or texts["local_number"]
    helpless = texts["low"]["says"][-1].format(emergency=number)
    own = card.person.unit
    other = tr(
        "The family's texts stand as typed: a number in them may be in {own}, not in {unit}."
    ).format(own=own, unit=card.unit)
    return (
        " ".join([escape(tr(helpless)), *([] if own is card.unit else [f"<b>{other}</b>"])]),
        tr(
            "The texts are the family's own, and their care team's advice comes first; this card "
            "adds no amounts. In doubt, ring them; in an emergency call {number}."
        ).format(number=plain(number)),
        tr("Meter and lancing device are for {name} alone.").format(name=plain(card.person.name)),
    )


_SAID = {
    CardPart.LIMITS: _limits,
    CardPart.LOW_PLAN: _low_plan,
    CardPart.TO_WATCH: _to_watch,
    CardPart.HAND_OVER: _hand_over,
    CardPart.SICK_PLAN: _sick_plan,
    CardPart.CONTACTS: _contacts,
    CardPart.LAST: _last,
}
