"""Every check of the project, one after the other."""

import os
import subprocess

from starting.ready import PYTHON, ROOT, TOOLS

# The tests of one file stay in one process, where they share what is slow to make.
ON_ALL_CORES = ("-n", "auto", "--dist", "loadfile")


def run_checks(pytest_args: list[str]) -> int:
    """Run all checks and report all; the arguments go to pytest, which comes last."""
    environ = {"QT_QPA_PLATFORM": "offscreen", **os.environ}
    checks = {
        "ruff check": [PYTHON, "-m", "ruff", "check", "."],
        "ruff format --check": [PYTHON, "-m", "ruff", "format", "--check", "."],
        "mypy": [PYTHON, "-m", "mypy"],
        "lint-imports": [os.path.join(TOOLS, "lint-imports")],
        "pytest": [PYTHON, "-m", "pytest", *ON_ALL_CORES, *pytest_args],
    }
    failed: list[str] = []
    for name, command in checks.items():
        so_far = f" (failed so far: {', '.join(failed)})" if failed else ""
        print(f"== {name}{so_far}", flush=True)
        if subprocess.call(command, cwd=ROOT, env=environ):
            failed.append(name)
    return 1 if failed else 0
