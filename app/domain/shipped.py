"""Where the files are that travel with the program: migrations, resources, the sample diary."""

from __future__ import annotations

from pathlib import Path

from app.domain.errors import DiaryError

_APP = Path(__file__).resolve().parent.parent


def shipped(*parts: str) -> Path:
    """The path of a file or folder that the program brings along, in a checkout and in a wheel.

    Parameters
    ----------
    *parts : str
        The folder (`migrations`, `resources`, `sample_db`) and what is looked for below it.

    Raises
    ------
    DiaryError
        It is not there: the program was copied or installed only in part.
    """
    return find(_APP, *parts)


def find(app: Path, *parts: str) -> Path:
    """`shipped`, for the package that lies at `app`."""
    # A wheel carries the folders inside the package; what lies beside an installed package belongs
    # to others, so the wheel's place is looked at first.
    inside = app / "shipped"
    path = (inside if inside.is_dir() else app.parent).joinpath(*parts)
    if not path.exists():
        raise DiaryError(
            f"This copy of Thimblebook is not whole: {'/'.join(parts)} is missing from "
            f"{path.parent}. Your diary was not touched; install Thimblebook again."
        )
    return path
