"""Writes the paper of one build into a folder: each file whole or not at all."""

import os
import tempfile
from collections.abc import Sequence
from datetime import date
from pathlib import Path

from trialfit.checks import Results
from trialfit.doubt import Weighed
from trialfit.findings import Finding

_BY_ROUTE = ("cut-list-*.pdf", "wrap-*.pdf", "order-*.pdf", "order-*.txt")


def put(path: Path, data: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
        os.replace(name, path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise


def written(results: Results, weighed: Sequence[Weighed], found: Sequence[Finding], folder: Path,
            paper: str | None) -> list[tuple[Path, str]]:
    """Write every sheet of a build; returns each file with what it is. Cut lists and templates of routes that the build
    no longer has are taken away from the folder.

    Raises
    ------
    OSError
        when the folder cannot be written
    """
    from trialfit.sheets.whole import build_paper

    files: list[tuple[Path, str]] = []
    today = date.today()
    for name, what, data in build_paper(results, weighed, found, paper or results.build.settings.paper,
                                        f"{today.day} {today:%b %Y}"):
        path = folder / name
        put(path, data)
        files.append((path, what))
    kept = {path for path, _ in files}
    for pattern in _BY_ROUTE:
        for old in folder.glob(pattern):
            if old not in kept:  # of a route that is gone: nobody shall cut from it
                old.unlink()
    return files
