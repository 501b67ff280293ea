from __future__ import annotations

from pathlib import Path

import pytest

from tests.commands import Terminal


@pytest.fixture
def terminal(tmp_path: Path) -> Terminal:
    made = Terminal(tmp_path)
    made.ok("person", "add", "Tilde", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    return made


def test_the_test_map_counts_ninety_days_and_names_what_is_never_tested(terminal: Terminal) -> None:
    terminal.ok("add", "7.2 waking 07:00")

    found = terminal.ok("test-map", "--json").json
    said = terminal.ok("test-map").out

    assert found["period"] == {"first": "2025-12-13", "last": "2026-03-12", "days": 90}
    assert found["slots"]["waking"]["by_weekday"] == [0, 0, 0, 1, 0, 0, 0]
    assert found["slots"]["night"]["blind_spot"] is True
    assert "never tested: after breakfast, before lunch, " in said
    assert "waking: 1 in 90 days; lows and highs there would not be seen" in said
