"""The one socket of the program: a second start rings at the window that has the diary open.

It is a local one, a file in the runtime folder of this user that nobody else can reach.
"""

from __future__ import annotations

import os
import stat
from hashlib import blake2b
from pathlib import Path

from PySide6.QtCore import QElapsedTimer, QObject, QThread, Signal
from PySide6.QtNetwork import QLocalServer, QLocalSocket

ANSWER = b"here\n"
_PATIENCE_MS = 2000  # a window that paints a long period still answers; a hung one does not
_STEP_MS = 50
_LONGEST = 100  # bytes of a socket's path (sun_path of unix(7) has 108)


class Doorbell(QObject):
    """Listens for second starts of one diary. Signals: rung()."""

    rung = Signal()

    def __init__(self, diary: Path, runtime: Path, parent: QObject) -> None:
        super().__init__(parent)
        self._server = QLocalServer(self)
        self._server.setSocketOptions(QLocalServer.SocketOption.UserAccessOption)
        self._server.newConnection.connect(self._on_connection)
        name = _name(diary, runtime)
        if name and not self._server.listen(name):
            # Whoever has the lock has the bell: what is there was left by a window that died.
            QLocalServer.removeServer(name)
            self._server.listen(name)

    @property
    def listens(self) -> bool:
        """Whether a second start can be heard."""
        return self._server.isListening()

    def close(self) -> None:
        """Hear nothing more."""
        self._server.close()

    def _on_connection(self) -> None:
        while (caller := self._server.nextPendingConnection()) is not None:
            caller.disconnected.connect(caller.deleteLater)
            caller.write(ANSWER)
            caller.flush()
            caller.disconnectFromServer()
            self.rung.emit()


def ring(diary: Path, runtime: Path) -> bool:
    """Ask the window of a diary to come to the front; whether it answered."""
    name = _name(diary, runtime)
    if not name:
        return False
    caller = QLocalSocket()
    since = QElapsedTimer()
    since.start()
    while True:  # it may have begun a moment ago, and not listen yet
        caller.connectToServer(name)
        if caller.waitForConnected(_PATIENCE_MS):
            break
        if since.elapsed() >= _PATIENCE_MS:
            return False
        QThread.msleep(_STEP_MS)
    heard = b""
    while len(heard) < len(ANSWER) and (
        caller.bytesAvailable() or caller.waitForReadyRead(_PATIENCE_MS)
    ):
        heard += caller.readAll().data()
    caller.abort()
    return heard == ANSWER


def _name(diary: Path, runtime: Path) -> str:
    """Where the bell hangs; empty where there is no folder that is this user's alone."""
    mark = blake2b(os.fsencode(diary.resolve()), digest_size=12).hexdigest()
    if os.name == "nt":  # named pipes of a user have no folder
        return f"thimblebook-{mark}"
    try:
        runtime.mkdir(mode=0o700, parents=True, exist_ok=True)
        found = runtime.stat()
    except OSError:
        return ""
    private = found.st_uid == os.getuid() and not stat.S_IMODE(found.st_mode) & 0o077
    name = str(runtime / mark)
    return name if private and len(os.fsencode(name)) <= _LONGEST else ""
