"""The contrast of two colours, by the formula of the Web Content Accessibility Guidelines.

W3C, WCAG 2.2, definitions of "relative luminance" and "contrast ratio". Floors: 4.5:1 for text
(success criterion 1.4.3), 3:1 for marks and the edges of controls (1.4.11).
"""

from __future__ import annotations

TEXT_FLOOR = 4.5
MARK_FLOOR = 3.0


def contrast_ratio(one: str, other: str) -> float:
    """The contrast of two colours, from 1 (the same) to 21 (black on white), in either order.

    Parameters
    ----------
    one, other : str
        sRGB colours as "#RRGGBB".

    >>> contrast_ratio("#000000", "#FFFFFF")
    21.0
    """
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def luminance(colour: str) -> float:
    """The relative luminance of a colour, 0 for black and 1 for white.

    Raises
    ------
    ValueError
        If `colour` is not of the form "#RRGGBB".
    """
    if len(colour) != 7 or not colour.startswith("#"):
        raise ValueError(f"a colour is written #RRGGBB: colour={colour!r}")
    red, green, blue = (_linear(int(colour[at : at + 2], 16) / 255) for at in (1, 3, 5))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _linear(part: float) -> float:
    return part / 12.92 if part <= 0.04045 else float(((part + 0.055) / 1.055) ** 2.4)
