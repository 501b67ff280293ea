"""The sheets as images, for a screen: the one painter, in the size that they are seen in."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtGui import QImage, QPainter

from app.report.paper import PER_INCH, SIZES_MM, Paper
from app.report.said import page_of
from app.report.second import lay_out, paint_second
from app.report.second_said import second_said
from app.report.sheet import paint_sheet
from app.review.second_sheet import SecondSheet
from app.review.visit import VisitPage


@dataclass(frozen=True, slots=True)
class Painted:
    """The first pages as images; `pages` there are in all."""

    images: tuple[QImage, ...]
    pages: int


def painted(
    page: VisitPage, second: SecondSheet | None, size: str, wide: int, *, most: int
) -> Painted:
    """Paint the first `most` pages, `wide` pixels wide; any thread may call it."""
    image, painter = _begun(size, wide)
    if second is None:
        paint_sheet(painter, page, size=size)
        painter.end()
        return Painted((image,), 1)
    said = second_said(second)
    laid = lay_out(Paper(painter, size), said)
    pages = 1 + len(laid)
    paint_sheet(painter, page, size=size, pages=pages)
    painter.end()
    images = [image]
    for at, blocks in enumerate(laid[: most - 1], 2):
        image, painter = _begun(size, wide)
        paint_second(Paper(painter, size), said, blocks, page_of=page_of(at, pages))
        painter.end()
        images.append(image)
    return Painted(tuple(images), pages)


def _begun(size: str, wide: int) -> tuple[QImage, QPainter]:
    """A white page and a painter on it, in units of paper."""
    paper_wide, paper_high = SIZES_MM[size]
    image = QImage(
        wide, round(wide * paper_high / paper_wide), QImage.Format.Format_ARGB32_Premultiplied
    )
    image.fill(0xFFFFFFFF)
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.TextAntialiasing)
    scale = wide / (paper_wide / 25.4 * PER_INCH)
    painter.scale(scale, scale)
    return image, painter
