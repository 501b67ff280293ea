"""The kit in lines of text: what is there, what is due, tests, pairs with the laboratory."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date

from app.cli.words import one_line, plural, value_words, when
from app.domain.control import STEPS_SOURCE
from app.domain.numerals import half_up
from app.review.kit import KitShown, MeterLine, Unmetered
from app.review.kit_tests import FailLine, TestLine
from app.review.kit_vials import StripsShown, VialLine
from app.review.kit_words import NOTES, fail_words, offer_words, result_words, verdict_words
from app.review.meter_against_lab import CAUTIONS, LabPair, MeterAgainstLab

_TESTS = 5  # control tests in the list


def kit_lines(shown: KitShown) -> Iterator[str]:
    """Everything about the kit, the warnings first."""
    vials = [each for each in shown.vials if each.in_use]
    yield (
        f"Kit of {shown.person.name}: {plural(len(shown.meters), 'meter')}, "
        f"{plural(len(vials), 'vial')} in use"
    )
    yield _strips(shown.strips)
    for each in shown.warnings:
        yield f"! {_day(each.day)}  {one_line(each.what)} ({one_line(each.more)})"
    for line in shown.meters:
        yield from _meter(line)
    if shown.meters and shown.without_meter.n:
        yield _unmetered(shown.without_meter)
    for vial in shown.vials:
        if vial.in_use or vial.vial.opened_day is None or vial.lapsed or vial.failed or vial.heat:
            yield _vial(vial)
    if shown.tests:
        yield f"Control tests (in no glucose figure), n {len(shown.tests)}, the newest first:"
        for test in shown.tests[:_TESTS]:
            yield f"  {_test(test)}"
    for fail in shown.fails:
        if fail.waits or not fail.passed_since:
            yield from _fail(fail)


def _unmetered(without: Unmetered) -> str:
    days = [_day(each) for each in (without.first_day, without.last_day) if each is not None]
    return (
        f"{plural(without.n, 'reading')} without a meter, {' to '.join(dict.fromkeys(days))}: no "
        f"vial and no control test puts {'it' if without.n == 1 else 'them'} in doubt. To say its "
        "meter: kit readings --meter NAME --from DAY --to DAY"
    )


def control_lines(shown: KitShown, test_id: int) -> Iterator[str]:
    """What came of the control test that was just written down."""
    line = next(each for each in shown.tests if each.judged.test.id == test_id)
    yield _test(line)
    for fail in shown.fails:
        is_this = fail.failed.judged.test.id == test_id
        if is_this or (fail.waits and any(o.passed.test.id == test_id for o in fail.offers)):
            yield from _fail(fail, with_steps=is_this)


def narrow_lines(shown: KitShown, test_id: int) -> Iterator[str]:
    """How many readings stay in doubt after the person's word."""
    for fail in shown.fails:
        if fail.failed.judged.test.id == test_id:
            yield fail_words(fail)


def pair_lines(found: MeterAgainstLab, meters: Mapping[int, str]) -> Iterator[str]:
    """Each pair with its difference and its limit, then the cautions."""
    yield f"{found.person.name}: results of the meter beside the laboratory's, n {len(found.pairs)}"
    for each in found.pairs:
        yield f"  {_pair(each, meters)}"
    if found.unpaired:
        yield f"  without a reading within 15 minutes: {found.unpaired}"
    together = found.together
    if together.verdict is None:
        yield (
            f"No verdict from {plural(together.n, 'pair')}: the standard's study has "
            f"{found.needed} people."
        )
    else:
        yield f"{together.within.count} of {together.n} pairs are within their limit (95 % asked)."
    yield from CAUTIONS


def _strips(strips: StripsShown) -> str:
    if strips.uncounted:
        return f"Strips left: unknown, nobody said how many {', '.join(strips.uncounted)} holds."
    if strips.left is None:
        return "Strips left: unknown, no vial with a count is in use."
    forecast = strips.forecast
    said = f"Strips left: {strips.left} in {plural(strips.vials, 'vial')}"
    if forecast.per_day is None:
        return f"{said}; no forecast, too few days of tests ({forecast.days})."
    pace = f"{half_up(forecast.per_day, 1)} tests a day over {forecast.days} days"
    if forecast.runs_out is None:
        return f"{said}; {pace}."
    out = _day(forecast.runs_out)
    by = "" if forecast.get_by is None else f", new ones by {_day(forecast.get_by)}"
    return f"{said}, until about {out} at {pace}{by}."


def _meter(line: MeterLine) -> Iterator[str]:
    meter = line.meter
    span = (
        "no reading"
        if line.first_day is None or line.last_day is None
        else f"n {line.n}, {_day(line.first_day)} to {_day(line.last_day)}"
    )
    memory = f", memory {meter.capacity}" if meter.capacity else ", memory unknown"
    vial = f", vial {line.vial}" if line.vial else ""
    yield f"Meter {one_line(meter.name)} ({meter.unit}{memory}): {span}{one_line(vial)}"
    for due in line.due:
        yield f"  control test due: {due.words}"


def _vial(line: VialLine) -> str:
    last = "no date known" if line.last_good is None else f"last good day {_day(line.last_good)}"
    left = "" if line.left.left is None else f", {line.left.left} left"
    beyond = f", {line.left.beyond} more used than it held" if line.left.beyond else ""
    doubt = line.lapsed + line.failed + line.heat
    odd = f", {plural(doubt, 'reading')} in doubt" if doubt else ""
    where = f" with {', '.join(line.meters)}" if line.meters else ""
    said = f"Vial {line.vial.name} #{line.vial.id}{where}: {last}{left}{beyond}{odd}"
    ended = " (no longer used)" if line.left.left else " (used up)"
    return one_line(said if line.in_use or not line.uses else said + ended)


def _test(line: TestLine) -> str:
    judged = line.judged
    marks = [NOTES.get(each, each) for each in judged.notes]
    if line.first:
        marks.append("new vial")
    if line.in_doubt:
        marks.append(f"{plural(line.in_doubt, 'reading')} in doubt")
    kit = f"{line.meter}, vial {line.vial}" if line.vial else f"{line.meter}, vial unknown"
    head = f"#{judged.test.id} {when(judged.test.moment)} {kit}"
    said = f"{head}: {result_words(judged)}, {verdict_words(judged)}"
    return one_line(f"{said} ({'; '.join(marks)})" if marks else said)


def _fail(fail: FailLine, *, with_steps: bool = True) -> Iterator[str]:
    yield one_line(f"Failed control test #{fail.failed.judged.test.id}: {fail_words(fail)}")
    for offer in fail.offers:
        if fail.failed.word is None:
            yield one_line(f"  {offer_words(offer)}")
    if fail.waits:
        sides = " or ".join(f"kit narrow {each.side}" for each in fail.offers)
        yield f"  It waits for your word: {sides}, or kit narrow keep."
    if with_steps and not fail.passed_since:
        yield f"  What to do ({STEPS_SOURCE}):"
        for number, step in enumerate(fail.steps, start=1):
            yield f"  {number}. {step.words}{' (done)' if step.done else ''}"


def _pair(each: LabPair, meters: Mapping[int, str]) -> str:
    held, places = each.held, each.unit.places
    minutes = round(each.apart_s / 60)
    name = meters.get(each.meter, "meter unknown")
    off = half_up(float(held.difference), places)
    limit = half_up(float(held.limit), places + 1)
    word = "within" if held.within else "outside"
    doubt = f"; in doubt: {each.doubt.words}" if each.doubt else ""
    return one_line(
        f"{each.wall.replace('T', ' ')}  lab {value_words(each.lab)}, {name} "
        f"{value_words(each.glucose)} ({minutes:+d} min): difference {off:+}, "
        f"limit ±{limit} {each.unit}, {word}{doubt}"
    )


def _day(ordinal: int) -> str:
    day = date.fromordinal(ordinal)
    return f"{day:%a} {day.day} {day:%b %Y}"
