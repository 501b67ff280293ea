"""The journal in sentences: what each kind of change was."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from typing import Any

from app.domain.marks import Mark, known_mark
from app.work.told_clocks import TOLD_CLOCKS
from app.work.told_kit import TOLD_KIT
from app.work.told_notes import TOLD_NOTES
from app.work.told_together import TOLD_TOGETHER

Words = Mapping[str, Any]

UNDO, REDO = "undo", "redo"


def told(kind: str, words: Words) -> str:
    """What a change was, in one sentence; what was emptied from the bin is left out of it."""
    if kind == UNDO:
        return f"Taken back: {quoted(told_of(kind, words))}"
    if kind == REDO:
        return f"Done again: {quoted(told_of(kind, words))}"
    says = _TOLD.get(kind)
    # A kind of a newer program, or of none of ours, is shown as it is written.
    return says(words) if says is not None else f"{_first_up(kind.replace('_', ' '))}."


def told_of(kind: str, words: Words) -> str:
    """The change that an undo or a redo is about, in one sentence; of any other that one."""
    if kind in (UNDO, REDO):
        return told(str(words.get("kind", "")), {**words, "kind": ""})
    return told(kind, words)


def done_again(kind: str, words: Words) -> str:
    """What a redo did."""
    return f"Done again: {quoted(told(kind, words))}"


def count(n: int, one: str, many: str | None = None) -> str:
    """A number with its noun: "1 reading", "10,000 readings"."""
    return f"{n:,} {one if n == 1 else many or one + 's'}"


def n_of(words: Words) -> int:
    """How many readings a change says that it touched."""
    return int(words.get("count", 0))


def verb(n: int) -> str:
    """What goes with a number: "is" or "are"."""
    return "is" if n == 1 else "are"


def listed(parts: Sequence[str]) -> str:
    """Words in a row: "value, time and mark"."""
    return f"{', '.join(parts[:-1])} and {parts[-1]}" if len(parts) > 1 else "".join(parts)


def quoted(sentence: str) -> str:
    """A sentence inside another one, which ends with it."""
    return f"“{sentence.removesuffix('.')}”."


def _was(n: int) -> str:
    return "was" if n == 1 else "were"


def _first_up(text: str) -> str:
    return text[:1].upper() + text[1:]


def _day(iso: str) -> str:
    """A day as people read it: "9 February 2026"; another text as it is."""
    try:
        day = date.fromisoformat(iso)
    except ValueError:
        return iso or "a day"
    return f"{day.day} {day:%B %Y}"


def _month(iso: str) -> str:
    try:
        return f"{date.fromisoformat(f'{iso}-01'):%B %Y}"
    except ValueError:
        return iso or "a month"


def _enter(words: Words) -> str:
    said = words.get("reading")
    return f"The reading {said} was saved." if said else "A reading was saved."


def _import(words: Words) -> str:
    name, n = words.get("file"), words.get("new")
    rows = "" if n is None else f": {count(int(n), 'new row')}"
    return f"{name or 'A file'} was brought in{rows}."


def _edit(words: Words) -> str:
    said, parts = words.get("reading"), list(words.get("parts", ()))
    what = listed(parts) if parts else "Something"
    which = f" {said}" if said else ""
    return f"{_first_up(what)} of the reading{which} {_was(len(parts) or 1)} changed."


def _mark(words: Words) -> str:
    n, mark = n_of(words), known_mark(str(words.get("mark", "")))
    if mark is Mark.NONE:
        return f"{count(n, 'reading')} lost {'its' if n == 1 else 'their'} mark."
    said = mark.words if mark else words.get("mark", "otherwise")
    return f"{count(n, 'reading')} {_was(n)} marked “{said}”."


def _set_aside(words: Words) -> str:
    why = f": {words['why']}" if words.get("why") else ""
    return f"{count(n_of(words), 'reading')} {_was(n_of(words))} set aside{why}."


def _not_mine(words: Words) -> str:
    n = n_of(words)
    return f"{count(n, 'reading')} {_was(n)} said to be somebody else's."


def _counted_again(words: Words) -> str:
    n = n_of(words)
    return f"{count(n, 'reading')} {_was(n)} counted again."


def _bin(words: Words) -> str:
    n = n_of(words)
    return f"{count(n, 'reading')} {_was(n)} put into the bin."


def _restored(words: Words) -> str:
    n = int(words.get("count", 0))
    what = words.get("what") or count(n, "record")
    return f"{_first_up(str(what))} {_was(n)} taken out of the bin."


def _emptied(words: Words) -> str:
    n = int(words.get("count", 0))
    return f"The bin was emptied: {count(n, 'row')} {verb(n)} gone for good."


def _person_add(words: Words) -> str:
    return f"{words.get('name') or 'A person'} was added."


def _person_remove(words: Words) -> str:
    n = int(words.get("readings", 0))
    whose = words.get("name") or "A person"
    return f"{whose} was put into the bin, with {count(n, 'reading')}."


def _settings(words: Words) -> str:
    name = words.get("name")
    return f"The settings of {name} were changed." if name else "Settings were changed."


def _targets(words: Words) -> str:
    name, first = words.get("name"), str(words.get("from", ""))
    since = "" if first in ("", "1970-01-01") else f" from {_day(first)} on"
    return f"The goals{f' “{name}”' if name else ''} were put in force{since}."


def _note(words: Words) -> str:
    said = words.get("text")
    return f"A note was added{f': “{said}”' if said else ''}."


def _new_meter(words: Words) -> str:
    name = words.get("meter")
    return f"A meter was added{f': “{name}”' if name else ''}."


def _new_vial(words: Words) -> str:
    vial, meter = words.get("vial"), words.get("meter")
    into = f" for the meter “{meter}”" if meter else ""
    return f"A vial of strips was opened{f', lot {vial}' if vial else ''}{into}."


def _vial_finished(words: Words) -> str:
    meter = words.get("meter")
    return f"A vial of strips was used up{f' with the meter “{meter}”' if meter else ''}."


def _from_paper(words: Words) -> str:
    n, keeper = int(words.get("rows", 0)), words.get("keeper")
    by = f" by {keeper}" if keeper else ""
    return f"{count(n, 'reading')} from paper {_was(n)} written down{by}."


def _ketones(words: Words) -> str:
    n = int(words.get("tests", 0))
    return f"{count(n, 'ketone test')} {_was(n)} written down."


def _events(words: Words) -> str:
    return f"What was done in {_month(str(words.get('month', '')))} was written down."


def _visit(words: Words) -> str:
    return f"A visit on {_day(str(words.get('day', '')))} was written down."


def _span(words: Words) -> str:
    return f"A stretch of days from {_day(str(words.get('day', '')))} on was written down."


def _change_mark(words: Words) -> str:
    return f"Something was done differently from {_day(str(words.get('day', '')))} on."


def _whole_diary(words: Words) -> str:
    n, file = int(words.get("rows", 0)), words.get("file")
    return f"A whole diary of {count(n, 'row')} was brought in{f' from {file}' if file else ''}."


def _ask(words: Words) -> str:
    said = words.get("question")
    return f"A question was asked: “{said}”." if said else "A question was asked."


def _journey(words: Words) -> str:
    return f"A journey from {_day(str(words.get('day', '')))} on was written down."


_TOLD: dict[str, Callable[[Words], str]] = {
    "enter": _enter,
    "import": _import,
    "whole_diary": _whole_diary,
    "edit": _edit,
    "set_mark": _mark,
    "set_aside": _set_aside,
    "not_mine": _not_mine,
    "counted_again": _counted_again,
    "bin": _bin,
    "bin_restore": _restored,
    "bin_emptied": _emptied,
    "person_add": _person_add,
    "person_remove": _person_remove,
    "settings": _settings,
    "targets_set": _targets,
    "note": _note,
    "new_meter": _new_meter,
    "new_vial": _new_vial,
    "vial_finished": _vial_finished,
    "rows_from_paper": _from_paper,
    "ketone_tests": _ketones,
    "month_of_events": _events,
    "visit": _visit,
    "span_of_days": _span,
    "change_mark": _change_mark,
    "journey": _journey,
    "ask": _ask,
    **TOLD_NOTES,
    **TOLD_CLOCKS,
    **TOLD_KIT,
    **TOLD_TOGETHER,
}


KINDS = frozenset(_TOLD)
