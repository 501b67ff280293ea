from __future__ import annotations

import re
from pathlib import Path

import pytest

from app.domain.cards import FEWER_WORDS, SURE, Card, technique_cards
from tests.commands import Terminal

CARDS = technique_cards()
# Of a publication a year, of common practice those words.
CITED = re.compile(r"\b(19|20)\d\d\b|common practice|Centers for Disease Control", re.IGNORECASE)


def test_the_cards_go_with_a_test_from_hands_to_storage() -> None:
    assert [each.key for each in CARDS] == [
        "hands",
        "drop",
        "side",
        "other_sites",
        "lancets",
        "storage",
    ]


@pytest.mark.parametrize("card", CARDS, ids=[each.key for each in CARDS])
def test_every_card_is_short_and_says_where_it_comes_from(card: Card) -> None:
    assert 0 < len(card.says.split()) < FEWER_WORDS
    assert card.title
    assert CITED.search(card.source)
    assert card.sure in SURE
    assert card.source in card.source_line


@pytest.mark.parametrize("card", CARDS, ids=[each.key for each in CARDS])
def test_no_card_speaks_of_doses_or_scolds(card: Card) -> None:
    said = f"{card.title} {card.says}".casefold()

    for word in ("dose", "units of", "you are safe", "must", "wrong way", "bad"):
        assert word not in said


def test_the_lag_of_other_sites_and_the_cases_for_a_fingertip_are_named() -> None:
    (card,) = (each for each in CARDS if each.key == "other_sites")

    for said in ("late", "low", "after a meal", "exercise", "ill"):
        assert said in card.says


def test_kit_cards_prints_all_of_them_and_makes_no_diary(tmp_path: Path) -> None:
    terminal = Terminal(tmp_path)

    said = terminal.ok("kit", "cards").out
    listed = terminal.ok("kit", "cards", "--json").json

    assert all(each.says in said and each.source_line in said for each in CARDS)
    assert [each["key"] for each in listed] == [each.key for each in CARDS]
    assert not terminal.diary.exists()
