from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

from app.domain.cards import technique_cards
from app.ui.kit.page import KitPage
from tests.households import tilde
from tests.windows import settle, shown


def test_the_cards_are_read_from_the_kit_page_and_closed_by_keys(
    qtbot: QtBot, tmp_path: Path
) -> None:
    window = shown(qtbot, tmp_path, tilde)
    window.show_page("kit")
    settle(qtbot, window)
    page = window.page("kit")
    assert isinstance(page, KitPage)

    QTest.keyClick(page.technique, Qt.Key.Key_Return)

    dialog = page.cards
    said = [each.text() for each in dialog.findChildren(QLabel)]
    for card in technique_cards():
        assert card.title in said
        assert card.says in said
        assert card.source_line in said
    bar = dialog.area.verticalScrollBar()
    before = bar.value()
    QTest.keyClick(dialog.area, Qt.Key.Key_PageDown)
    assert bar.value() > before or bar.maximum() == 0
    assert all(each.says in dialog.area.accessibleName() for each in technique_cards())
    with qtbot.waitSignal(dialog.finished):
        QTest.keyClick(dialog, Qt.Key.Key_Escape)
