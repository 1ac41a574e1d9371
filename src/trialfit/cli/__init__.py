"""The commands: read the arguments, call the rooms below, print tables or JSON, return an exit code.

In: arguments and files. Out: text on the screen, files where the builder asked for them. No formula lives here.
"""

__all__ = ["main"]


def main(arguments: list[str] | None = None) -> int:
    """Run one command; ``arguments`` default to those of the process. Returns the exit code."""
    import io
    import os
    import sys

    # the matrices here are small: more threads only get in each other's way
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    # a screen that knows fewer characters gets a question mark, not a stop
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")
    from trialfit.cli.app import run

    return run(arguments)
