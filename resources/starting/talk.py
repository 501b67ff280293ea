"""Say a sentence to the person, and run another program without its chatter."""

import os
import subprocess
import sys

from starting.ready import ROOT


def say(sentence: str) -> None:
    """Tell the person something; standard output belongs to the program."""
    print(sentence, file=sys.stderr, flush=True)


def quietly(command: list[str], **environ: str) -> tuple[int, str]:
    """Run a command from the project's folder; its exit code, and all that it said."""
    done = subprocess.run(
        command,
        cwd=ROOT,
        env={**os.environ, **environ},
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        check=False,
    )
    return done.returncode, done.stdout.decode("utf-8", "replace").strip()
