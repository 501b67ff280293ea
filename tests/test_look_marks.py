from __future__ import annotations

from itertools import combinations, pairwise, product

import pytest
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QImage, QPainter
from pytestqt.qtbot import QtBot

from app.domain.glucose import Bound
from app.domain.levels import Level
from app.domain.marks import Mark
from app.domain.reading import Standing
from app.look.hatch import paint_hatch
from app.look.marks import MarkLook, paint_control, paint_ketone, paint_mark, paint_ring
from app.look.shapes import (
    SYMBOL_PX,
    Tail,
    body_path,
    cross_symbol,
    mark_path,
    symbol_path,
    tail_of,
)
from app.look.tokens import DARK, LIGHT, Tokens

SIDE = 48
MIDDLE = QPointF(SIDE / 2, SIDE / 2)
EVERY = list(product(Level, Tail, (False, True)))


@pytest.fixture(autouse=True)
def application(qtbot: QtBot) -> None:
    """Painting text needs an application."""


def _canvas(ground: str = "#FFFFFF") -> QImage:
    image = QImage(SIDE, SIDE, QImage.Format.Format_RGB32)
    image.fill(QColor(ground))
    return image


def _painted(look: MarkLook, tokens: Tokens = LIGHT, *, word: bool = False) -> QImage:
    image = _canvas()
    painter = QPainter(image)
    paint_mark(painter, MIDDLE, look, tokens, 1.0, word=word)
    painter.end()
    return image


def _in_black(level: Level, tail: Tail, *, doubt: bool) -> QImage:
    image = _canvas()
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.translate(MIDDLE)
    painter.fillPath(mark_path(level, tail, doubt=doubt), QColor("#000000"))
    painter.end()
    return image


def _unlike(one: QImage, other: QImage) -> int:
    return sum(
        abs(QColor(one.pixel(x, y)).lightness() - QColor(other.pixel(x, y)).lightness()) > 60
        for x in range(SIDE)
        for y in range(SIDE)
    )


def test_level_tail_and_doubt_are_told_apart_without_any_colour() -> None:
    images = {look: _in_black(look[0], look[1], doubt=look[2]) for look in EVERY}

    for one, other in combinations(EVERY, 2):
        assert _unlike(images[one], images[other]) >= 4, (one, other)


@pytest.mark.parametrize("level", list(Level))
def test_tails_to_the_left_and_to_the_right_are_mirror_images(level: Level) -> None:
    right = mark_path(level, Tail.RIGHT).boundingRect()
    left = mark_path(level, Tail.LEFT).boundingRect()

    assert right.right() == pytest.approx(-left.left())
    assert right.right() > mark_path(level).boundingRect().right() + 3


@pytest.mark.parametrize(
    ("level", "width", "height"),
    [
        (Level.IN_RANGE, 6.5, 6.5),
        (Level.LOW, 10.5, 9.5),
        (Level.HIGH, 10.5, 9.5),
        (Level.VERY_LOW, 11.0, 9.5),
        (Level.VERY_HIGH, 11.0, 9.5),
    ],
)
def test_bodies_have_their_drawn_size_around_the_reading(
    level: Level, width: float, height: float
) -> None:
    box = body_path(level).boundingRect()

    assert [box.width(), box.height()] == pytest.approx([width, height])
    assert box.center().x() == pytest.approx(0)
    assert box.center().y() == pytest.approx(0)


@pytest.mark.parametrize(("level", "tail", "doubt"), EVERY)
def test_symbols_for_charts_fit_into_a_square_of_side_one(
    level: Level, tail: Tail, doubt: bool
) -> None:
    box = symbol_path(level, tail, doubt=doubt).boundingRect()

    assert QRectF(-0.5, -0.5, 1, 1).contains(box)
    assert box.width() * SYMBOL_PX == pytest.approx(
        mark_path(level, tail, doubt=doubt).boundingRect().width()
    )


def test_cross_symbol_is_seven_px_across() -> None:
    assert cross_symbol().boundingRect().width() * SYMBOL_PX == pytest.approx(8.2, abs=0.3)


def test_tail_points_at_the_meal() -> None:
    assert tail_of(Mark.WAKING) is Tail.RIGHT
    assert tail_of(Mark.FASTING) is Tail.RIGHT
    assert tail_of(Mark.BEFORE_LUNCH) is Tail.RIGHT
    assert tail_of(Mark.AFTER_EVENING_MEAL) is Tail.LEFT
    assert tail_of(Mark.BEDTIME) is Tail.NONE
    assert tail_of(Mark.NONE) is Tail.NONE
    assert tail_of(None) is Tail.NONE


@pytest.mark.parametrize("tokens", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize("level", list(Level))
def test_inside_of_a_mark_in_doubt_is_the_page(tokens: Tokens, level: Level) -> None:
    sure = _painted(MarkLook(level), tokens)
    doubtful = _painted(MarkLook(level, doubt=True), tokens)

    assert QColor(sure.pixel(24, 24)) == QColor(tokens.level_colour(level))
    assert QColor(doubtful.pixel(24, 24)) == QColor(tokens.page)


def test_edge_of_a_mark_in_doubt_is_dotted_not_solid() -> None:
    image = _in_black(Level.LOW, Tail.NONE, doubt=True)
    top = [QColor(image.pixel(x, 24 - 5)).lightness() for x in range(19, 30)]

    dark = [light < 150 for light in top]
    assert sum(one != other for one, other in pairwise(dark)) >= 4


def test_not_mine_and_set_aside_are_crosses_whatever_the_level() -> None:
    crosses = [
        _painted(MarkLook(level, standing=standing))
        for level in Level
        for standing in (Standing.NOT_MINE, Standing.SET_ASIDE)
    ]

    assert all(cross == crosses[0] for cross in crosses)
    assert QColor(crosses[0].pixel(24, 24)).lightness() < 150


def test_off_the_scale_adds_an_arrow_outwards_and_the_word_on_request() -> None:
    plain = _painted(MarkLook(Level.VERY_LOW))
    lo = _painted(MarkLook(Level.VERY_LOW, off_scale=Bound.BELOW))
    worded = _painted(MarkLook(Level.VERY_LOW, off_scale=Bound.BELOW), word=True)

    below = [QColor(lo.pixel(24, y)).lightness() < 200 for y in range(34, 40)]
    assert any(below)
    assert not any(QColor(plain.pixel(24, y)).lightness() < 200 for y in range(34, 40))
    assert _unlike(lo, worded) > 5


@pytest.mark.parametrize(
    ("look", "letters"),
    [
        (MarkLook(Level.IN_RANGE), ""),
        (MarkLook(Level.LOW), "L"),
        (MarkLook(Level.VERY_HIGH, Tail.LEFT), "HH"),
        (MarkLook(Level.HIGH, doubt=True), "H ?"),
        (MarkLook(Level.IN_RANGE, doubt=True), "?"),
        (MarkLook(Level.VERY_LOW, off_scale=Bound.BELOW), "LO"),
        (MarkLook(Level.VERY_HIGH, off_scale=Bound.ABOVE, doubt=True), "HI ?"),
        (MarkLook(Level.VERY_LOW, doubt=True, standing=Standing.SET_ASIDE), "x"),
    ],
)
def test_letters_beside_the_number(look: MarkLook, letters: str) -> None:
    assert look.letters == letters


def test_control_failed_control_ketone_and_ring_are_told_apart() -> None:
    def painted(kind: int) -> QImage:
        image = _canvas()
        painter = QPainter(image)
        if kind < 2:
            paint_control(painter, MIDDLE, LIGHT, failed=kind == 1)
        elif kind == 2:
            paint_ketone(painter, MIDDLE, LIGHT)
        else:
            paint_ring(painter, MIDDLE, LIGHT, waiting=kind == 4)
        painter.end()
        return image

    images = [painted(kind) for kind in range(5)]
    for one, other in combinations(images, 2):
        assert _unlike(one, other) > 10


def test_painter_is_left_as_it_was() -> None:
    image = _canvas()
    painter = QPainter(image)
    before = (painter.transform(), painter.pen(), painter.brush(), painter.clipRegion())

    paint_mark(painter, MIDDLE, MarkLook(Level.HIGH, off_scale=Bound.ABOVE), LIGHT, 2, word=True)
    paint_hatch(painter, QRectF(0, 0, 20, 20), LIGHT)
    after = (painter.transform(), painter.pen(), painter.brush(), painter.clipRegion())
    painter.end()

    assert after == before


def test_hatch_stays_in_its_area_and_neighbours_join() -> None:
    whole, halves = _canvas(), _canvas()
    for image, areas in (
        (whole, [QRectF(4, 4, 40, 24)]),
        (halves, [QRectF(4, 4, 20, 24), QRectF(24, 4, 20, 24)]),
    ):
        painter = QPainter(image)
        for area in areas:
            paint_hatch(painter, area, LIGHT)
        painter.end()

    assert whole == halves
    assert QColor(whole.pixel(2, 16)) == QColor("#FFFFFF")
    hatched = [QColor(whole.pixel(x, 16)).lightness() < 200 for x in range(4, 44)]
    assert sum(one and not other for one, other in pairwise(hatched)) >= 4
