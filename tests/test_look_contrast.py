from __future__ import annotations

from dataclasses import fields

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.domain.levels import Level
from app.look.contrast import MARK_FLOOR, TEXT_FLOOR, contrast_ratio, luminance
from app.look.tokens import DARK, LIGHT, Tokens

COLOUR = st.integers(0, 0xFFFFFF).map(lambda number: f"#{number:06X}")
BOTH = pytest.mark.parametrize("tokens", [LIGHT, DARK], ids=["light", "dark"])

# Where text stands, and where marks stand.
TEXT_ON = ["page", "ground", "field", "lane", "out", "hover", "sel", "wash"]
MARKS_ON = ["page", "ground", "field", "lane", "out", "hover", "sel", "wash", "sp1"]


def test_ratios_of_known_pairs_are_those_of_the_formula() -> None:
    # W3C, WCAG 2.2: 21:1 is the largest. Mid grey #767676 is the darkest grey step that the W3C's
    # own guidance names as passing on white, 4.54:1 (from memory, checked by hand).
    assert contrast_ratio("#000000", "#FFFFFF") == pytest.approx(21.0)
    assert contrast_ratio("#FFFFFF", "#FFFFFF") == 1.0
    assert contrast_ratio("#767676", "#FFFFFF") == pytest.approx(4.54, abs=0.005)
    assert luminance("#00FF00") == pytest.approx(0.7152)


@given(COLOUR, COLOUR)
def test_contrast_is_the_same_in_either_order_and_between_1_and_21(one: str, other: str) -> None:
    ratio = contrast_ratio(one, other)

    assert ratio == contrast_ratio(other, one)
    assert 1.0 <= ratio <= 21.0


@pytest.mark.parametrize("colour", ["", "red", "#FFF", "#12345G", "1234567"])
def test_something_that_is_no_colour_is_refused(colour: str) -> None:
    with pytest.raises(ValueError):  # noqa: PT011  (Python words the refusal of a wrong digit)
        contrast_ratio(colour, "#FFFFFF")


@BOTH
@pytest.mark.parametrize("surface", TEXT_ON)
@pytest.mark.parametrize("ink", ["ink", "ink2"])
def test_text_is_readable_on_every_surface(tokens: Tokens, ink: str, surface: str) -> None:
    assert contrast_ratio(getattr(tokens, ink), getattr(tokens, surface)) >= TEXT_FLOOR


@BOTH
@pytest.mark.parametrize("surface", TEXT_ON)
def test_quiet_text_and_brass_are_readable_on_every_surface(tokens: Tokens, surface: str) -> None:
    for ink in ("ink3", "brass"):
        assert contrast_ratio(getattr(tokens, ink), getattr(tokens, surface)) >= TEXT_FLOOR, ink


@BOTH
@pytest.mark.parametrize("level", list(Level))
def test_letters_of_levels_are_readable_where_they_stand(tokens: Tokens, level: Level) -> None:
    for surface in TEXT_ON:
        ratio = contrast_ratio(tokens.level_text(level), getattr(tokens, surface))
        assert ratio >= TEXT_FLOOR, surface


@BOTH
@pytest.mark.parametrize("level", list(Level))
def test_marks_stand_out_from_every_surface(tokens: Tokens, level: Level) -> None:
    for surface in MARKS_ON:
        ratio = contrast_ratio(tokens.level_colour(level), getattr(tokens, surface))
        assert ratio >= MARK_FLOOR, surface


@BOTH
@pytest.mark.parametrize("name", ["edge", "spe", "hatch"])
def test_edges_and_hatch_stand_out_where_they_are_drawn(tokens: Tokens, name: str) -> None:
    for surface in ("page", "ground", "field", "lane", "out"):
        ratio = contrast_ratio(getattr(tokens, name), getattr(tokens, surface))
        assert ratio >= MARK_FLOOR, surface


@BOTH
def test_control_and_ketone_are_carried_by_their_edges(tokens: Tokens) -> None:
    for surface in ("page", "ground", "lane", "out"):
        for edge in (tokens.control_edge, tokens.ketone_edge):
            assert contrast_ratio(edge, getattr(tokens, surface)) >= MARK_FLOOR, surface
    for fill in (tokens.control, tokens.ketone):
        assert contrast_ratio(fill, tokens.page) >= MARK_FLOOR


@BOTH
def test_words_on_the_ink_of_buttons_and_notices_are_readable(tokens: Tokens) -> None:
    assert contrast_ratio(tokens.page, tokens.ink) >= TEXT_FLOOR
    assert contrast_ratio(tokens.page, tokens.ink2) >= TEXT_FLOOR  # the same under the pointer


@BOTH
def test_every_token_is_a_colour(tokens: Tokens) -> None:
    for field in fields(tokens):
        if field.name != "dark":
            assert 0.0 <= luminance(getattr(tokens, field.name)) <= 1.0, field.name


def test_levels_farther_out_are_farther_from_the_page_in_both_themes() -> None:
    for tokens in (LIGHT, DARK):
        for near, far in ((tokens.low, tokens.very_low), (tokens.high, tokens.very_high)):
            assert contrast_ratio(far, tokens.page) > contrast_ratio(near, tokens.page)
