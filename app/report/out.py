"""Sheets and card into a PDF file, an image or onto a printer, each by its one painter."""

from __future__ import annotations

import os
from collections.abc import Callable
from functools import partial
from pathlib import Path
from uuid import uuid4

from PySide6.QtCore import QMarginsF, QSize
from PySide6.QtGui import QGuiApplication, QImage, QPageLayout, QPageSize, QPainter, QPdfWriter
from PySide6.QtWidgets import QWidget

from app.domain.errors import Refused, StoreUnavailable
from app.report.card import Fit, fit_of, paint_card, too_long_words
from app.report.card_said import title_of_card
from app.report.card_web import card_page
from app.report.dates import title_of
from app.report.paper import PER_INCH, SIZES_MM, Paper
from app.report.said import page_of
from app.report.second import lay_out, paint_second
from app.report.second_said import second_said
from app.report.sheet import paint_sheet
from app.report.web_page import web_page
from app.review.hand_over import HandOverCard
from app.review.second_sheet import SecondSheet
from app.review.visit import VisitPage
from app.work.send_out import write_text

NewPage = Callable[[], bool]  # begins the next page of a device; False where it has no room
Paint = Callable[[QPainter, NewPage], object]

_PAGE_SIZES = {"A4": QPageSize.PageSizeId.A4, "Letter": QPageSize.PageSizeId.Letter}


def ready_to_paint() -> None:
    """See that letters can be set, also where there is no screen and no window."""
    if QGuiApplication.instance() is None:
        os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
        _held.append(QGuiApplication(["thimblebook"]))


_held: list[QGuiApplication] = []  # Qt's application lives as long as the program


def write_page(page: VisitPage, out: Path, paper: str, second: SecondSheet | None = None) -> None:
    """Write the page as a PDF, or as a web page where the file's name ends in .html."""
    ready_to_paint()
    if out.suffix.lower() == ".pdf":
        write_pdf(page, out, size=paper, second=second)
        return
    write_text(out, web_page(page, second=second))


def write_pdf(
    page: VisitPage, out: Path, *, size: str = "A4", second: SecondSheet | None = None
) -> None:
    """Write the sheet as a PDF of one page: text that can be selected, fonts embedded, no picture.

    Parameters
    ----------
    second : SecondSheet, optional
        Follows on as many pages as it needs.

    Raises
    ------
    StoreUnavailable
        It can't be written there; what lay there stays as it was.
    """
    paint = partial(paint_all, page=page, second=second, size=size)
    write_painted(out, title_of(page.period, page.person), size, paint)


def write_card(card: HandOverCard, out: Path, paper: str) -> None:
    """Write the hand-over card as a PDF, or as a web page where the file's name ends in .html.

    Raises
    ------
    Refused
        Its texts are too long for one page of paper; nothing was written.
    StoreUnavailable
        It can't be written there; what lay there stays as it was.
    """
    ready_to_paint()
    if out.suffix.lower() == ".pdf":
        paint = partial(_paint_card, card=card, size=paper, fit=must_fit(card, paper))
        write_painted(out, title_of_card(card), paper, paint)
        return
    write_text(out, card_page(card))


def must_fit(card: HandOverCard, paper: str) -> Fit:
    """How a card has its place on a paper; refuses one whose texts are too long for a page."""
    fit = fit_of(card, size=paper)
    too_long = too_long_words(fit)
    if too_long:
        raise Refused(too_long)
    return fit


def write_painted(out: Path, title: str, size: str, paint: Paint) -> None:
    """Write a PDF by a painter of ours, for this user alone.

    Raises
    ------
    StoreUnavailable
        It can't be written there; what lay there stays as it was.
    """
    fresh = out.with_name(f".{out.name}.{uuid4().hex}")
    try:
        fresh.touch(mode=0o600, exist_ok=False)
        writer = QPdfWriter(str(fresh))
        writer.setResolution(PER_INCH)
        writer.setPageSize(QPageSize(_PAGE_SIZES[size]))
        writer.setPageMargins(QMarginsF(0, 0, 0, 0), QPageLayout.Unit.Millimeter)
        writer.setTitle(title)
        writer.setCreator("Thimblebook")
        painter = QPainter()
        if not painter.begin(writer):
            raise _unwritten(out, "")
        try:
            paint(painter, writer.newPage)
        finally:
            painter.end()
        if not fresh.stat().st_size:
            raise _unwritten(out, "")
        fresh.chmod(0o600)
        os.replace(fresh, out)  # noqa: PTH105 - the page is whole, or the old one stays
    except OSError as problem:
        raise _unwritten(out, problem.strerror or "") from problem
    finally:
        fresh.unlink(missing_ok=True)


def paint_all(
    painter: QPainter,
    new_page: NewPage,
    page: VisitPage,
    second: SecondSheet | None,
    *,
    size: str,
) -> int:
    """Paint the sheet, and the second one after it; how many pages it took.

    Raises
    ------
    StoreUnavailable
        The device has no room for another page.
    """
    if second is None:
        paint_sheet(painter, page, size=size)
        return 1
    said = second_said(second)
    paper = Paper(painter, size)
    laid = lay_out(paper, said)
    pages = 1 + len(laid)
    paint_sheet(painter, page, size=size, pages=pages)
    for at, blocks in enumerate(laid, 2):
        if not new_page():
            raise StoreUnavailable(
                "The pages could not all be written. The diary is as it was; see whether the disk "
                "is full."
            )
        paint_second(paper, said, blocks, page_of=page_of(at, pages))
    return pages


def image_of(pixels: QSize, size: str, paint: Callable[[QPainter], object]) -> QImage:
    """A page by a painter of ours as an image, as many pixels wide; any thread may ask."""
    image = QImage(pixels, QImage.Format.Format_ARGB32_Premultiplied)
    image.fill(0xFFFFFFFF)
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.TextAntialiasing)
    scale = pixels.width() / (SIZES_MM[size][0] / 25.4 * PER_INCH)
    painter.scale(scale, scale)
    paint(painter)
    painter.end()
    return image


def print_sheet(
    page: VisitPage, paper: str, parent: QWidget, second: SecondSheet | None = None
) -> None:
    """Ask for a printer and print the sheet there; the same painter, the same letters."""
    paint = partial(paint_all, page=page, second=second, size=paper)
    print_painted(title_of(page.period, page.person), paper, parent, paint)


def print_card(card: HandOverCard, paper: str, parent: QWidget) -> None:
    """Ask for a printer and print the hand-over card there.

    Raises
    ------
    Refused
        Its texts are too long for one page of paper; nothing was printed.
    """
    paint = partial(_paint_card, card=card, size=paper, fit=must_fit(card, paper))
    print_painted(title_of_card(card), paper, parent, paint)


def print_painted(title: str, paper: str, parent: QWidget, paint: Paint) -> None:
    """Ask for a printer and print there by a painter of ours."""
    from PySide6.QtPrintSupport import QPrintDialog, QPrinter  # slow to import, seldom needed

    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setPageSize(QPageSize(_PAGE_SIZES[paper]))
    printer.setDocName(title)
    printer.setFullPage(True)
    if QPrintDialog(printer, parent).exec() != QPrintDialog.DialogCode.Accepted:
        return
    painter = QPainter(printer)
    scale = printer.resolution() / PER_INCH
    painter.scale(scale, scale)
    paint(painter, printer.newPage)
    painter.end()


def _paint_card(
    painter: QPainter, _new_page: NewPage, *, card: HandOverCard, size: str, fit: Fit
) -> None:
    paint_card(painter, card=card, size=size, fit=fit)


def _unwritten(out: Path, why: str) -> StoreUnavailable:
    because = f" ({why})" if why else ""
    return StoreUnavailable(
        f"The page could not be written to {out}{because}. The diary is as it was; name a folder "
        "where you may write."
    )
