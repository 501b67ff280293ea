from __future__ import annotations

import ast
import importlib.util
import os
import subprocess
import sys
from pathlib import Path
from types import ModuleType

import pytest
from starting import environment, ready, system

START = Path(__file__).parent.parent / "resources" / "start.py"

PROJECT = '[project]\nname = "thimblebook"\n\n[tool.other]\n'


@pytest.fixture
def start() -> ModuleType:
    spec = importlib.util.spec_from_file_location("start", START)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture
def venv(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A stand-in for `.venv` whose Python is the one that runs the tests."""
    folder = tmp_path / ".venv"
    (folder / "bin").mkdir(parents=True)
    python = folder / "bin" / "python"
    python.symlink_to(sys.executable)
    for module in (ready, environment):
        monkeypatch.setattr(module, "PYTHON", str(python))
        monkeypatch.setattr(module, "STAMP", str(folder / "thimblebook-stamp"))
    return folder


def test_old_python_can_read_the_first_file() -> None:
    ast.parse(START.read_text(encoding="utf-8"), feature_version=(3, 6))


def test_python_3_10_is_told_what_to_install(start: ModuleType) -> None:
    sentence = start.python_sentence((3, 10))

    assert "Python 3.11 or later" in sentence
    assert "this is Python 3.10" in sentence


def test_python_from_3_11_on_is_taken(start: ModuleType) -> None:
    assert start.python_sentence((3, 11)) == start.python_sentence((4, 0)) == ""


@pytest.mark.parametrize(
    ("args", "verb"),
    [
        ([], "open"),
        (["open", "--out", "pages"], "open"),
        (["figures", "--json"], "figures"),
        (["--diary", "open", "figures"], "figures"),
        (["--person", "draw", "--diary=a.thimblebook", "list"], "list"),
        (["--help"], "--help"),
        (["--diary"], "open"),
    ],
)
def test_verb_is_found_behind_the_options(args: list[str], verb: str) -> None:
    assert ready.verb_of(args) == verb


@pytest.mark.parametrize(
    ("args", "environ", "wanted"),
    [
        (["test", "-k", "open"], {"DISPLAY": ":0"}, {"test", "offscreen"}),
        (["open"], {}, {"offscreen"}),
        ([], {"DISPLAY": ":0", "WAYLAND_DISPLAY": "wayland-0"}, {"offscreen", "x11"}),
        (["open"], {"WAYLAND_DISPLAY": "wayland-0"}, {"offscreen", "wayland"}),
        (["open"], {"DISPLAY": ":0", "QT_QPA_PLATFORM": "offscreen"}, {"offscreen"}),
        (["page", "sheet.pdf"], {"DISPLAY": ":0"}, {"offscreen"}),
        (["figures", "--json"], {"DISPLAY": ":0"}, set()),
        (["--person", "test", "list"], {}, set()),
    ],
)
def test_each_verb_needs_its_own_on_linux(
    args: list[str], environ: dict[str, str], wanted: set[str]
) -> None:
    assert ready.needs(args, environ, "linux") == wanted


@pytest.mark.parametrize("platform", ["darwin", "win32"])
def test_system_libraries_are_looked_at_on_linux_alone(platform: str) -> None:
    assert ready.needs(["open"], {"DISPLAY": ":0"}, platform) == set()
    assert ready.needs(["test"], {}, platform) == {"test"}


def test_finished_set_up_is_ready_for_what_it_has_and_for_less(venv: Path) -> None:
    stamp = ready.stamp_text(frozenset({"test", "offscreen"}), PROJECT)

    assert ready.is_ready(stamp, PROJECT, frozenset({"test", "offscreen"}))
    assert ready.is_ready(stamp, PROJECT, frozenset())
    assert not ready.is_ready(stamp, PROJECT, frozenset({"x11"}))


@pytest.mark.parametrize(
    "stamp", ["", environment.UNFINISHED, "root", "\ufffd\n", "has=test\n\n" + PROJECT]
)
def test_missing_unfinished_or_damaged_stamp_is_not_ready(venv: Path, stamp: str) -> None:
    assert not ready.is_ready(stamp, PROJECT, frozenset())


def test_changed_project_file_is_not_ready(venv: Path) -> None:
    stamp = ready.stamp_text(frozenset(), PROJECT)

    assert not ready.is_ready(stamp, PROJECT + 'version = "0.2.0"\n', frozenset())


def test_moved_folder_is_neither_ready_nor_built_upon(
    venv: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    stamp = ready.stamp_text(frozenset(), PROJECT)

    for module in (ready, environment):
        monkeypatch.setattr(module, "ROOT", "/elsewhere")

    assert not ready.is_ready(stamp, PROJECT, frozenset())
    assert not environment.can_take_packages(stamp)


def test_replaced_system_python_is_neither_ready_nor_built_upon(venv: Path) -> None:
    stamp = ready.stamp_text(frozenset(), PROJECT)

    (venv / "bin" / "python").unlink()
    (venv / "bin" / "python").symlink_to("/bin/sh")

    assert not ready.is_ready(stamp, PROJECT, frozenset())
    assert not environment.can_take_packages(stamp)


@pytest.mark.parametrize(("exit_code", "whole"), [(0, True), (1, False)])
def test_environment_takes_packages_if_its_python_finds_pip(
    venv: Path, monkeypatch: pytest.MonkeyPatch, exit_code: int, whole: bool
) -> None:
    asked: list[list[str]] = []

    def answer(command: list[str], **_: str) -> tuple[int, str]:
        asked.append(command)
        return exit_code, ""

    monkeypatch.setattr(environment, "quietly", answer)

    finished = environment.can_take_packages(ready.stamp_text(frozenset(), PROJECT))
    made_by_hand = environment.can_take_packages("")

    assert (finished, made_by_hand) == (whole, whole)
    assert [command[0] for command in asked] == [str(venv / "bin" / "python")] * 2


def test_set_up_that_was_killed_is_not_built_upon(venv: Path) -> None:
    assert not environment.can_take_packages(environment.UNFINISHED)


def test_environment_without_python_is_not_built_upon(venv: Path) -> None:
    (venv / "bin" / "python").unlink()

    assert not environment.can_take_packages("")


def test_what_is_missing_is_told_in_one_exact_line(monkeypatch: pytest.MonkeyPatch) -> None:
    lacking = ("libEGL.so.1", "libxcb-icccm.so.4")
    monkeypatch.setattr(system, "can_load", lambda library: library not in lacking)
    monkeypatch.setattr(system, "can_make_venv", lambda: False)
    monkeypatch.setattr(system, "may_use_apt", lambda: False)

    with pytest.raises(RuntimeError) as raised:
        system.check_system(frozenset({"offscreen", "x11", "test"}), venv=True)

    line = f"libegl1 libxcb-icccm4 python{sys.version_info[0]}.{sys.version_info[1]}-venv"
    told = str(raised.value).splitlines()
    assert f"  sudo apt-get update && sudo apt-get install {line}" in told


def test_what_is_not_wanted_is_not_asked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(system, "can_load", lambda _: False)
    monkeypatch.setattr(system, "can_make_venv", lambda: False)

    assert system.missing_packages(frozenset({"test"}), venv=False) == []


def test_library_that_no_system_has_can_not_be_loaded() -> None:
    assert not system.can_load("libthimblebook-no-such.so.0")


def test_root_on_debian_installs_what_is_missing_after_a_fresh_list(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    ran: list[list[str]] = []

    def apt(command: list[str], **environ: str) -> tuple[int, str]:
        assert environ == {"DEBIAN_FRONTEND": "noninteractive"}
        ran.append(command)
        return 0, ""

    monkeypatch.setattr(system, "quietly", apt)
    monkeypatch.setattr(system, "may_use_apt", lambda: True)
    monkeypatch.setattr(system, "can_load", lambda name: name != "libGL.so.1" or len(ran) == 2)

    system.check_system(frozenset({"offscreen"}), venv=False)

    assert ran[0] == ["apt-get", "update"]
    assert ran[1] == ["apt-get", "install", "-y", "--no-install-recommends", "libgl1"]
    told = capsys.readouterr().err
    assert told == "Installing what Thimblebook needs of the system: libgl1.\n"


def test_root_whose_install_failed_is_shown_why_and_the_line(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(system, "quietly", lambda command, **_: (100, f"{command[1]} failed"))
    monkeypatch.setattr(system, "may_use_apt", lambda: True)
    monkeypatch.setattr(system, "can_load", lambda name: name != "libGL.so.1")

    with pytest.raises(RuntimeError, match="sudo apt-get install libgl1\n"):
        system.check_system(frozenset({"offscreen"}), venv=False)

    assert "update failed\ninstall failed\n" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("output", "says"),
    [
        ("Failed to establish a new connection: [Errno -2] Name or ...", "network did not answer"),
        ("ERROR: [Errno 28] No space left on device", "the disk is full"),
        ("ERROR: something else", "ERROR: something else\n"),
    ],
)
def test_failed_install_is_told_in_a_sentence(output: str, says: str) -> None:
    assert says in environment.pip_sentence(output)


def test_failed_install_leaves_the_stamp_as_it_was(
    venv: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    stamp = ready.stamp_text(frozenset(), PROJECT)
    seen: list[str] = []

    def pip(command: list[str], **_: str) -> tuple[int, str]:
        seen.append(ready.read(ready.STAMP))
        return 1, "no"

    monkeypatch.setattr(environment, "quietly", pip)

    with pytest.raises(RuntimeError, match="not installed"):
        environment._install(frozenset(), stamp)

    assert seen == [environment.UNFINISHED]
    assert ready.read(ready.STAMP) == stamp


@pytest.mark.skipif(os.name != "posix", reason="elsewhere a process can't become another")
def test_ready_start_imports_nothing_heavy_and_runs_from_the_callers_folder(
    venv: Path, tmp_path: Path
) -> None:
    script = f"""
import os, sys
sys.path.insert(0, {str(START.parent)!r})
from starting import begin, ready
os.execv = lambda path, command: print(path, command, os.getcwd(), sorted(sys.modules))
begin.PYTHON = ready.PYTHON = {str(venv / "bin" / "python")!r}
begin.STAMP = {str(venv / "thimblebook-stamp")!r}
with open(begin.STAMP, "w") as file:
    file.write(ready.stamp_text(frozenset(), ready.read(ready.PROJECT)))
begin.begin(["figures", "--json"])
"""
    done = subprocess.run(
        [sys.executable, "-I", "-S", "-c", script],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
    )

    python = str(venv / "bin" / "python")
    command = [python, "-P", "-m", "app", "figures", "--json"]
    assert done.stdout.startswith(f"{python} {command} {tmp_path} ")
    for module in ("subprocess", "hashlib", "shutil", "ctypes", "pathlib", "re"):
        assert f"'{module}'" not in done.stdout
