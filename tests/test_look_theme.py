from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QObject, QSize
from PySide6.QtGui import QColor, QFontMetricsF, QIcon, QImage, QPalette
from PySide6.QtSvg import QSvgRenderer
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

import app
from app.domain.shipped import shipped
from app.look.icons import Icon, icon_for, icon_path, program_icon
from app.look.sheet import style_sheet
from app.look.theme import Theme, apply_theme, follow_theme
from app.look.tokens import DARK, LIGHT
from app.look.type import SMALLEST_PX, Role, font, scale_text, text_px, text_scale


@pytest.fixture(autouse=True)
def plain(qapp: QApplication) -> Iterator[None]:
    """Light and the usual text size, before and after."""
    usual = qapp.font()
    apply_theme(qapp, LIGHT)
    yield
    qapp.setFont(usual)
    apply_theme(qapp, LIGHT)


def test_there_is_one_theme_and_it_dresses_the_application(qapp: QApplication) -> None:
    theme = apply_theme(qapp, DARK)

    assert Theme.current() is theme
    assert theme.tokens is DARK
    assert qapp.palette().color(QPalette.ColorRole.Window) == QColor(DARK.page)
    assert qapp.palette().color(
        QPalette.ColorGroup.Disabled, QPalette.ColorRole.ButtonText
    ) == QColor(DARK.ink3)
    assert DARK.ground in qapp.styleSheet()


def test_choice_overrides_the_system_and_system_is_light_where_nothing_is_told(
    qtbot: QtBot,
) -> None:
    theme = Theme.current()

    with qtbot.waitSignal(theme.changed):
        theme.choose("dark")
    assert theme.tokens is DARK
    theme.choose("system")
    assert theme.choice == "system"
    assert theme.tokens is LIGHT  # the offscreen platform has no colour scheme
    theme.choose("light")
    assert theme.tokens is LIGHT


def test_whoever_follows_is_called_now_and_at_each_change(qapp: QApplication) -> None:
    class Follower(QObject):
        def __init__(self) -> None:
            super().__init__()
            self.pages: list[str] = []

        def restyle(self) -> None:
            self.pages.append(Theme.current().tokens.page)

    follower = Follower()
    follow_theme(follower.restyle)

    apply_theme(qapp, DARK)

    assert follower.pages == [LIGHT.page, DARK.page]


def test_one_that_is_gone_is_called_no_more(qapp: QApplication) -> None:
    calls: list[int] = []

    class Follower(QObject):
        def restyle(self) -> None:
            calls.append(1)

    follower = Follower()
    follow_theme(follower.restyle)
    del follower

    apply_theme(qapp, DARK)

    assert calls == [1]


def test_only_the_running_application_is_dressed() -> None:
    with pytest.raises(ValueError, match="running application"):
        apply_theme(None, LIGHT)  # type: ignore[arg-type]  # on purpose


def test_style_sheet_fixes_no_text_size_and_fills_every_colour() -> None:
    for tokens in (LIGHT, DARK):
        sheet = style_sheet(tokens)
        assert "font" not in sheet
        assert "$" not in sheet
        used = set(re.findall(r"#[0-9A-F]{6}", sheet))
        assert used <= {str(getattr(tokens, name)) for name in tokens.__dataclass_fields__}


def test_style_sheet_has_no_rule_that_leaks_into_every_widget() -> None:
    rules = re.findall(r"^([^{}]+)\{", style_sheet(LIGHT), flags=re.MULTILINE)

    for selector in ",".join(rules).split(","):
        first = selector.strip().split()[0]
        assert re.match(r"#\w+|Q(?!Widget\b)\w+", first), selector


def test_no_other_module_writes_a_colour() -> None:
    folder = Path(str(app.__file__)).parent
    writers = {
        path.relative_to(folder).as_posix()
        for path in folder.rglob("*.py")
        if re.search(r"""["']#[0-9A-Fa-f]{6}["']""", path.read_text("utf-8"))
    }

    assert writers <= {"look/tokens.py", "look/contrast.py"}


@pytest.mark.parametrize("factor", [1.0, 1.5, 2.0])
def test_roles_keep_their_proportions_at_every_text_size(qapp: QApplication, factor: float) -> None:
    scale_text(factor, base=qapp.font())
    body = font(Role.BODY).pointSizeF()

    assert font(Role.ENTERED).pointSizeF() / body == pytest.approx(2.46, rel=0.01)
    assert font(Role.TITLE).pointSizeF() / body == pytest.approx(1.54, rel=0.01)
    assert text_scale() == pytest.approx(text_px() / 13)


@pytest.mark.parametrize("px", [8, 11, 12, 13, 26])
def test_small_text_is_never_under_eleven_px(qapp: QApplication, px: int) -> None:
    base = qapp.font()
    base.setPixelSize(px)
    qapp.setFont(base)

    small = font(Role.SMALL).pointSizeF() * 96 / 72

    assert small == pytest.approx(max(0.88 * px, SMALLEST_PX), abs=0.02)


def test_digits_have_one_width_and_there_are_two_weights() -> None:
    weights = {font(role).weight() for role in Role}
    metrics = QFontMetricsF(font(Role.FIGURE))

    assert len(weights) == 2
    assert metrics.horizontalAdvance("111.1") == pytest.approx(metrics.horizontalAdvance("888.8"))
    assert all(len(font(role).featureTags()) == 1 for role in Role)


def test_text_size_tells_the_followers(qapp: QApplication, qtbot: QtBot) -> None:
    with qtbot.waitSignal(Theme.current().changed):
        scale_text(1.5, base=qapp.font())


@pytest.mark.parametrize("factor", [0.5, 2.5])
def test_text_outside_one_to_two_times_is_refused(qapp: QApplication, factor: float) -> None:
    with pytest.raises(ValueError, match="factor"):
        scale_text(factor, base=qapp.font())


@pytest.mark.parametrize("icon", list(Icon))
def test_icons_stay_in_their_square_and_take_the_ink_of_the_theme(icon: Icon) -> None:
    assert icon_path(icon).boundingRect().left() >= -0.1
    assert icon_path(icon).boundingRect().right() <= 16.1

    pictures = [icon_for(icon, tokens).pixmap(QSize(16, 16)).toImage() for tokens in (LIGHT, DARK)]
    assert pictures[0] != pictures[1]


def test_icons_are_drawn_anew_for_dense_screens() -> None:
    made: QIcon = icon_for(Icon.LENS, LIGHT)

    assert made.pixmap(QSize(16, 16), 2.0).size() == QSize(32, 32)


def test_program_icon_and_its_file_show_a_picture() -> None:
    drawn = program_icon(LIGHT).pixmap(QSize(64, 64)).toImage()
    file = QSvgRenderer(str(shipped("resources", "icons", "thimblebook.svg")))

    assert file.isValid()
    colours = {drawn.pixelColor(x, y).name() for x in range(64) for y in range(64)}
    assert {LIGHT.ink.lower(), LIGHT.page.lower()} <= colours
    assert isinstance(drawn, QImage)
