"""A paragraph of the sheet: its markup, its lines, its sides, and that any thread can set it."""

from __future__ import annotations

import importlib
import pkgutil
from threading import Thread

import pytest
from PySide6.QtCore import QCoreApplication, QObject, QPointF, Qt
from PySide6.QtGui import QColor, QFont, QImage, QPainter, QPdfWriter
from PySide6.QtWidgets import QApplication

import app.report
from app.report.paragraph import Paragraph

LEFT, RIGHT = Qt.LayoutDirection.LeftToRight, Qt.LayoutDirection.RightToLeft
INK = QColor("#000000")


def letters(pixels: int = 20) -> QFont:
    made = QFont()
    made.setPixelSize(pixels)
    return made


def picture(said: Paragraph, wide: int = 400, high: int = 200) -> QImage:
    image = QImage(wide, high, QImage.Format.Format_RGB32)
    image.fill(0xFFFFFFFF)
    painter = QPainter(image)
    said.paint(painter, QPointF(0, 0), INK)
    painter.end()
    return image


def inked(image: QImage) -> list[tuple[int, int, QColor]]:
    """Every point that is not white."""
    points = (
        (x, y, image.pixelColor(x, y)) for x in range(image.width()) for y in range(image.height())
    )
    return [each for each in points if each[2].lightness() < 200]


@pytest.mark.parametrize(
    "markup", ["<b>34</b> of 448", "<i>34</i> of 448", '<span style="color: #aa0000">34</span>']
)
def test_markup_is_seen_and_never_read(qapp: QApplication, markup: str) -> None:
    plain = markup.partition(">")[2].replace("</b>", "").replace("</i>", "").replace("</span>", "")

    seen = picture(Paragraph(markup, letters(), 400, LEFT))

    assert inked(seen)
    assert seen != picture(Paragraph(plain, letters(), 400, LEFT))


def test_quiet_words_have_their_own_ink_and_others_the_one_of_the_page(qapp: QApplication) -> None:
    seen = inked(
        picture(Paragraph('loud <span style="color: #cc0000">quiet</span>', letters(), 400, LEFT))
    )

    assert any(colour.red() > 150 and colour.green() < 60 for *_, colour in seen)
    assert any(colour.red() < 60 for *_, colour in seen)


def test_typed_signs_of_markup_are_letters(qapp: QApplication) -> None:
    typed = picture(Paragraph("a &lt;b&gt; &amp; c", letters(), 400, LEFT))

    assert typed == picture(Paragraph("a &lt;b> &amp; c", letters(), 400, LEFT))
    assert len(inked(typed)) > len(inked(picture(Paragraph("a  c", letters(), 400, LEFT))))


def test_letters_after_an_emoji_keep_their_weight(qapp: QApplication) -> None:
    one = picture(Paragraph("😀😀 <b>low</b> night", letters(), 400, LEFT))
    other = picture(Paragraph("😀😀 <b>low</b><span> night</span>", letters(), 400, LEFT))

    assert one == other


def test_lines_stand_one_below_the_other_and_inside_the_width(qapp: QApplication) -> None:
    text = "Fewer: night 12 of 25 and before lunch 78 of 86. " * 3
    narrow, wide = (Paragraph(text, letters(), width, LEFT) for width in (150.0, 4000.0))

    assert narrow.height >= 5 * wide.height
    seen = inked(picture(narrow, 300, round(narrow.height) + 5))
    assert max(x for x, *_ in seen) <= 151
    assert max(y for _, y, _ in seen) > narrow.height - wide.height


def test_a_word_wider_than_the_line_is_broken_and_none_of_it_lost(qapp: QApplication) -> None:
    said = Paragraph("m" * 40, letters(), 100, LEFT)

    assert max(x for x, *_ in inked(picture(said, 900, round(said.height) + 2))) <= 101
    assert said.height > 3 * Paragraph("m", letters(), 100, LEFT).height


def test_a_number_keeps_its_per_cent(qapp: QApplication) -> None:
    both = Paragraph("95 %", letters(), 4000, LEFT)
    squeezed = Paragraph("about 95 %", letters(), 75, LEFT)

    assert squeezed.height == 2 * both.height
    below = [x for x, y, _ in inked(picture(squeezed)) if y > both.height]
    alone = [x for x, *_ in inked(picture(both))]
    assert (min(below), max(below)) == (min(alone), max(alone))


@pytest.mark.parametrize(
    ("way", "far"), [(LEFT, False), (LEFT, True), (RIGHT, False), (RIGHT, True)]
)
def test_words_lean_where_the_language_begins_and_far_ones_where_it_ends(
    qapp: QApplication, way: Qt.LayoutDirection, far: bool
) -> None:
    seen = [x for x, *_ in inked(picture(Paragraph("lab", letters(), 400, way, far=far)))]

    at_right = (way is RIGHT) is not far
    assert (min(seen) > 300) is at_right
    assert (max(seen) < 100) is not at_right


def test_no_words_are_no_height_to_speak_of(qapp: QApplication) -> None:
    assert inked(picture(Paragraph("", letters(), 400, LEFT))) == []


def test_another_thread_sets_and_paints_the_same(qapp: QApplication) -> None:
    here = picture(Paragraph("<b>34</b> of 448 readings", letters(), 120, LEFT))
    there: list[QImage] = []
    thread = Thread(
        target=lambda: there.append(
            picture(Paragraph("<b>34</b> of 448 readings", letters(), 120, LEFT))
        )
    )

    thread.start()
    thread.join()

    assert there == [here]


def test_nothing_that_paints_a_sheet_makes_objects_that_belong_to_a_thread() -> None:
    """A PDF writer connects no signals; a widget is only the parent of the print dialog."""
    allowed = {QPdfWriter.__name__, "QWidget"}
    met = {
        name
        for module in pkgutil.iter_modules(app.report.__path__, "app.report.")
        for name, each in vars(importlib.import_module(module.name)).items()
        if isinstance(each, type)
        and issubclass(each, QObject)
        and not issubclass(each, QCoreApplication)
        and not issubclass(QApplication, each)
    }

    assert met <= allowed
