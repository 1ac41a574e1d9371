"""Triangle meshes from a phone scan: out of a file's bytes, and laid onto hardpoints."""

import io
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from trialfit.geometry.solids import LARGEST_MM, MOST_TRIANGLES, Floats, TriangleMesh

FILE_TYPES = ("stl", "obj", "ply", "glb")
MOST_BYTES = 400_000_000
LEAST_SPREAD = 0.02
"""Ties whose second spread is below this share of their first lie too nearly on one line to hold a scan"""


class MeshError(ValueError):
    """A scan cannot be read or laid; the message says why and how to mend it."""


@dataclass(frozen=True, slots=True, eq=False)
class RawMesh:
    """Surface in the file's own units and axes: ``vertices`` (n, 3), ``triangles`` (m, 3) indices."""

    vertices: Floats
    triangles: NDArray[np.int64]

    def laid(self, alignment: "Alignment") -> TriangleMesh:
        """The surface in the vehicle's frame [mm], ready to be measured against."""
        return TriangleMesh(alignment.move(self.vertices), self.triangles)


@dataclass(frozen=True, slots=True, eq=False)
class Alignment:
    """``p -> scale * rotation @ p + shift`` from the file to the vehicle, with what each tie is off by.

    ``rotation`` (3, 3) [-], ``shift`` (3,) [mm], ``scale`` [mm per unit of the file], ``residuals_mm`` (n,) distances,
    ``rms_mm`` their root mean square.
    """

    rotation: Floats
    shift: Floats
    scale: float
    residuals_mm: Floats
    rms_mm: float

    def move(self, points: ArrayLike) -> Floats:
        """Points (n, 3) of the file in the vehicle's frame [mm]."""
        moved: Floats = self.scale * np.asarray(points, dtype=np.float64) @ self.rotation.T + self.shift
        return moved


def mesh_from_bytes(data: bytes, file_type: str) -> RawMesh:
    """Triangles of a scan from the bytes of its file.

    Colours, textures and normals are left out; a file of several parts becomes one surface. Triangles without area
    are dropped: they have no surface to touch.

    Parameters
    ----------
    data : bytes
        the whole file
    file_type : str
        "stl", "obj", "ply" or "glb", with or without a dot, any case

    Raises
    ------
    MeshError
        another type, no or broken content, no triangle, a value that is no number, more than 2,000,000 triangles
    """
    kind = file_type.lower().lstrip(".")
    if kind not in FILE_TYPES:
        raise MeshError(f"a scan must be one of {', '.join(FILE_TYPES)}, not {file_type!r}: export it again as one")
    if not data:
        raise MeshError("the scan's file is empty: export it again")
    if len(data) > MOST_BYTES:
        raise MeshError(f"the scan's file has {len(data)} bytes, more than {MOST_BYTES}: thin it out and export again")
    _count_before_reading(data, kind)
    vertices, triangles = _read(data, kind)
    if len(triangles) == 0:
        raise MeshError("the scan holds no triangles (points or lines alone?): export it as a surface")
    if len(triangles) > MOST_TRIANGLES:
        raise MeshError(_too_many(len(triangles)))
    if triangles.min() < 0 or triangles.max() >= len(vertices):
        raise MeshError("the scan's triangles name corners that are not in the file: export it again")
    if not np.all(np.isfinite(vertices)):
        bad = int(np.sum(~np.isfinite(vertices).all(axis=1)))
        raise MeshError(f"{bad} of the scan's {len(vertices)} corners are not numbers: mend or export it again")
    if np.abs(vertices).max() > LARGEST_MM * 1e3:
        raise MeshError(f"the scan reaches {np.abs(vertices).max():.3g} units from its origin: move it to the origin")
    corners = vertices[triangles]
    twice_area = np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1)
    whole = twice_area > 0.0
    if not np.any(whole):
        raise MeshError("every triangle of the scan is without area: export it again")
    return RawMesh(vertices, triangles[whole])


def _too_many(count: int) -> str:
    return f"the scan has {count} triangles, more than {MOST_TRIANGLES}: thin it out and export it again"


def _count_before_reading(data: bytes, kind: str) -> None:
    """Refuse a file whose header promises too much before any memory is given to it."""
    if kind == "stl" and len(data) >= 84 and data[:5].lower() != b"solid":
        count = int.from_bytes(data[80:84], "little")
        if count > MOST_TRIANGLES:
            raise MeshError(_too_many(count))
        if 84 + 50 * count > len(data):
            raise MeshError(f"the scan's file promises {count} triangles and breaks off before them: copy it again")
    if kind == "ply":
        for line in data[:4096].split(b"\n"):
            words = line.split()
            faces = len(words) == 3 and words[:2] == [b"element", b"face"] and words[2].isdigit()
            if faces and int(words[2]) > MOST_TRIANGLES:
                raise MeshError(_too_many(int(words[2])))
    if kind == "glb" and data[:4] != b"glTF":
        raise MeshError("the scan is not a GLB file whatever its name says: export it again")


def _read(data: bytes, kind: str) -> tuple[Floats, NDArray[np.int64]]:
    import trimesh

    try:
        loaded = trimesh.load(io.BytesIO(data), file_type=kind, process=False, skip_materials=True)
        if isinstance(loaded, trimesh.Scene):
            parts = [part for part in loaded.dump() if isinstance(part, trimesh.Trimesh)]
        else:
            parts = [loaded] if isinstance(loaded, trimesh.Trimesh) else []
        vertices = [np.array(part.vertices, dtype=np.float64).reshape(-1, 3) for part in parts]
        triangles = [np.array(part.faces, dtype=np.int64).reshape(-1, 3) for part in parts]
    except Exception as fault:
        # Whatever the reader trips over in a broken file, the builder gets one sentence.
        what = type(fault).__name__
        raise MeshError(f"the scan cannot be read as {kind.upper()} ({what}): export it again") from fault
    if not parts:
        return np.zeros((0, 3)), np.zeros((0, 3), dtype=np.int64)
    starts = np.cumsum([0, *(len(part) for part in vertices[:-1])])
    joined = np.vstack([part + start for part, start in zip(triangles, starts, strict=True)])
    return np.vstack(vertices), joined


def align(points_file: ArrayLike, points_hardpoints: ArrayLike, scale: float | None = None) -> Alignment:
    """Lay a scan onto hardpoints by least squares over three or more ties.

    All ties count alike; the doubt of the hardpoints is left out and shows in the residuals. With three ties the fit
    cannot be checked well, and a swapped pair of ties shows as a large residual only when the distances differ.

    Parameters
    ----------
    points_file : (n, 3)
        points in the file [its own units]
    points_hardpoints : (n, 3)
        the same points on the vehicle [mm]
    scale : float or None
        mm per unit of the file; None lets the ties find it

    Raises
    ------
    MeshError
        fewer than three ties, ties on one line, a scan that fits only as its mirror image (four or more ties),
        scale not above 0

    Source: K. S. Arun, T. S. Huang, S. D. Blostein, IEEE PAMI 9 (1987) 698; scale: S. Umeyama, IEEE PAMI 13 (1991) 376
    (both from memory).

    Examples
    --------
    >>> found = align([[0, 0, 0], [1, 0, 0], [0, 2, 0]], [[5, 0, 0], [5, 10, 0], [-15, 0, 0]])
    >>> round(found.scale, 6), round(found.rms_mm, 6)
    (10.0, 0.0)
    """
    file = np.array(points_file, dtype=np.float64)
    vehicle = np.array(points_hardpoints, dtype=np.float64)
    if file.ndim != 2 or file.shape[1:] != (3,) or file.shape != vehicle.shape:
        raise MeshError(f"ties come in pairs of three coordinates each, got {file.shape} and {vehicle.shape}")
    if len(file) < 3:
        raise MeshError(f"a scan needs three or more ties, it has {len(file)}: tie it to more hardpoints")
    if not (np.all(np.isfinite(file)) and np.all(np.isfinite(vehicle))):
        raise MeshError("every coordinate of a tie must be a finite number")
    if scale is not None and not (np.isfinite(scale) and scale > 0.0):
        raise MeshError(f"scale {scale} must be above 0 mm per unit of the file")
    file_middle, vehicle_middle = file.mean(axis=0), vehicle.mean(axis=0)
    from_file, to_vehicle = file - file_middle, vehicle - vehicle_middle
    for spread, where in ((from_file, "in the file"), (to_vehicle, "on the vehicle")):
        wide = np.linalg.svd(spread, compute_uv=False)
        if wide[0] <= 0.0 or wide[1] < LEAST_SPREAD * wide[0]:
            raise MeshError(f"the scan's ties lie on one line {where}: tie it to a hardpoint well off that line")
    left, strengths, right = np.linalg.svd(to_vehicle.T @ from_file)
    hand = np.array((1.0, 1.0, 1.0 if np.linalg.det(left @ right) >= 0.0 else -1.0))
    rotation = left * hand @ right
    spread_file = float(np.sum(from_file**2))
    found = float(strengths @ hand) / spread_file
    factor = found if scale is None else float(scale)
    if factor <= 0.0:
        raise MeshError("the ties do not fit the scan at any size: look for swapped ties")
    off = np.linalg.norm(factor * from_file @ rotation.T - to_vehicle, axis=1)
    rms = float(np.sqrt(np.mean(off**2)))
    if hand[2] < 0.0:
        mirrored = np.linalg.norm(factor * from_file @ (left @ right).T - to_vehicle, axis=1)
        # Flat sets of ties fit their mirror image just as well; only a clearly better mirror is one.
        size = float(np.sqrt(np.mean(np.sum(to_vehicle**2, axis=1))))
        if np.sqrt(np.mean(mirrored**2)) < 0.5 * rms and rms > LEAST_SPREAD * size:
            raise MeshError(
                f"the scan fits its ties only as a mirror image (off by {rms:.1f} mm, mirrored by "
                f"{np.sqrt(np.mean(mirrored**2)):.1f} mm): left and right are swapped in the ties, or an axis was "
                "turned round on export"
            )
    shift = vehicle_middle - factor * rotation @ file_middle
    return Alignment(rotation, shift, factor, off, rms)
