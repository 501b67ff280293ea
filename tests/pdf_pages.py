"""What stands on the page of a PDF file, measured: words and filled shapes, in millimetres.

Places are counted from the upper left corner of the page.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pypdf import PdfReader
from pypdf.generic import ContentStream

MM = 25.4 / 72
_Matrix = tuple[float, float, float, float, float, float]
_IDENTITY: _Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Words:
    """Words on one line: where they begin, their base line, the size of their letters."""

    text: str
    left: float
    base: float
    size: float

    @property
    def middle(self) -> float:
        """Half-way up a figure: figures are 0.73 of the size high in DejaVu (measured)."""
        return self.base - 0.365 * self.size


@dataclass(frozen=True, slots=True)
class Shape:
    """A filled outline: its colour, the corners of its box, whether it has curves."""

    colour: tuple[float, ...]
    points: tuple[tuple[float, float], ...]
    curved: bool

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, top, right, bottom."""
        across, down = [x for x, _ in self.points], [y for _, y in self.points]
        return min(across), min(down), max(across), max(down)

    @property
    def middle(self) -> tuple[float, float]:
        """The middle of its box."""
        left, top, right, bottom = self.box
        return (left + right) / 2, (top + bottom) / 2

    @property
    def points_up(self) -> bool | None:
        """Of a triangle whether its tip is above; None of another shape."""
        corners = set(self.points)
        if self.curved or len(corners) != 3:
            return None
        _, top, _, bottom = self.box
        return sum(abs(y - top) < 0.01 for _, y in corners) == 1 and bottom > top


def words_on(path: Path, page: int = 0) -> list[Words]:
    """The words of a page, in the order in which they were painted."""
    sheet = PdfReader(path).pages[page]
    high = float(sheet.mediabox.height)
    found: list[Words] = []

    def see(text: str, cm: list[float], tm: list[float], _font: object, size: float) -> None:
        if text.strip():
            x, y = _through(_as_matrix(cm), tm[4], tm[5])
            words = " ".join(text.split())
            found.append(Words(words, x * MM, (high - y) * MM, abs(size * cm[0]) * MM))

    sheet.extract_text(visitor_text=see)
    return found


def shapes_on(path: Path, page: int = 0) -> list[Shape]:
    """Every filled outline of a page, in the order in which they were painted."""
    reader = PdfReader(path)
    sheet = reader.pages[page]
    high = float(sheet.mediabox.height)
    found: list[Shape] = []
    matrix, saved = _IDENTITY, list[_Matrix]()
    colour: tuple[float, ...] = ()
    points: list[tuple[float, float]] = []
    curved = False
    for operands, operator in ContentStream(sheet.get_contents(), reader).operations:
        values = [float(each) for each in operands if _is_number(each)]
        match operator:
            case b"q":
                saved.append(matrix)
            case b"Q":
                matrix = saved.pop()
            case b"cm":
                matrix = _times(_as_matrix(values), matrix)
            case b"scn":
                colour = tuple(values)
            case b"m":
                if not points:
                    curved = False
                points.append(_through(matrix, *values))
            case b"l":
                points.append(_through(matrix, *values))
            case b"c":
                curved = True
                points.append(_through(matrix, *values[4:]))
            case b"f" | b"f*" | b"B" | b"B*":
                placed = tuple((round(x * MM, 4), round((high - y) * MM, 4)) for x, y in points)
                if placed:
                    found.append(Shape(colour, placed, curved))
                points = []
            case b"S" | b"n" | b"W" | b"W*":
                if operator in (b"S", b"n"):
                    points = []
            case _:
                pass
    return found


def text_of(path: Path) -> str:
    """All words of a file, as somebody reads them who selects everything."""
    return "\n".join(" ".join(page.extract_text().split()) for page in PdfReader(path).pages)


def fonts_of(path: Path) -> Iterator[Any]:
    """The fonts that the pages name, as descriptions of what is embedded."""
    for page in PdfReader(path).pages:
        resources: Any = page["/Resources"]
        for font in resources["/Font"].values():
            below = font.get_object()["/DescendantFonts"][0].get_object()
            yield below["/FontDescriptor"]


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) or hasattr(value, "as_numeric")


def _as_matrix(values: list[float]) -> _Matrix:
    a, b, c, d, e, f = (float(each) for each in values)
    return a, b, c, d, e, f


def _times(first: _Matrix, then: _Matrix) -> _Matrix:
    a, b, c, d, e, f = first
    g, h, i, j, k, m = then
    return (
        a * g + b * i,
        a * h + b * j,
        c * g + d * i,
        c * h + d * j,
        e * g + f * i + k,
        e * h + f * j + m,
    )


def _through(matrix: _Matrix, x: float, y: float) -> tuple[float, float]:
    a, b, c, d, e, f = matrix
    return a * x + c * y + e, b * x + d * y + f
