"""From the words of the command to the running program; a start that finds all ready stays here."""

import os
import sys

from starting.ready import PROJECT, PYTHON, ROOT, STAMP, is_ready, needs, read


def begin(args: list[str]) -> int:
    """Set up what is missing, then run the checks (`test`) or the program with these arguments."""
    wanted = needs(args, dict(os.environ), sys.platform)
    try:
        if not is_ready(read(STAMP), read(PROJECT), wanted):
            # Imported only here: a start that finds all ready must not wait for it.
            from starting.environment import set_up

            set_up(wanted)
        return _run(args)
    except RuntimeError as trouble:
        print(trouble, file=sys.stderr)
        return 1
    except OSError as problem:
        print(
            f"Thimblebook could not be set up in {ROOT}: {problem}. No diary was touched; "
            "put that right, then run the same command again.",
            file=sys.stderr,
        )
        return 1
    except KeyboardInterrupt:
        return 130  # what a shell says of a command that was interrupted


def _run(args: list[str]) -> int:
    if args[:1] == ["test"]:
        from starting.checks import run_checks

        return run_checks(args[1:])
    # -P: a file named app in the folder where the command was given must not stand in for ours.
    command = [PYTHON, "-P", "-m", "app", *args]
    if os.name == "posix":
        os.execv(PYTHON, command)
    import subprocess

    return subprocess.call(command)
