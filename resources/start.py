"""Get Thimblebook going on a fresh machine: `python3 resources/start.py open`, or `test`.

Only the standard library, and here only syntax that Python 3.6 reads, so that an old Python can say
what is wrong; the work is done in `starting/`, which needs a new one.
"""

import os
import sys


def python_sentence(version: "tuple[int, ...]") -> str:
    """What to install when this Python is too old, else nothing."""
    if version[:2] >= (3, 11):
        return ""
    return (
        f"Thimblebook needs Python 3.11 or later, and this is Python {version[0]}.{version[1]}; "
        "install one from your system's packages or python.org and run the same command with it."
    )


if __name__ == "__main__":
    sentence = python_sentence(sys.version_info[:2])
    if sentence:
        sys.exit(sentence)
    sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
    from starting.begin import begin

    sys.exit(begin(sys.argv[1:]))
