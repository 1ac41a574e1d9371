"""How far apart are two things, now and over all of the travel? And: how does a pipe bend, run and unroll?

In: solids (``solids``), paths of bodies through heave, roll and rock (``paths``), points and radii. Out: signed gaps
with bounds that are certain (``gaps``), scans laid onto hardpoints (``mesh``), bends, centre lines and flat
developments (``bend``, ``centreline``, ``unroll``). All lengths [mm], angles [rad].

Sources stand in the modules; the distance kernels follow Gilbert, Johnson, Keerthi (1988) and van den Bergen (2001),
the scan's fit Arun, Huang, Blostein (1987) and Umeyama (1991). The compiled kernels (``distance``, ``triangles``,
``sweep``) are imported on first use: ``compile_all`` readies them at set-up.
"""

from trialfit.geometry.gaps import (
    Domain,
    GapBound,
    GapError,
    PoseGap,
    Rigid,
    Span,
    certified_gap,
    compile_all,
    gap_at,
)
from trialfit.geometry.paths import PosePath

__all__ = [
    "Domain", "GapBound", "GapError", "PosePath", "PoseGap", "Rigid", "Span", "certified_gap", "compile_all", "gap_at",
]
