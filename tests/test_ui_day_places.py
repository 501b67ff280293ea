from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QPointF, QRectF, QSizeF

from app.ui.day.value_places import Wanted, places_of

PLOT = QRectF(0, 0, 400, 200)
MARK = 14.0


@st.composite
def wants(draw: st.DrawFn) -> Wanted:
    x, y = draw(st.floats(0, 400)), draw(st.floats(0, 200))
    return Wanted(QPointF(x, y), QSizeF(draw(st.floats(8, 40)), 14), draw(st.booleans()))


@given(st.lists(wants(), max_size=12))
def test_no_number_stands_on_another_one_a_mark_or_outside(wanted: list[Wanted]) -> None:
    ring = QRectF(100, 50, 30, 30)

    places = places_of(wanted, PLOT, MARK, [ring])

    found = [(at, place) for at, place in enumerate(places) if place is not None]
    for at, place in found:
        assert PLOT.contains(place)
        assert not place.intersects(ring)
        assert not any(place.intersects(other) for i, other in found if i != at)
        for i, each in enumerate(wanted):
            square = QRectF(each.centre.x() - 7, each.centre.y() - 7, 14, 14)
            assert i == at or not place.intersects(square)


def test_a_number_stands_over_its_mark_and_left_of_a_low() -> None:
    within = Wanted(QPointF(100, 100), QSizeF(20, 10), low=False)
    low = Wanted(QPointF(300, 100), QSizeF(20, 10), low=True)

    over, left = places_of([within, low], PLOT, MARK)

    assert over is not None
    assert left is not None
    assert over.bottom() <= 93
    assert left.right() <= 293
