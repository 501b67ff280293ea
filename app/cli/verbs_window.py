"""Verbs that show the diary: open, draw. What they show with is given from outside.

What only pictures and the sample need is imported where it is used: the window opens sooner.
"""

from __future__ import annotations

import argparse
import re
from pathlib import Path
from typing import TYPE_CHECKING

from app.cli.words import a_day
from app.domain.errors import Refused, StoreUnavailable

if TYPE_CHECKING:
    from app.cli.surroundings import Asked, Screen

SMALLEST, LARGEST = 200, 8000


def _words_of_open(window: argparse.ArgumentParser) -> None:
    window.add_argument(
        "--sample", action="store_true", help="a copy of the diary of two invented households"
    )
    window.add_argument(
        "--out", type=Path, metavar="DIR", help="where the pages are drawn when there is no screen"
    )
    window.set_defaults(verb=open_window)


def _words_of_draw(drawn: argparse.ArgumentParser) -> None:
    drawn.add_argument("page", help="now day readings ... plan hand-over appointment")
    drawn.add_argument("out", type=Path, metavar="OUT.png")
    drawn.add_argument("--days", type=_days, metavar="N")
    drawn.add_argument("--ending", type=a_day, metavar="DAY")
    drawn.add_argument("--dark", action="store_true")
    drawn.add_argument("--size", type=_size, default=(1280, 800), metavar="WxH")
    drawn.add_argument("--scale", type=_scale, default=1.0, metavar="S", help="1 to 4")
    drawn.add_argument("--sample", action="store_true", help="from the invented households")
    drawn.set_defaults(verb=_draw)


WORDS = {"open": _words_of_open, "draw": _words_of_draw}


def open_window(asked: Asked) -> int:
    """Show the window; with no screen, draw every page into files and say where they are."""
    screen = screen_of(asked)
    if not asked.options.sample:
        return _show(asked, screen, asked.diary_path)
    from tempfile import TemporaryDirectory

    with TemporaryDirectory(prefix="thimblebook-sample-") as folder:
        return _show(asked, screen, _copy_of_sample(Path(folder)))


def _show(asked: Asked, screen: Screen, diary: Path) -> int:
    if screen.is_there():
        return screen.open(diary, asked.person_name)
    from app.domain.pictures import Pictures

    out = asked.options.out or _new_folder(asked.around.diary.parent / "thimblebook-pages")
    asked.around.tell("There is no screen here; every page is drawn into a file instead.")
    _make(out)
    for path in screen.draw(Pictures(diary, asked.person_name, out)):
        asked.around.say(str(path))
    return 0


def _draw(asked: Asked) -> int:
    from tempfile import TemporaryDirectory

    from app.domain.pictures import Pictures

    options, screen = asked.options, screen_of(asked)
    with TemporaryDirectory(prefix="thimblebook-sample-") as folder:
        diary = _copy_of_sample(Path(folder)) if options.sample else asked.diary_path
        pictures = Pictures(
            diary,
            asked.person_name,
            options.out,
            page=options.page,
            days=options.days,
            ending=options.ending,
            dark=options.dark,
            width=options.size[0],
            height=options.size[1],
            scale=options.scale,
        )
        for path in screen.draw(pictures):
            asked.around.say(str(path))
    return 0


def screen_of(asked: Asked) -> Screen:
    """What can show and print; refused where there is nothing of the kind."""
    if asked.around.screen is None:
        raise Refused("Nothing here can show a window; every other verb works without one.")
    return asked.around.screen


def _copy_of_sample(folder: Path) -> Path:
    import shutil

    from app.domain.shipped import shipped

    copy = folder / "households.thimblebook"
    shutil.copyfile(shipped("sample_db", "households.thimblebook"), copy)
    copy.chmod(0o600)
    return copy


def _new_folder(wanted: Path) -> Path:
    """The folder, or the first of that name with a number that is not there yet."""
    found, number = wanted, 2
    while found.exists():
        found, number = wanted.with_name(f"{wanted.name}-{number}"), number + 1
    return found


def _make(folder: Path) -> None:
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as problem:
        raise StoreUnavailable(
            f"The folder {folder} could not be made ({problem.strerror}). Nothing was changed; "
            "say --out with a folder where you may write."
        ) from problem


def _days(text: str) -> int:
    # An unknown number of digits is no number of days; four of them are 27 years.
    if re.fullmatch(r"0*[1-9][0-9]{0,3}", text, re.ASCII) is None:
        raise argparse.ArgumentTypeError(f'"{text}" is no number of days from 1 to 9999')
    return int(text)


def _size(text: str) -> tuple[int, int]:
    found = re.fullmatch(r"([0-9]{1,5})[xX]([0-9]{1,5})", text)
    if found is None:
        raise argparse.ArgumentTypeError(f'"{text}" is no size; write it as 1280x800')
    width, height = int(found[1]), int(found[2])
    if not all(SMALLEST <= each <= LARGEST for each in (width, height)):
        raise argparse.ArgumentTypeError(f"a picture has {SMALLEST} to {LARGEST} pixels a side")
    return width, height


def _scale(text: str) -> float:
    try:
        found = float(text)
    except ValueError:
        found = 0.0
    if not 1 <= found <= 4:
        raise argparse.ArgumentTypeError(f'"{text}" is no scale from 1 to 4')
    return found
