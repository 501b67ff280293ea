"""Writing down what is of whole days, and putting tags on what is there."""

from __future__ import annotations

from datetime import date, datetime

from app.domain.clock import Moment
from app.domain.errors import Refused
from app.domain.person import Person
from app.domain.written import OWN_WORDS, SET_ASIDE
from app.store.diary import Diary
from app.store.noting import put_tag, rows_at_minute, write_change_mark, write_span
from app.store.spans import changes_between, spans_between
from app.work.note_down import Noted, kept_text, wall_words
from app.work.told import told

CHANGE, DAYS, TAG = "note_change", "note_days", "note_tag"

SETTLING_DAYS = 3
MOST_SETTLING_DAYS = 60
LONGEST_TAG = 40

_THERE = "That is written down already; nothing was changed."


def note_change(
    diary: Diary,
    person: Person,
    day: date,
    what: str,
    *,
    now: datetime,
    settling_days: int = SETTLING_DAYS,
) -> Noted:
    """Write down that something is done differently from a day on.

    Parameters
    ----------
    settling_days : int, default 3
        Days from it on that a comparison of before and after leaves out.

    Raises
    ------
    Refused
        It says nothing, has too many settling days, or is there already. Nothing was saved.
    """
    said, ordinal = kept_text(what), day.toordinal()
    if said is None:
        raise Refused("Say what was changed. Nothing was saved.")
    if not 0 <= settling_days <= MOST_SETTLING_DAYS:
        raise Refused(f"Settling days are 0 to {MOST_SETTLING_DAYS}. Nothing was saved.")
    if any(each.what == said for each in changes_between(diary, person, ordinal, ordinal)):
        raise Refused(_THERE)
    words = {"what": said, "day": day.isoformat()}
    with diary.change(CHANGE, words, now=now, person=person) as change:
        uid = write_change_mark(change, person, ordinal, what=said, settling_days=settling_days)
    return Noted("change_mark", uid, told(CHANGE, words))


def note_days(
    diary: Diary,
    person: Person,
    kind: str,
    first: date,
    last: date | None,
    *,
    now: datetime,
    text: str | None = None,
    set_aside: bool = False,
) -> Noted:
    """Write down days with a name, both ends included; without a last day they go on.

    Parameters
    ----------
    set_aside : bool, default False
        Averages can be asked without the readings of these days; no list leaves them out.

    Raises
    ------
    Refused
        They end before they begin, are there already, or need words. Nothing was saved.
    """
    said = kept_text(text)
    if said is None and kind in (OWN_WORDS, SET_ASIDE):
        raise Refused("Say in a few words what these days were. Nothing was saved.")
    if last is not None and last < first:
        raise Refused(f"The days end before they begin: {first} to {last}. Nothing was saved.")
    begin, end = first.toordinal(), last.toordinal() if last else None
    if any(
        (each.kind, each.text, each.first_day, each.last_day) == (kind, said, begin, end)
        for each in spans_between(diary, person, begin, begin)
    ):
        raise Refused(_THERE)
    aside = set_aside or kind == SET_ASIDE
    words = {
        "sort": kind,
        "text": said,
        "first": first.isoformat(),
        "last": last.isoformat() if last else None,
        "set_aside": aside,
    }
    with diary.change(DAYS, words, now=now, person=person) as change:
        uid = write_span(
            change,
            person,
            kind=kind,
            text=said,
            first_day=begin,
            last_day=end,
            set_aside=aside,
        )
    return Noted("span", uid, told(DAYS, words))


def tag_moment(diary: Diary, person: Person, label: str, at: Moment, *, now: datetime) -> Noted:
    """Put a tag on the readings of one minute, or where there is none on its events.

    Raises
    ------
    Refused
        Nothing is there, or it bears the tag already. Nothing was changed.
    """
    said, there = kept_label(label), wall_words(at)
    words = {"tag": said, "at": there}
    with diary.change(TAG, words, now=now, person=person) as change:
        for table in ("reading", "event"):
            uids = rows_at_minute(change, person, at, table)
            if uids:
                break
        else:
            raise Refused(
                f"Nothing is written at {there}. Nothing was changed; give the minute of a "
                "reading or an event, or tag the whole day with --on."
            )
        new = [put_tag(change, person, said, table, uid) for uid in uids]
        if not any(new):
            raise Refused(_THERE)
    return Noted(table, uids[0], told(TAG, words))


def tag_day(diary: Diary, person: Person, label: str, day: date, *, now: datetime) -> Noted:
    """Put a tag on a whole day: on days written for it alone, else on a new one of that name.

    Raises
    ------
    Refused
        The day bears the tag already. Nothing was changed.
    """
    said, ordinal = kept_label(label), day.toordinal()
    words = {"tag": said, "at": day.isoformat()}
    own = (
        each.uid
        for each in spans_between(diary, person, ordinal, ordinal)
        if (each.first_day, each.last_day) == (ordinal, ordinal)
    )
    uid = next(own, None)
    with diary.change(TAG, words, now=now, person=person) as change:
        if uid is None:
            uid = write_span(
                change,
                person,
                kind=OWN_WORDS,
                text=said,
                first_day=ordinal,
                last_day=ordinal,
                set_aside=False,
            )
        if not put_tag(change, person, said, "span", uid):
            raise Refused(_THERE)
    return Noted("span", uid, told(TAG, words))


def kept_label(label: str) -> str:
    """A tag as it will be kept: without its #, on one line; refuses an empty or endless one."""
    kept = " ".join(label.split()).removeprefix("#").strip()
    if not kept or not kept.isprintable() or len(kept) > LONGEST_TAG:
        raise Refused(
            f"A tag has 1 to {LONGEST_TAG} characters that can be printed. Nothing was saved."
        )
    return kept
