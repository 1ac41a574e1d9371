"""Compile the kernels once, with a bar to watch, so that no later command waits for them."""

import sys


def main() -> int:
    """Compile every kernel into the cache beside the source."""
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn

    from trialfit import geometry, motion
    from trialfit.routing import warming

    console = Console(stderr=True)
    with Progress(TextColumn("{task.description}"), BarColumn(), TextColumn("{task.completed}/{task.total}"),
                  console=console, disable=not console.is_terminal) as bar:
        task = bar.add_task("compiling", total=1)

        def report(done: int, of: int, what: str) -> None:
            bar.update(task, completed=done, total=of, description=f"compiling {what}")

        if not console.is_terminal:
            print("compiling the kernels (once, two to three minutes) ...", file=sys.stderr, flush=True)
        geometry.compile_all(report)
        bar.update(task, description="compiling the suspension")
        motion.compile_all()
        warming.compile_all(report)
    return 0


if __name__ == "__main__":
    sys.exit(main())
