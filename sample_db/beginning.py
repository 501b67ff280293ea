"""The first evening of a household's diary: the person with wishes and goals, keepers, meters."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from uuid import UUID

from app.domain.targets import Limit, preset
from app.store import schema
from sample_db.chapters import Added, Chapter, added
from sample_db.generator import FIRST_DAY
from sample_db.household import Household
from sample_db.ids import uid_named
from sample_db.kit import Meter
from sample_db.records import local_moment

_FIRST_EVENING = "2025-08-31T20:00"
_MINUTES_EACH = 4


def keeper_uid(home: Household, name: str) -> UUID:
    """The id of a keeper of the household."""
    return uid_named(home.wishes.name, "keeper", name)


def place_uid(home: Household, name: str) -> UUID:
    """The id of a place where the household tests."""
    return uid_named(home.wishes.name, "place", name)


def tag_uid(home: Household, label: str) -> UUID:
    """The id of a tag of the person."""
    return uid_named(home.wishes.name, "tag", label)


def beginning(home: Household) -> Iterator[Chapter]:
    """The person with everything that is asked at first, then the meters one by one."""
    person = home.wishes.uid
    start = local_moment(_FIRST_EVENING, home.wishes.zone).instant
    names = {"name": home.wishes.name}
    rows = (*_person(home), *_goals(home), *_people_and_places(home), *_tags(home))
    yield Chapter(start, "person_add", names, person, rows)
    for number, meter in enumerate(home.meters, start=1):
        yield Chapter(
            start + number * _MINUTES_EACH * 60,
            "new_meter",
            {"meter": meter.name},
            person,
            (_meter(home, meter),),
            keeper_uid(home, home.keepers[0]),
        )


def _person(home: Household) -> Iterator[Added]:
    wishes = home.wishes
    yield added(
        schema.person,
        wishes.uid,
        name=wishes.name,
        unit=wishes.unit.value,
        zone=wishes.zone,
        clock=wishes.clock,
        date_order=wishes.date_order,
        day_start=0,
    )
    for mark, minute in wishes.usual_times:
        uid = uid_named(wishes.name, "usual_time", mark)
        yield added(
            schema.usual_time,
            uid,
            person_id=wishes.uid,
            mark=mark.value,
            weekdays=127,
            minute=minute,
        )
    texts = {
        "emergency number": wishes.emergency_number,
        "team phone": wishes.team_phone,
        "sick plan": wishes.sick_plan,
        "low plan": wishes.low_plan,
        "what to watch": wishes.to_watch,
        "hand-over": wishes.hand_over,
        "contacts": wishes.contacts,
    }
    for kind, text in texts.items():
        if text is not None:
            uid = uid_named(wishes.name, "care_text", kind)
            yield added(schema.care_text, uid, person_id=wishes.uid, kind=kind, text=text)


def _goals(home: Household) -> Iterator[Added]:
    person, goals = home.wishes.uid, preset(home.wishes.preset)
    set_uid = uid_named(home.wishes.name, "target_set", goals.key)
    yield added(
        schema.target_set,
        set_uid,
        person_id=person,
        from_day=FIRST_DAY.toordinal(),
        name=goals.name,
        source=goals.source,
        preset=goals.key,
    )
    for number, limit in enumerate(goals.limits, start=1):
        yield _limit(set_uid, number, limit)


def _limit(set_uid: UUID, number: int, limit: Limit) -> Added:
    return added(
        schema.target_limit,
        uid_named(set_uid, "target_limit", number),
        set_id=set_uid,
        mark=limit.mark,
        after_from=limit.after_from,
        after_to=limit.after_to,
        low_mg=limit.low.mg_dl if limit.low else None,
        low_mmol=limit.low.mmol_l if limit.low else None,
        high_mg=limit.high.mg_dl if limit.high else None,
        high_mmol=limit.high.mmol_l if limit.high else None,
        high_open=int(limit.high_open),
    )


def _people_and_places(home: Household) -> Iterator[Added]:
    person = home.wishes.uid
    for name in home.keepers:
        yield added(schema.keeper, keeper_uid(home, name), name=name, person_id=person)
    for name in home.places:
        yield added(schema.place, place_uid(home, name), name=name, person_id=person)


def _tags(home: Household) -> Iterator[Added]:
    tags = [*(each.tags for each in home.events), *(each.tags for each in home.results)]
    labels = dict.fromkeys(label for each in tags for label in each)
    for rank, label in enumerate(labels):
        yield added(
            schema.tag, tag_uid(home, label), person_id=home.wishes.uid, label=label, rank=rank
        )


def _meter(home: Household, meter: Meter) -> Added:
    return added(
        schema.meter,
        meter.uid,
        person_id=home.wishes.uid,
        name=meter.name,
        unit=meter.unit.value,
        capacity=meter.capacity,
        zone=meter.zone,
        first_day=_first_set(home, meter).toordinal(),
    )


def _first_set(home: Household, meter: Meter) -> date:
    return min(each.at.local.date() for each in home.clock_settings if each.meter == meter.name)
