"""The scan files that a build names."""

from pathlib import Path

from trialfit.vehicle import Build, Mesh

LARGEST_SCAN_BYTES = 400_000_000
"""Largest scan that is read [bytes]."""


def scans(build: Build, folder: Path) -> dict[str, bytes]:
    """Bytes of the scan files that stand in the build file's folder; missing ones are left to a finding."""
    found: dict[str, bytes] = {}
    for shape in build.shapes:
        if isinstance(shape, Mesh):
            path = (folder / shape.file).resolve()
            inside = path.is_relative_to(folder.resolve())
            if inside and path.is_file() and path.stat().st_size <= LARGEST_SCAN_BYTES:
                found[shape.file] = path.read_bytes()
    return found
