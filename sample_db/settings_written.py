"""Settings of the meters' clocks as rows of the diary, written when the family knew of them."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from app.store import schema
from sample_db.beginning import keeper_uid
from sample_db.chapters import Chapter, added
from sample_db.clocks import ClockSetting
from sample_db.household import Household

_WRITTEN_AFTER_S = 60


def setting_chapters(home: Household) -> Iterator[Chapter]:
    """A chapter for each setting; one that was wrong is known only when it is set right."""
    for setting in home.clock_settings:
        yield Chapter(
            _noticed(home, setting) + _WRITTEN_AFTER_S,
            "clock_set",
            {
                "meter": setting.meter,
                "at": setting.at.wall.replace("T", " "),
                "why": setting.cause,
            },
            home.wishes.uid,
            (
                added(
                    schema.clock_setting,
                    setting.uid,
                    meter_id=home.meter(setting.meter).uid,
                    at=setting.at.instant,
                    shown_before=_iso(setting.shown_before),
                    shown_after=_iso(setting.shown_after),
                    cause=setting.cause,
                ),
            ),
            keeper_uid(home, home.keepers[0]),
        )


def _noticed(home: Household, setting: ClockSetting) -> int:
    if setting.at.local == setting.shown_after:
        return setting.at.instant
    return min(
        each.at.instant
        for each in home.clock_settings
        if each.meter == setting.meter and each.at.instant > setting.at.instant
    )


def _iso(wall: datetime | None) -> str | None:
    return None if wall is None else wall.isoformat(timespec="minutes")
