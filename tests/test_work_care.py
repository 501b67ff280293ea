from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from app.domain.care import CARE_KINDS, care_kind
from app.domain.errors import Refused
from app.store.diary import Diary
from app.store.people import care_texts
from app.store.state_hash import state_hash
from app.work.care import set_care_text, set_care_texts
from app.work.take_back import undo_last
from tests.households import NOW, new_diary, tilde


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


def test_every_kind_of_text_is_kept_and_found_by_its_name(diary: Diary) -> None:
    person = tilde(diary)

    set_care_texts(diary, person, {kind: f"of {kind}" for kind in CARE_KINDS}, now=NOW)
    kept = care_texts(diary, person)

    for kind in CARE_KINDS:
        assert getattr(kept, kind.replace(" ", "_").replace("-", "_")) == f"of {kind}"
        assert care_kind(kind.replace(" ", "-").upper()) == kind


def test_several_texts_are_one_change(diary: Diary) -> None:
    person = tilde(diary)
    set_care_text(diary, person, "low-plan", "the blue tin", now=NOW)
    before = state_hash(diary)

    said = set_care_texts(
        diary, person, {"contacts": "Odalys\nBram", "what to watch": "pale", "low plan": ""},
        now=NOW,
    )  # fmt: skip
    kept = care_texts(diary, person)
    undo_last(diary, person, now=NOW)

    assert said == "The texts “contacts”, “what to watch” and “low plan” were changed."
    assert (kept.contacts, kept.low_plan) == ("Odalys\nBram", None)
    assert state_hash(diary) == before


def test_one_text_that_is_refused_leaves_all_as_they_were(diary: Diary) -> None:
    person = tilde(diary)

    with pytest.raises(Refused, match="at most 80 characters"):
        set_care_texts(diary, person, {"contacts": "Odalys", "emergency number": "1" * 81}, now=NOW)

    assert care_texts(diary, person).contacts is None


def test_nothing_to_change_is_refused(diary: Diary) -> None:
    with pytest.raises(Refused, match="Nothing was different"):
        set_care_texts(diary, tilde(diary), {}, now=NOW)


def test_a_text_that_begins_later_is_not_in_force_yet(diary: Diary) -> None:
    person = tilde(diary)
    set_care_text(diary, person, "contacts", "Odalys", now=NOW)
    set_care_text(diary, person, "contacts", "Bram", now=NOW, from_day=date(2026, 4, 1))

    assert care_texts(diary, person, day=date(2026, 3, 31).toordinal()).contacts == "Odalys"
    assert care_texts(diary, person, day=date(2026, 4, 1).toordinal()).contacts == "Bram"
