from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from functools import partial
from html import unescape
from html.parser import HTMLParser
from uuid import UUID

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PySide6.QtCore import QSize

from app.domain.cautions import CareTexts
from app.domain.glucose import LimitPair, Unit
from app.domain.levels import LOW_BELOW
from app.domain.person import Person
from app.domain.targets import preset
from app.report.card import fit_of, paint_card, plain_of, too_long_words
from app.report.card_said import card_said, title_of_card
from app.report.card_web import card_page
from app.report.out import image_of
from app.review.hand_over import CardPart, HandOverCard, parts_named

MADE = datetime(2026, 5, 6, 19, tzinfo=UTC)
PERSON = Person(1, UUID(int=1), "Tilde", Unit.MMOL_L, "Europe/Lisbon")
CARD = HandOverCard(
    person=PERSON,
    unit=Unit.MMOL_L,
    days=tuple(date(2026, 5, 11) + timedelta(days=at) for at in range(5)),
    parts=frozenset(CardPart),
    low=LOW_BELOW,
    targets=None,
    care=CareTexts(),
    last=None,
    made=MADE,
)


def part(card: HandOverCard, title: str) -> tuple[str, tuple[str, ...]]:
    return next(
        (each.note, tuple(plain_of(line) for line in each.paragraphs))
        for each in card_said(card).parts
        if each.title == title
    )


@pytest.mark.parametrize(
    ("key", "unit", "goals"),
    [
        ("ispad-2022", Unit.MMOL_L, "Goals: waking 4.0 – 8.0; at any time 4.0 – 10.0."),
        ("ispad-2022", Unit.MG_DL, "Goals: waking 70 – 144; at any time 70 – 180."),
        (
            "ada-adults",
            Unit.MG_DL,
            "Goals: waking 80 – 130; before meals 80 – 130; after meals under 180.",
        ),
    ],
)
def test_each_goal_stands_in_the_unit_of_the_card(key: str, unit: Unit, goals: str) -> None:
    card = replace(CARD, unit=unit, targets=preset(key).from_day(date(2026, 1, 1).toordinal()))

    assert part(card, "Limits")[1][1] == goals


def test_a_low_line_of_ones_own_is_the_low_of_the_card() -> None:
    card = replace(CARD, low=LimitPair(80, 4.4))

    assert part(card, "Limits")[1][0] == "Below 4.4 is a low."


def test_what_is_not_written_down_is_not_made_up() -> None:
    for title in ("In a low", "What to watch", "Contacts", "At the hand-over", "On a sick day"):
        assert part(CARD, title) == ("nothing is written down", ())
    assert part(CARD, "Last reading") == ("nothing is written down", ())
    assert part(CARD, "Limits")[1][1] == "No goals are written down."


def test_the_card_says_nothing_of_doses_and_names_the_emergency_number() -> None:
    said = " ".join(card_said(replace(CARD, care=CareTexts(emergency_number="112"))).caution)

    assert "call 112" in said
    assert "adds no amounts" in said
    assert not any(word in said.casefold() for word in ("units of", "insulin", "15 to 20 g"))


def test_a_part_that_was_not_chosen_is_not_on_the_card() -> None:
    care = CareTexts(low_plan="the blue tin", sick_plan="every 4 h")
    card = replace(CARD, care=care, parts=frozenset({CardPart.LOW_PLAN}))

    page = card_page(card)

    assert "the blue tin" in page
    assert "every 4 h" not in page


def test_days_follow_the_order_of_the_person() -> None:
    american = replace(CARD, person=replace(PERSON, date_order="mdy"))

    assert card_said(CARD).days[0] == "Mon 11 May"
    assert card_said(american).days[0] == "Mon May 11"
    assert title_of_card(CARD) == "Hand-over card, Mon 11 May – Fri 15 May 2026"
    assert title_of_card(replace(CARD, days=CARD.days[:1])) == "Hand-over card, Mon 11 May 2026"


def test_parts_are_known_by_their_names_however_they_are_written() -> None:
    assert parts_named(["Low plan", "what_to_watch"]) == {CardPart.LOW_PLAN, CardPart.TO_WATCH}


class Texts(HTMLParser):
    """Gathers the text of a page."""

    def __init__(self) -> None:
        super().__init__()
        self.text: list[str] = []
        self.tags: set[str] = set()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag if not any(name.startswith("on") for name, _ in attrs) else f"{tag}!")

    def handle_data(self, data: str) -> None:
        self.text.append(data)


ODD = st.text(
    alphabet=st.one_of(
        st.sampled_from("<>&\"'=+-@;{}%אبé😀\n"),
        st.characters(codec="utf-8", categories=("L", "N")),
    ),
    max_size=60,
)


@given(plan=ODD, name=ODD.filter(lambda text: bool(text.strip())))
@settings(max_examples=60, deadline=None)
def test_whatever_is_typed_stands_on_the_page_as_typed_and_is_never_markup(
    plan: str, name: str
) -> None:
    kept = " ".join(name.split())
    card = replace(CARD, person=replace(PERSON, name=kept), care=CareTexts(low_plan=plan))
    texts = Texts()

    texts.feed(card_page(card))

    text = " ".join("".join(texts.text).split())
    for line in plan.splitlines():
        assert " ".join(line.split()) in text.replace("\u2068", "").replace("\u2069", "")
    assert kept in text
    assert texts.tags <= {
        *("html", "head", "meta", "title", "style", "body", "main", "h1", "h2", "p", "strong"),
        *("section", "small", "i", "b", "table", "caption", "thead", "tbody", "tr", "th", "td"),
    }


@given(
    lines=st.integers(min_value=0, max_value=120),
    days=st.integers(min_value=1, max_value=14),
    size=st.sampled_from(("A4", "Letter")),
)
@settings(max_examples=25, deadline=None)
def test_a_card_has_its_place_or_says_that_it_has_none(
    qapp: object, lines: int, days: int, size: str
) -> None:
    care = CareTexts(low_plan="one line of a plan\n" * lines, hand_over="and another\n" * lines)
    some = tuple(date(2026, 5, 11) + timedelta(days=at) for at in range(days))

    fit = fit_of(replace(CARD, care=care, days=some), size=size)

    assert (fit.left >= 0) == (too_long_words(fit) == "")
    assert fit.whole or fit.left >= 0
    assert 0.76 <= fit.zoom <= 1.0


def test_letters_grow_smaller_before_the_card_grows(qapp: object) -> None:
    def of(lines: int) -> tuple[bool, float]:
        care = CareTexts(low_plan="one line of a plan\n" * lines)
        fit = fit_of(replace(CARD, care=care))
        return fit.whole, -fit.zoom

    found = [of(lines) for lines in range(0, 60, 4)]

    assert found[0] == (False, -1.0)
    assert any(zoom > -1.0 for whole, zoom in found if not whole)
    assert [whole for whole, _ in found] == sorted(whole for whole, _ in found)


def test_the_image_is_the_card_and_nothing_else_is_on_its_lower_half(qapp: object) -> None:
    image = image_of(QSize(595, 842), "A4", partial(paint_card, card=CARD))
    dark = [
        sum(image.pixelColor(x, y).lightness() < 200 for x in range(0, 595, 3))
        for y in range(image.height())
    ]

    assert sum(dark[:418]) > 500
    assert sum(dark[425:]) == 0


def test_paragraphs_lose_their_markup_for_ears() -> None:
    assert plain_of("<b>Below 3.9</b> is &lt;low&gt;") == "Below 3.9 is <low>"
    assert unescape("&lt;") == "<"
