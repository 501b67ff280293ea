from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields
from pathlib import Path
from typing import Any

import pytest
from pytestqt.qtbot import QtBot

from app.domain.errors import Refused
from app.domain.person import today_of
from app.review.figure import minimum_words, too_little
from app.review.figures import figures, whole_time
from app.review.figures_json import figures_as_json
from app.review.help import SURE, FigureHelp, all_help, help_for
from app.review.rarer import rarer_figures
from app.review.record import record_of
from app.statistics import enough, trust
from app.store.diary import Diary
from tests.households import NOW, new_diary, tilde, written

# What stands in the answer beside figures: who, when, and what a count is of.
NOT_A_FIGURE = {
    "person",
    "unit",
    "period",
    "goals",
    "without_goal",
    "off_scale_left_out_of_spread",
    "spread",
}


@pytest.fixture
def diary(tmp_path: Path) -> Iterator[Diary]:
    with new_diary(tmp_path) as made:
        yield made


def worked(diary: Diary) -> dict[str, Any]:
    person = tilde(diary)
    written(diary, person, "2026-03-12 07:05", "7.6")
    record = record_of(diary, person)
    period = whole_time(record, today_of(person, NOW))
    rarer = rarer_figures(record, period, now=NOW)
    return figures_as_json(figures(record, period, now=NOW), rarer)


def test_every_figure_of_the_command_has_a_help_text(diary: Diary) -> None:
    found = worked(diary)

    keys = (set(found) - NOT_A_FIGURE) | (set(found["spread"]) - {"n", "off_scale_left_out"})

    assert keys - set(all_help()) == set()
    assert {"mean", "evened", "mage", "j_index", "without_set_aside_days"} <= keys


def test_every_tile_of_the_window_has_a_help_text(qtbot: QtBot) -> None:
    from app.ui.figures.figure_tiles import FigureTiles

    tiles = FigureTiles()
    qtbot.addWidget(tiles)

    assert len(tiles.keys) == len(tiles.tiles)
    assert set(tiles.keys) <= set(all_help())


@pytest.mark.parametrize("text", all_help().values(), ids=all_help().keys())
def test_a_help_text_is_whole(text: FigureHelp) -> None:
    for each in fields(text):
        assert getattr(text, each.name), each.name

    assert text.sure in SURE
    assert text.meaning.endswith(".")
    assert text.meaning.count(". ") == 0  # one sentence
    assert text.caution.endswith(".")


@pytest.mark.parametrize(
    "word",
    ["insulin dose", "units of", "you are safe", "well done", "significan", "time in range", "gmi"],
)
def test_no_help_text_advises_praises_or_promises(word: str) -> None:
    for text in all_help().values():
        said = " ".join(getattr(text, each.name) for each in fields(text)).lower()
        assert word not in said, text.key


@pytest.mark.parametrize(
    ("key", "minimum"),
    [
        ("mean", enough.MEAN),
        ("sd", enough.SPREAD),
        ("j_index", enough.SPREAD),
        ("m_value", enough.SPREAD),
        ("grade", enough.SPREAD),
        ("mage", enough.MAGE),
        ("modd", enough.MODD),
        ("within_day_cv", enough.WITHIN_DAY_CV),
        ("lbgi", enough.RISK),
        ("hbgi", enough.RISK),
        ("shares", enough.SHARE),
    ],
)
def test_what_a_figure_needs_is_said_as_where_it_is_missing(
    key: str, minimum: enough.Minimum
) -> None:
    missing = too_little(minimum)

    assert missing is not None
    assert all_help()[key].minimum == minimum_words(minimum)
    assert missing.why.startswith(f"needs {all_help()[key].minimum};")


def test_the_rule_of_trust_is_told_with_the_limits_that_decide_it() -> None:
    said = all_help()["trust"].formula

    for limit in (
        f"under {trust.READINGS_NO_BELOW} readings",
        f"under {trust.DAYS_NO_BELOW} days",
        f"one slot at {trust.ONE_SLOT_NO_FROM} %",
        f"under {trust.SLOTS_NO_BELOW} of {trust.EVENED_SLOTS} slots",
        f"{trust.DOUBT_NO_FROM} % in doubt",
        f"{trust.READINGS_GOOD_FROM} readings on {trust.DAYS_GOOD_FROM} days",
        f"no slot over {trust.ONE_SLOT_GOOD_UP_TO} %",
        f"{trust.SLOTS_GOOD_FROM} slots",
        f"under {trust.DOUBT_GOOD_BELOW} % in doubt",
        f"at most {trust.UNMARKED_GOOD_UP_TO} % unmarked",
    ):
        assert limit in said


@pytest.mark.parametrize("name", ["mage", "MAGE", "Swings of a day", "swings of a day (MAGE)"])
def test_a_figure_is_found_by_key_or_title(name: str) -> None:
    assert help_for(name).key == "mage"


@pytest.mark.parametrize("name", ["", "gmi", "adrr", "mean glucose"])
def test_a_name_of_no_figure_is_refused_in_one_sentence(name: str) -> None:
    with pytest.raises(Refused, match="No figure is called"):
        help_for(name)
