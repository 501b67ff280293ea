"""The kit as plain values for JSON: days as dates, times as UTC seconds and wall times."""

from __future__ import annotations

from datetime import date
from typing import Any

from app.domain.glucose import LimitPair
from app.review.kit import KitShown, MeterLine
from app.review.kit_tests import FailLine, TestLine
from app.review.kit_vials import VialLine
from app.review.kit_warnings import KitWarning
from app.review.kit_words import fail_words, offer_words
from app.review.meter_against_lab import CAUTIONS, LabPair, MeterAgainstLab
from app.statistics.supplies import Forecast


def kit_as_json(shown: KitShown) -> dict[str, Any]:
    """Everything about the kit of a person."""
    return {
        "person": shown.person.name,
        "today": _day(shown.today),
        "meters": [_meter(each) for each in shown.meters],
        "vials": [_vial(each) for each in shown.vials],
        "solutions": [
            {
                "number": f"#{each.id}",
                "uid": str(each.uid),
                "level": each.level,
                "lot": each.lot,
                "printed": each.printed,
                "opened": _day(each.opened_day),
                "days_open": each.days_open,
                "last_good_day": _day(each.last_good_day),
            }
            for each in shown.solutions
        ],
        "control_tests": [_test(each) for each in shown.tests],
        "failed": [_fail(each) for each in shown.fails],
        "strips": {
            "left": shown.strips.left,
            "vials": shown.strips.vials,
            "not_counted": list(shown.strips.uncounted),
            **_forecast(shown.strips.forecast),
        },
        "warnings": [_warning(each) for each in shown.warnings],
        "control_test_every_days": shown.every_days,
        "items": [
            {"number": f"#{e.id}", "kind": e.kind, "name": e.name, "uid": str(e.uid)}
            for e in shown.items
        ],
        "events": [
            {"kind": e.kind, "at": e.at, "meter": e.meter, "vial": e.vial, "note": e.note}
            for e in shown.events
        ],
        "without_meter": {
            "n": shown.without_meter.n,
            "first_day": _day(shown.without_meter.first_day),
            "last_day": _day(shown.without_meter.last_day),
        },
        "doubt": {(reason.name or "").lower(): n for reason, n in shown.doubt.items()},
    }


def pairs_as_json(found: MeterAgainstLab) -> dict[str, Any]:
    """Pairs of meter and laboratory; no verdict from too few."""
    together = found.together
    return {
        "person": found.person.name,
        "n": together.n,
        "needed_for_a_verdict": found.needed,
        "unpaired": found.unpaired,
        "within": together.within.count,
        "verdict": together.verdict,
        "mean_absolute_relative_difference": together.mard,
        "mean_relative_difference": together.mrd,
        "pairs": [_pair(each) for each in found.pairs],
        "cautions": list(CAUTIONS),
    }


def _meter(line: MeterLine) -> dict[str, Any]:
    meter = line.meter
    return {
        "number": f"#{meter.id}",
        "uid": str(meter.uid),
        "name": meter.name,
        "unit": meter.unit,
        "zone": meter.zone,
        "serial": meter.serial,
        "capacity": meter.capacity,
        "keep_memory": meter.keep_memory,
        "low": _limit(meter.low),
        "high": _limit(meter.high),
        "n": line.n,
        "first_reading": _day(line.first_day),
        "last_reading": _day(line.last_day),
        "vial": line.vial,
        "control_test_due": [
            {"why": each.why, "words": each.words, "since": each.since} for each in line.due
        ],
    }


def _vial(line: VialLine) -> dict[str, Any]:
    vial = line.vial
    return {
        "number": f"#{vial.id}",
        "uid": str(vial.uid),
        "lot": vial.lot,
        "kind": vial.kind,
        "printed": vial.printed,
        "opened": _day(vial.opened_day),
        "days_open": vial.days_open,
        "finished": _day(vial.finished_day),
        "last_good_day": _day(line.last_good),
        "in_use": line.in_use,
        "meters": list(line.meters),
        "uses": [{"meter": e.meter, "from": e.start, "to": e.end} for e in line.uses],
        "ranges": [
            {"level": e.level, "low": e.low, "high": e.high, "unit": e.unit} for e in vial.ranges
        ],
        "readings": line.readings,
        "control_tests": line.tests,
        "in_doubt": {"vial": line.lapsed, "control": line.failed, "heat": line.heat},
        "strips": vial.strips,
        "left": line.left.left,
        "beyond": line.left.beyond,
        **_forecast(line.forecast),
    }


def _test(line: TestLine) -> dict[str, Any]:
    judged, test = line.judged, line.judged.test
    printed = judged.printed
    return {
        "number": f"#{test.id}",
        "uid": str(test.uid),
        "at": test.moment.wall,
        "zone": test.moment.zone,
        "meter": line.meter,
        "vial": line.vial,
        "solution": line.solution,
        "level": test.level,
        "value": test.glucose.value,
        "bound": test.glucose.bound,
        "unit": test.glucose.unit,
        "range": None
        if printed is None
        else {"low": printed.low, "high": printed.high, "unit": printed.unit},
        "verdict": judged.verdict,
        "side": judged.side,
        "notes": list(judged.notes),
        "temperature": test.temperature,
        "first_of_vial": line.first,
        "in_doubt": line.in_doubt,
    }


def _fail(line: FailLine) -> dict[str, Any]:
    return {
        "test": f"#{line.failed.judged.test.id}",
        "at": line.failed.judged.test.moment.wall,
        "meter": line.meter,
        "vial": line.vial,
        "in_doubt": line.in_doubt,
        "without_your_word": line.all_sides,
        "since": line.since,
        "word": line.failed.word,
        "waits": line.waits,
        "offers": [
            {
                "side": each.side,
                "name": each.name,
                "passed_with": each.passed_with,
                "stay": each.stay,
                "released": each.released,
                "words": offer_words(each),
            }
            for each in line.offers
        ],
        "words": fail_words(line),
        "steps": [{"code": e.code, "words": e.words, "done": e.done} for e in line.steps],
    }


def _warning(each: KitWarning) -> dict[str, Any]:
    return {
        "code": each.code,
        "day": _day(each.day),
        "what": each.what,
        "more": each.more,
        "now": each.now,
    }


def _pair(each: LabPair) -> dict[str, Any]:
    held = each.held
    return {
        "at": each.wall,
        "unit": each.unit,
        "lab": float(held.reference),
        "meter": float(held.meter),
        "apart_s": each.apart_s,
        "difference": float(held.difference),
        "limit": float(held.limit),
        "within": held.within,
        "in_doubt": bool(each.doubt),
    }


def _forecast(found: Forecast) -> dict[str, Any]:
    return {
        "per_day": found.per_day,
        "pace_days": found.days,
        "runs_out": _day(found.runs_out),
        "get_by": _day(found.get_by),
    }


def _limit(pair: LimitPair | None) -> dict[str, float] | None:
    return None if pair is None else {"mg/dL": pair.mg_dl, "mmol/L": pair.mmol_l}


def _day(ordinal: int | None) -> str | None:
    return None if ordinal is None else date.fromordinal(ordinal).isoformat()
