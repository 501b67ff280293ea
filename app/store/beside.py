"""What is written beside a person's readings: notes, tags, reasons, names; few rows have any."""

from __future__ import annotations

from dataclasses import dataclass, field

from app.domain.marks import Mark
from app.domain.person import Person
from app.store.diary import Diary


@dataclass(frozen=True, slots=True)
class Beside:
    """By a reading's local id, and only where there is something to say.

    `time_state` other than sure · `later` typed more than two hours after its time · `why` it was
    set aside or is not mine · `mark` the code of a newer list, which no column can hold. `keepers`,
    `meters` and `vials` are names by their own local ids.
    """

    note: dict[int, str] = field(default_factory=dict)
    tags: dict[int, tuple[str, ...]] = field(default_factory=dict)
    why: dict[int, str] = field(default_factory=dict)
    time_state: dict[int, str] = field(default_factory=dict)
    later: frozenset[int] = frozenset()
    mark: dict[int, str] = field(default_factory=dict)
    keepers: dict[int, str] = field(default_factory=dict)
    meters: dict[int, str] = field(default_factory=dict)
    vials: dict[int, str] = field(default_factory=dict)


NOTHING = Beside()

_EARLIEST = -(1 << 62)

_LATER_SECONDS = 2 * 3600  # as `Reading.added_later` has it

_OF_PERSON = "r.person_id = ? AND r.deleted_at IS NULL AND r.instant IS NOT NULL"
_KNOWN = ", ".join(f"'{mark.value}'" for mark in Mark)
_IS_LATER = f"r.origin = 'typed' AND r.entered_at - r.instant > {_LATER_SECONDS}"
_ODD = (
    f"SELECT r.id, r.time_state, r.standing_why, {_IS_LATER}, r.mark, r.mark IN ({_KNOWN})"
    f" FROM reading r WHERE {_OF_PERSON} AND r.instant >= ? AND (r.time_state != 'sure'"
    f" OR r.standing_why IS NOT NULL OR ({_IS_LATER}) OR r.mark NOT IN ({_KNOWN}))"
)
# From the notes to the readings: there are many readings and few notes.
_NOTES = (
    "SELECT r.id, n.text FROM note n CROSS JOIN reading r ON r.uid = n.row_uid"
    f" WHERE n.tbl = 'reading' AND n.deleted_at IS NULL AND {_OF_PERSON}"
    " AND (n.private_copy IS NULL OR n.private_copy = (SELECT id FROM copy WHERE uid = ?))"
    " ORDER BY n.id"  # what another copy keeps to itself is shown there alone
)
_TAGS = (
    "SELECT r.id, t.label FROM tag_on o CROSS JOIN reading r ON r.uid = o.row_uid"
    " JOIN tag t ON t.id = o.tag_id"
    f" WHERE o.tbl = 'reading' AND o.deleted_at IS NULL AND {_OF_PERSON} ORDER BY o.id"
)
_NAMES = {
    "keepers": "SELECT id, name FROM keeper",
    "meters": "SELECT id, name FROM meter",
    "vials": "SELECT id, lot FROM vial WHERE lot IS NOT NULL",
}


def beside_of(diary: Diary, person: Person, *, since: int = _EARLIEST) -> Beside:
    """Everything that is written beside a person's dated readings.

    Of readings before `since` (UTC seconds) what they say of themselves is left out.
    """
    with diary.driver() as driver:
        note: dict[int, str] = {}
        own = diary.installation.bytes
        for row, text in driver.execute(_NOTES, (person.id, own)):
            note[row] = f"{note[row]}\n{text}" if row in note else text
        tags: dict[int, tuple[str, ...]] = {}
        for row, label in driver.execute(_TAGS, (person.id,)):
            tags[row] = (*tags.get(row, ()), label)
        odd = driver.execute(_ODD, (person.id, since)).fetchall()
        names = {name: dict(driver.execute(query).fetchall()) for name, query in _NAMES.items()}
    return Beside(
        note=note,
        tags=tags,
        why={row: why for row, _, why, *_ in odd if why is not None},
        time_state={row: state for row, state, *_ in odd if state != "sure"},
        later=frozenset(row for row, _, _, later, *_ in odd if later),
        mark={row: mark for row, *_, mark, known in odd if not known},
        **names,
    )
