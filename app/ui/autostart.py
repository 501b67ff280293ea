"""Opening Thimblebook with the desktop session: one file of the system's own, written or removed.

Linux is tried; the files for Windows and macOS are written from the systems' descriptions and
untested.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from xml.sax.saxutils import escape

from app.domain.errors import StoreUnavailable

_DESKTOP = """[Desktop Entry]
Type=Application
Name=Thimblebook
Comment=A diary of finger-stick readings
Exec={command}
Terminal=false
X-GNOME-Autostart-enabled=true
"""
_BATCH = '@start "" {command}\r\n'
_AGENT = """<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE plist PUBLIC "-//Apple//DTD PLIST 1.0//EN" \
"http://www.apple.com/DTDs/PropertyList-1.0.dtd">
<plist version="1.0">
<dict>
  <key>Label</key><string>thimblebook</string>
  <key>ProgramArguments</key><array>{command}</array>
  <key>RunAtLoad</key><true/>
</dict>
</plist>
"""
_RESERVED = '"`$\\'  # what a quoted argument of Exec escapes (Desktop Entry Specification 1.5)


@dataclass(frozen=True, slots=True)
class Autostart:
    """The file that opens the program with the session; `tried` says whether on this system."""

    path: Path
    text: str
    tried: bool

    @property
    def is_on(self) -> bool:
        """Whether the file is there."""
        return self.path.is_file()

    def turn(self, on: bool) -> None:
        """Write the file, or remove it.

        Raises
        ------
        StoreUnavailable
            It can't be written or removed; nothing else was changed.
        """
        try:
            if on:
                self.path.parent.mkdir(parents=True, exist_ok=True)
                self.path.write_text(self.text, encoding="utf-8", newline="")
            else:
                self.path.unlink(missing_ok=True)
        except OSError as problem:
            raise StoreUnavailable(
                f"{self.path} could not be changed ({problem.strerror}). "
                "Thimblebook opens with the session as before."
            ) from problem


def autostart(
    command: Sequence[str] = (sys.executable, "-m", "app", "open"),
    *,
    platform: str = sys.platform,
    environment: Mapping[str, str] = os.environ,
    home: Path | None = None,
) -> Autostart:
    """The file of this system that opens a program with the session."""
    home = home or Path.home()
    if platform == "win32":
        roaming = Path(environment.get("APPDATA") or home / "AppData" / "Roaming")
        folder = roaming / "Microsoft" / "Windows" / "Start Menu" / "Programs" / "Startup"
        said = " ".join(f'"{part}"' for part in command)
        return Autostart(folder / "Thimblebook.cmd", _BATCH.format(command=said), tried=False)
    if platform == "darwin":
        said = "".join(f"<string>{escape(part)}</string>" for part in command)
        path = home / "Library" / "LaunchAgents" / "thimblebook.plist"
        return Autostart(path, _AGENT.format(command=said), tried=False)
    held = environment.get("XDG_CONFIG_HOME") or ""
    config = Path(held) if Path(held).is_absolute() else home / ".config"
    said = " ".join(_exec_part(part) for part in command)
    path = config / "autostart" / "thimblebook.desktop"
    return Autostart(path, _DESKTOP.format(command=said), tried=True)


def _exec_part(part: str) -> str:
    """One argument of Exec: quoted where it holds more than plain letters; "%" is doubled."""
    plain = part.replace("%", "%%")
    if all(letter.isalnum() or letter in "-_./%+:=@" for letter in plain):
        return plain
    quoted = "".join(f"\\{each}" if each in _RESERVED else each for each in plain)
    # The value itself escapes backslashes once more, as every string of such a file does.
    return '"' + quoted.replace("\\", "\\\\") + '"'
