"""What is said of control tests, failed ones and what they could be narrowed to."""

from __future__ import annotations

from app.domain.control import Judged, Verdict
from app.review.kit_tests import FailLine, NarrowTo

NOTES = {
    "solution_lapsed": "solution out of date",
    "vial_lapsed": "strips out of date",
    "temperature": "outside 10 to 40 C",
}
_WORD = {
    "vial": "You narrowed it to the vial.",
    "meter": "You narrowed it to the meter.",
    "keep": "You keep all of them in doubt.",
}


def result_words(judged: Judged) -> str:
    """The result with its unit, beside the range: "9.5 mmol/L, range 5.2–7.8"."""
    glucose, printed = judged.test.glucose, judged.printed
    said = f"{glucose.shown(glucose.unit)} {glucose.unit}"
    if printed is None:
        return said
    unit = "" if printed.unit is glucose.unit else f" {printed.unit}"
    return f"{said}, range {printed.low}–{printed.high}{unit}"


def verdict_words(judged: Judged) -> str:
    """What came of it: "passed", "failed, above the range", "no range written for its vial"."""
    if judged.verdict is Verdict.NO_RANGE:
        return "no range written for its vial"
    return f"failed, {judged.side} the range" if judged.side else "passed"


def fail_words(fail: FailLine) -> str:
    """How far a failed test reaches, in one sentence."""
    n = fail.in_doubt
    of = f"{n} reading{'' if n == 1 else 's'} {'is' if n == 1 else 'are'} in doubt"
    if fail.since is None:
        since = f"; {fail.meter} had not passed before"
    else:
        since = f" since {fail.meter} or its strips last passed"
    word = f" {_WORD[fail.failed.word]}" if fail.failed.word else ""
    return f"{of}{since}.{word}"


def offer_words(offer: NarrowTo) -> str:
    """What it could be narrowed to, and why; the person says whether."""
    if offer.side == "vial":
        why = f"Vial {offer.passed_with} passed on the same meter, so the vial may be the cause"
    else:
        why = f"The vial passed with the meter {offer.passed_with}, so the meter may be the cause"
    stay = f"{offer.stay} reading{'' if offer.stay == 1 else 's'}"
    if not offer.released:
        return f"{why}. All {stay} belong to {offer.name}; none would leave doubt."
    return f"{why}. Narrowed to {offer.name}, {stay} would stay in doubt, {offer.released} not."
