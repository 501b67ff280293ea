"""What is said of results of a meter beside those of a laboratory."""

from __future__ import annotations

from datetime import datetime
from fractions import Fraction

from app.domain.glucose import Unit
from app.domain.numerals import half_up
from app.domain.person import Person
from app.review.meter_against_lab import LabPair, MeterAgainstLab
from app.ui.kit.words import many, tr
from app.ui.words import (
    clock_words,
    count_words,
    day_words,
    joined,
    number_words,
    value_words,
)


def when_taken(pair: LabPair, person: Person) -> str:
    """The day and the time of the laboratory's sample."""
    wall = datetime.fromisoformat(pair.wall)
    return f"{day_words(wall.date(), person.date_order, short=True)} {clock_words(wall, person)}"


def meter_text(pair: LabPair) -> str:
    """The meter's result with the places of its unit."""
    glucose = pair.glucose
    return f"{number_words(glucose.shown(glucose.unit))} {glucose.unit}"


def apart_text(pair: LabPair) -> str:
    """How many minutes after the sample the finger was tested, or before it."""
    minutes = round(pair.apart_s / 60)
    if not minutes:
        return tr("same minute")
    if minutes > 0:
        return many(minutes, "{n} min after", "{n} min after")
    return many(-minutes, "{n} min before", "{n} min before")


def signed(number: Fraction, unit: Unit, *, more: int = 0) -> str:
    """A difference with its sign, in the places of the unit."""
    shown = half_up(float(number), unit.places + more)
    if not shown:
        return number_words(str(abs(shown)))
    return number_words(f"{shown:+}").replace("-", "\u2212")


def limit_text(pair: LabPair) -> str:
    """The limit that holds for this pair, as printed or worked from 15 %."""
    return "±" + number_words(str(half_up(float(pair.held.limit), pair.unit.places + 1)))


def standing_text(pair: LabPair) -> str:
    """Whether it is within its limit, and what speaks against the pair."""
    said = [tr("within") if pair.held.within else tr("outside")]
    if not pair.is_soon:
        said.append(tr("more than 5 min apart"))
    if pair.doubt:
        said.append(tr("in doubt: {why}").format(why=pair.doubt.words))
    return joined(said)


def said_pair(pair: LabPair, person: Person, meters: dict[int, str]) -> str:
    """A pair in a line."""
    meter = meters.get(pair.meter, tr("meter unknown"))
    return joined(
        (
            when_taken(pair, person),
            tr("laboratory {value}").format(value=value_words(pair.lab)),
            tr("{meter} {value}, {apart}").format(
                meter=meter, value=meter_text(pair), apart=apart_text(pair)
            ),
            tr("difference {off}, limit {limit} {unit}").format(
                off=signed(pair.held.difference, pair.unit),
                limit=limit_text(pair),
                unit=pair.unit,
            ),
            standing_text(pair),
        )
    )


def together_text(found: MeterAgainstLab) -> str:
    """How all stand together; no verdict from fewer than the standard's study has."""
    together = found.together
    if not together.n:
        said = tr(
            "No result of a laboratory has a reading within 15 minutes of it. Write laboratory "
            "values down with their time."
        )
    elif together.verdict is None:
        inside = tr("{count} of {n} within their limit").format(
            count=count_words(together.within.count), n=count_words(together.n)
        )
        said = tr("{inside}. No verdict: the standard's study has {needed} people.").format(
            inside=inside, needed=count_words(found.needed)
        )
    else:
        said = tr("{count} of {n} within their limit (95 % asked).").format(
            count=count_words(together.within.count), n=count_words(together.n)
        )
    if found.unpaired and together.n:
        said += " " + many(
            found.unpaired,
            "{n} result of a laboratory has no reading within 15 minutes.",
            "{n} results of a laboratory have no reading within 15 minutes.",
        )
    return said
