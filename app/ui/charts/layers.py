"""What lies over what on a chart."""

from __future__ import annotations

from enum import IntEnum


class Layer(IntEnum):
    """The z values of a chart's items, from the ground up."""

    LANE = -10
    GRID = -8
    LIMITS = -6
    DENSITY = 0
    BOXES = 2
    DAY_LINES = 4
    INSIDES = 8  # the page-coloured bodies of marks in doubt
    READINGS = 10
    MEDIANS = 12
    WORDS = 14
    CURSOR = 20
    FURNITURE = 30
