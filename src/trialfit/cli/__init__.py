"""The commands: read the arguments, call the rooms below, print tables or JSON, return an exit code.

In: arguments and files. Out: text on the screen, files where the builder asked for them. No formula lives here.
"""

__all__ = ["main"]


def main(arguments: list[str] | None = None) -> int:
    """Run one command; ``arguments`` default to those of the process. Returns the exit code."""
    from trialfit.cli.app import run

    return run(arguments)
