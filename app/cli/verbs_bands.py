"""The verb that shows how many readings lie in each level, by slot, weekday or month: bands."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from app.cli.verbs_read import add_period, period_of
from app.cli.words import plural
from app.domain.glucose import Unit
from app.review.bands import Band, Bands, By, bands
from app.review.figures_json import shares_as_json
from app.review.record import record_of
from app.review.words import level_words, share_words

if TYPE_CHECKING:
    from app.cli.surroundings import Asked


def _words_of_bands(shown: argparse.ArgumentParser) -> None:
    add_period(shown)
    shown.add_argument(
        "--by", choices=[each.value for each in By], default="slot", help="default slot"
    )
    shown.add_argument(
        "--no-minimum", action="store_true", help="show shares of too few readings as well"
    )
    shown.add_argument("--json", action="store_true")
    shown.set_defaults(verb=_bands)


WORDS = {"bands": _words_of_bands}


def _bands(asked: Asked) -> int:
    options, around = asked.options, asked.around
    with asked.person(to_read=True) as (diary, person):
        record = record_of(diary, person)
        found = bands(
            record,
            period_of(asked, record),
            by=By(options.by),
            now=around.now,
            minimum=not options.no_minimum,
        )
    if options.json:
        around.say_json(_as_json(found))
        return 0
    for line in _lines(found):
        around.say(line)
    return 0


def _lines(found: Bands) -> Iterator[str]:
    period = found.period
    yield (
        f"{found.person.name}, {period.first} to {period.last} ({plural(period.days, 'day')}), "
        f"share of readings by {found.by}, {found.unit}"
    )
    if not found.n:
        yield "There are no readings to count in this period."
        return
    for band in found.bands:
        yield ""
        yield from _band_lines(band, found.unit)


def _band_lines(band: Band, unit: Unit) -> Iterator[str]:
    yield f"{band.words}: n {band.n} on {plural(band.days, 'day')}"
    if not band.n:
        return
    for share in band.shares:
        yield f"  {level_words(share.level, unit):<20} {share_words(share)}"
    if band.missing:
        yield f"  shares in percent not shown: {band.missing.why}"


def _as_json(found: Bands) -> dict[str, Any]:
    return {
        "person": found.person.name,
        "unit": found.unit.value,
        "period": {
            "first": found.period.first.isoformat(),
            "last": found.period.last.isoformat(),
            "days": found.period.days,
        },
        "by": found.by.value,
        "n": found.n,
        "bands": [
            {
                "key": band.key,
                "n": band.n,
                "days": band.days,
                "shares": shares_as_json(band.shares),
            }
            for band in found.bands
        ],
    }
