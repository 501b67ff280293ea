"""What is said of one control test on the Kit page."""

from __future__ import annotations

from app.domain.control import Judged, Verdict
from app.review.kit import KitShown
from app.review.kit_tests import TestLine
from app.review.kit_words import NOTES, verdict_words
from app.ui.kit.words import day_named, level_name, many, tr
from app.ui.words import clock_words, joined, number_words


def short_verdict(judged: Judged) -> str:
    """What came of it in a word."""
    return {
        Verdict.PASSED: tr("passed"),
        Verdict.FAILED: tr("failed"),
        Verdict.NO_RANGE: tr("no range"),
    }[judged.verdict]


def when_tested(line: TestLine, shown: KitShown) -> str:
    """Its day and time."""
    wall = line.judged.test.moment.local
    day = day_named(wall.toordinal(), shown.today, shown.person)
    return f"{day} {clock_words(wall, shown.person)}"


def range_text(judged: Judged) -> str:
    """The range as printed."""
    printed = judged.printed
    if printed is None:
        return "–"
    unit = "" if printed.unit is judged.test.glucose.unit else f" {printed.unit}"
    return number_words(f"{printed.low} – {printed.high}{unit}")


def standing_text(line: TestLine) -> str:
    """What came of it, what speaks against it, what it puts in doubt."""
    said = [verdict_words(line.judged), *(NOTES[each] for each in line.judged.notes)]
    if line.in_doubt:
        said.append(many(line.in_doubt, "{n} reading in doubt", "{n} readings in doubt"))
    elif line.first:
        said.append(tr("new vial"))
    return joined(said)


def said_test(line: TestLine, shown: KitShown) -> str:
    """One test in a line: when, with what, the result beside its range, what came of it."""
    judged = line.judged
    glucose = judged.test.glucose
    level = tr("{level} level").format(level=level_name(judged.test.level))
    with_what = [line.meter, tr("vial {name}").format(name=line.vial or "?"), level]
    if line.solution:
        with_what.append(tr("solution {name}").format(name=line.solution))
    if judged.test.temperature:
        with_what.append(judged.test.temperature)
    result = f"{number_words(glucose.shown(glucose.unit))} {glucose.unit}"
    if judged.printed is not None:
        result = tr("{result}, range {range}").format(result=result, range=range_text(judged))
    said = [when_tested(line, shown), ", ".join(with_what), result, standing_text(line)]
    return joined(said)
