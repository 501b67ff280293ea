"""The ids of a household's records: the same in every build."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING
from uuid import uuid5

from sample_db.household import Household
from sample_db.records import NAMESPACE, uid_of

if TYPE_CHECKING:
    from collections.abc import Callable
    from uuid import UUID


def with_ids(home: Household) -> Household:
    """Give every record of a household its id, by kind and place in its row."""
    key = home.wishes.name.lower()

    def row(kind: str) -> Callable[[int], UUID]:
        return lambda number: uid_of(key, kind, number)

    reading, control, ketone = row("reading"), row("control_test"), row("ketone")
    visit, lab, span, change = row("visit"), row("lab_result"), row("span"), row("change_mark")
    event, meter, vial, solution = row("event"), row("meter"), row("vial"), row("solution")
    setting, repair = row("clock_setting"), row("clock_repair")
    return replace(
        home,
        wishes=replace(home.wishes, uid=uid_of(key, "person", 1)),
        results=tuple(replace(e, uid=reading(n)) for n, e in enumerate(home.results, 1)),
        controls=tuple(replace(e, uid=control(n)) for n, e in enumerate(home.controls, 1)),
        ketones=tuple(replace(e, uid=ketone(n)) for n, e in enumerate(home.ketones, 1)),
        visits=tuple(
            replace(e, uid=visit(n), lab_uid=lab(n)) for n, e in enumerate(home.visits, 1)
        ),
        spans=tuple(replace(e, uid=span(n)) for n, e in enumerate(home.spans, 1)),
        change_marks=tuple(replace(e, uid=change(n)) for n, e in enumerate(home.change_marks, 1)),
        events=tuple(replace(e, uid=event(n)) for n, e in enumerate(home.events, 1)),
        meters=tuple(replace(e, uid=meter(n)) for n, e in enumerate(home.meters, 1)),
        vials=tuple(replace(e, uid=vial(n)) for n, e in enumerate(home.vials, 1)),
        solutions=tuple(replace(e, uid=solution(n)) for n, e in enumerate(home.solutions, 1)),
        clock_settings=tuple(
            replace(e, uid=setting(n)) for n, e in enumerate(home.clock_settings, 1)
        ),
        clock_repairs=tuple(replace(e, uid=repair(n)) for n, e in enumerate(home.clock_repairs, 1)),
    )


def uid_named(*parts: object) -> UUID:
    """The id of a row that has no record of its own, by what it is and what it belongs to."""
    return uuid5(NAMESPACE, "/".join(map(str, parts)))
