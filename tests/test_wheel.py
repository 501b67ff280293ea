from __future__ import annotations

import json
import os
import subprocess
import sys
import sysconfig
from dataclasses import dataclass
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent


@dataclass(frozen=True, slots=True)
class Installed:
    """An environment that holds the wheel, the home of its user, and a folder to work from."""

    venv: Path
    home: Path
    elsewhere: Path

    def run(self, tool: str, *args: str) -> subprocess.CompletedProcess[str]:
        folders = {"HOME": self.home, "USERPROFILE": self.home, "LOCALAPPDATA": self.home}
        kept = {name: os.environ[name] for name in ("PATH", "SYSTEMROOT") if name in os.environ}
        return subprocess.run(
            [_tools(self.venv) / tool, *args],
            cwd=self.elsewhere,
            env=kept | {name: str(folder) for name, folder in folders.items()},
            capture_output=True,
            text=True,
            encoding="utf-8",
            check=False,
        )

    def command(self, *args: str) -> str:
        done = self.run("thimblebook", *args)
        assert (done.returncode, done.stderr) == (0, "")
        return done.stdout


@pytest.fixture(scope="session")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("dist")
    _must_run(sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder))
    (built,) = folder.glob("*.whl")
    return built


@pytest.fixture(scope="session")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Installed:
    base = tmp_path_factory.mktemp("wheel")
    venv, home, elsewhere = (base / name for name in ("venv", "home", "elsewhere"))
    home.mkdir()
    elsewhere.mkdir()
    _must_run(sys.executable, "-m", "venv", "--without-pip", str(venv))
    python = str(_tools(venv) / "python")
    pip = [sys.executable, "-m", "pip", "--python", python, "install", "--no-index", "--no-deps"]
    _must_run(*pip, "--quiet", "--no-cache-dir", str(wheel))
    # The dependencies come from the environment that runs the tests. The .pth files in there are
    # not followed from here, so a checkout installed editable stays out of sight.
    own = Path(sysconfig.get_path("purelib", vars={"base": str(venv), "platbase": str(venv)}))
    running = {sysconfig.get_path("purelib"), sysconfig.get_path("platlib")}
    (own / "dependencies.pth").write_text("\n".join(sorted(running)), encoding="utf-8")
    return Installed(venv, home, elsewhere)


def test_wheel_is_used_and_not_the_checkout(installed: Installed) -> None:
    done = installed.run("python", "-c", "import app; print(app.__file__)")

    assert done.stderr == ""
    assert Path(done.stdout.strip()).is_relative_to(installed.venv)


def test_wheel_brings_what_lies_outside_the_package(installed: Installed) -> None:
    asks = "from app.domain.shipped import shipped; print(shipped('migrations', 'env.py'))"

    done = installed.run("python", "-c", asks)

    assert done.stderr == ""
    found = Path(done.stdout.strip())
    assert found.is_relative_to(installed.venv)
    assert found.read_bytes() == (ROOT / "migrations" / "env.py").read_bytes()


def test_wheel_brings_every_migration(installed: Installed) -> None:
    asks = "from app.domain.shipped import shipped; print(shipped('migrations', 'versions'))"

    done = installed.run("python", "-c", asks)

    brought = {path.name for path in Path(done.stdout.strip()).iterdir()}
    ours = {path.name for path in (ROOT / "migrations" / "versions").iterdir()}
    assert brought - {"__pycache__"} == ours - {"__pycache__"}


def test_a_diary_is_kept_from_another_folder(installed: Installed) -> None:
    installed.command("person", "add", "Nuno", "--unit", "mmol/L", "--zone", "Europe/Lisbon")
    installed.command("add", "7.2 before lunch", "--at", "2024-03-14 12:05")

    listed = installed.command("list", "--from", "2024-03-14", "--to", "2024-03-14", "--json")
    figures = json.loads(installed.command("figures", "--all-time", "--json"))

    assert "before_lunch" in json.dumps(json.loads(listed))
    assert "7.2" in listed
    assert (figures["person"], figures["unit"], figures["n"]) == ("Nuno", "mmol/L", 1)
    assert [path.name for path in installed.home.rglob("*.thimblebook")] == ["diary.thimblebook"]
    assert list(installed.elsewhere.iterdir()) == []


def _tools(venv: Path) -> Path:
    return venv / ("Scripts" if os.name == "nt" else "bin")


def _must_run(*command: str) -> None:
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
