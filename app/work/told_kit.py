"""What was done to the kit, in sentences for the history."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

Words = Mapping[str, Any]  # without what was emptied from the bin; none is named "kind"

_HAPPENED = {
    "battery": "The battery was changed",
    "dropped": "It was dropped",
    "heat": "It lay in heat or cold",
    "doubtful": "A result did not fit how it felt",
    "unit": "The unit was looked at",
    "cleaned": "It was cleaned",
    "lancet": "The lancet was changed",
}
_LEFT_TO = {"vial": "the vial", "meter": "the meter"}


def _of(words: Words, key: str, before: str = " ") -> str:
    return f"{before}“{words[key]}”" if words.get(key) else ""


def _parts(words: Words) -> str:
    parts = list(words.get("parts", ()))
    return f": {', '.join(parts)}" if parts else ""


def _meter_add(words: Words) -> str:
    return f"The meter{_of(words, 'meter')} was added."


def _meter_edit(words: Words) -> str:
    return f"The meter{_of(words, 'meter')} was changed{_parts(words)}."


def _vial_add(words: Words) -> str:
    lot = f", lot {words['vial']}" if words.get("vial") else ""
    return f"A vial of strips was added{lot}{_of(words, 'meter', ', for the meter ')}."


def _vial_edit(words: Words) -> str:
    return f"The vial{_of(words, 'vial')} was changed{_parts(words)}."


def _use(words: Words) -> str:
    since = f" from {words['at']} on" if words.get("at") else ""
    return f"The vial{_of(words, 'vial')} is used{_of(words, 'meter', ' with the meter ')}{since}."


def _use_end(words: Words) -> str:
    at = f" until {words['at']}" if words.get("at") else ""
    return f"The vial{_of(words, 'vial')} was used{_of(words, 'meter', ' with the meter ')}{at}."


def _solution(words: Words) -> str:
    return f"The control solution{_of(words, 'solution')} was written down{_parts(words)}."


def _control(words: Words) -> str:
    result = f": {words['result']}" if words.get("result") else ""
    vial = f", vial {words['vial']}" if words.get("vial") else ""
    at = f", {words['at']}" if words.get("at") else ""
    return f"A control test was written down{result}{vial}{at}."


def _control_edit(words: Words) -> str:
    return f"The control test{_of(words, 'at')} was changed{_parts(words)}."


def _item(words: Words) -> str:
    return f"The part{_of(words, 'item')} of the kit was added."


def _event(words: Words) -> str:
    what = _HAPPENED.get(str(words.get("sort", "")), "Something happened to it")
    of = f" ({words['of']})" if words.get("of") else ""
    at = f", {words['at']}" if words.get("at") else ""
    note = f": {words['note']}" if words.get("note") else ""
    return f"{what}{of}{at}{note}."


def _supply(words: Words) -> str:
    n = f"{words['count']} " if words.get("count") is not None else ""
    sort, why = words.get("sort") or "pieces", words.get("why") or "counted"
    return f"Supplies: {n}{sort} {why}{_of(words, 'vial', ', vial ')}."


def _narrow(words: Words) -> str:
    blamed = _LEFT_TO.get(str(words.get("verdict")))
    at = f" of {words['at']}" if words.get("at") else ""
    if blamed is None:
        return f"All readings of the failed control test{at} stay in doubt."
    return f"The doubt of the failed control test{at} was narrowed to {blamed}."


def _readings(words: Words) -> str:
    n = int(words.get("count", 0))
    with_what = " and ".join(
        f"{what} “{words[what]}”" for what in ("meter", "vial") if words.get(what)
    )
    return f"{n:,} reading{' was' if n == 1 else 's were'} said to be made with {with_what}."


def _every(words: Words) -> str:
    days = words.get("days")
    return (
        f"A control test is due every {days} days." if days else "No control test is due by days."
    )


def _remove(words: Words) -> str:
    return f"The {words.get('sort', 'part of the kit')}{_of(words, 'named')} was put into the bin."


def _memory_check(words: Words) -> str:
    total, missing = words.get("total"), words.get("not_copied")
    found = "" if total is None else f": {int(total) - int(missing or 0)} of {total} accounted for"
    return f"The memory of the meter{_of(words, 'meter')} was checked{found}."


TOLD_KIT: dict[str, Callable[[Words], str]] = {
    "kit_meter_add": _meter_add,
    "kit_meter_edit": _meter_edit,
    "kit_vial_add": _vial_add,
    "kit_vial_edit": _vial_edit,
    "kit_use": _use,
    "kit_use_end": _use_end,
    "kit_solution": _solution,
    "kit_control": _control,
    "kit_control_edit": _control_edit,
    "kit_item": _item,
    "kit_event": _event,
    "kit_supply": _supply,
    "kit_narrow": _narrow,
    "kit_readings": _readings,
    "kit_every": _every,
    "kit_remove": _remove,
    "memory_check": _memory_check,
}
