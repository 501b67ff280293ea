from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

HEAVY = ("sqlalchemy", "alembic", "numpy", "pyqtgraph")


def imported_by(*modules: str) -> set[str]:
    """Which of the slow packages are there when a new interpreter imported the modules."""
    code = f"import sys, {', '.join(modules)}; print(*({HEAVY!r} & sys.modules.keys()))"
    code = code.replace(repr(HEAVY), repr(set(HEAVY)))
    done = subprocess.run(
        [sys.executable, "-c", code], check=True, capture_output=True, text=True, timeout=60
    )
    return set(done.stdout.split())


def test_the_shell_is_painted_before_anything_slow_is_imported() -> None:
    shell = ("app.__main__", "app.cli.verbs_window", "app.ui.start", "app.ui.window")

    assert imported_by(*shell) == set()


def test_the_first_page_is_seen_before_the_database_tools_are_imported() -> None:
    first = ("app.ui.fill", "app.ui.now", "app.ui.day.page")

    assert imported_by(*first) == {"numpy", "pyqtgraph"}


def test_every_control_has_its_module() -> None:
    import app.ui.controls as controls

    here = Path(controls.__file__).read_text(encoding="utf-8")

    assert len(controls._WHERE) == here.count(" as ")
    assert all(getattr(controls, name) is not None for name in controls._WHERE)


def test_what_is_no_control_is_missing() -> None:
    import app.ui.controls as controls

    with pytest.raises(AttributeError, match="Gauge"):
        _ = controls.Gauge  # type: ignore[attr-defined]
