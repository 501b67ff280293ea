"""From the fields of the form to a change of the reading, or to what stands in its way."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import datetime

from app.domain.entry import Entry
from app.domain.errors import Question
from app.domain.marks import known_mark
from app.domain.numerals import plain_number
from app.domain.person import Person
from app.ui.readings.typed import Typed, tags_of
from app.ui.readings.words import tr
from app.work.edit import KEEP, Edit
from app.work.retype import typed_time, typed_value

SURE = "--sure"
_LONGEST_AFTER = 1440  # minutes: beyond a day it was another meal
_WHOLE_LINE = "reading"  # its answers are lines for the entry line, not for a field


@dataclass(frozen=True, slots=True)
class Asked:
    """A question about one field."""

    field: str
    question: Question
    entry: Entry


@dataclass(frozen=True, slots=True)
class Reread:
    """The change that the fields ask for; sentences and questions by field where it can't be."""

    edit: Edit
    problems: dict[str, str] = field(default_factory=dict)
    asked: tuple[Asked, ...] = ()

    @property
    def is_ready(self) -> bool:
        """Whether the change can be made."""
        return not self.problems and not self.asked


def reread(
    typed: Typed,
    before: Typed,
    person: Person,
    *,
    now: datetime,
    zone: str | None,
    value_sure: bool = False,
    time_sure: bool = False,
) -> Reread:
    """Read the fields that differ from before.

    Parameters
    ----------
    zone : str, optional
        Where the reading was taken; the person's own zone where that is not known.
    value_sure, time_sure : bool
        The person answered that an odd value or a time to come is meant as typed.
    """
    changed = typed.changed_from(before)
    found = Reread(Edit(keep_odd=value_sure))
    if changed & {"value", "unit"}:
        value = typed_value(typed.value, person, typed.unit, now=now, sure=value_sure)
        found = _taken(found, "value", value)
    if "time" in changed:
        time = typed_time(typed.time, person, now=now, zone=zone, sure=time_sure)
        found = _taken(found, "time", time)
    if changed & {"mark", "after_min"}:
        found = _marked(found, typed, changed)
    edit = found.edit
    if "site" in changed:
        edit = replace(edit, site=typed.site)
    if "hands" in changed:
        edit = replace(edit, hands=typed.hands)
    if changed & {"note", "note_is_private"}:
        edit = replace(edit, note=typed.note.strip() or None)
    if "note_is_private" in changed:
        edit = replace(edit, note_is_private=typed.note_is_private)
    if "tags" in changed:
        edit = replace(edit, tags=tags_of(typed.tags))
    if "keeper" in changed:
        edit = replace(edit, keeper=" ".join(typed.keeper.split()) or None)
    return replace(found, edit=edit)


def _taken(found: Reread, name: str, entry: Entry) -> Reread:
    problems = list(entry.problems)
    problems += [each.asks for each in entry.questions if each.kind == _WHOLE_LINE]
    if problems:
        return replace(found, problems={**found.problems, name: " ".join(problems)})
    asked = tuple(Asked(name, question, entry) for question in entry.questions)
    edit = replace(found.edit, value=entry) if name == "value" else replace(found.edit, time=entry)
    return replace(found, edit=edit, asked=(*found.asked, *asked))


def _marked(found: Reread, typed: Typed, changed: set[str]) -> Reread:
    mark, text = known_mark(typed.mark), typed.after_min.strip()
    minutes: int | None = None
    if mark is not None and mark.is_after_meal and text:
        plain = plain_number(text)
        if plain is None or "." in plain or int(plain) > _LONGEST_AFTER:
            sentence = tr("Minutes are a whole number, at most {n}.").format(n=_LONGEST_AFTER)
            return replace(found, problems={**found.problems, "after_min": sentence})
        minutes = int(plain)
    return replace(
        found,
        edit=replace(
            found.edit, mark=mark if mark is not None and "mark" in changed else KEEP,
            after_min=minutes if mark is not None else KEEP,
        ),
    )  # fmt: skip
