"""The records a build is made of: readings, hardpoints, bodies, shapes, suspension, route, and the build itself.

In: nothing. Out: frozen values that every room above hands on. Frame of reference: x rearward from the datum,
y to the right as the driver sits, z up from the floor, millimetre and radian, vehicle at ride height.
Nothing here computes beyond looking a record up.
"""

from trialfit.vehicle.build import Build, GapWish, RuleChoice, Settings
from trialfit.vehicle.pose import IDENTITY, Pose, PosePoint
from trialfit.vehicle.reading import DEFAULT_INSTRUMENTS, Hint, Instrument, Reading, ReadingKind
from trialfit.vehicle.route import Corner, PieCutWish, RoutePlan, StockBend
from trialfit.vehicle.shape import (
    Amount,
    BodyName,
    Box,
    Cone,
    Drum,
    Mesh,
    MeshTie,
    Plate,
    Shape,
    Tube,
)
from trialfit.vehicle.suspension import (
    FourLinksRod,
    LeafSpring,
    LeafSprings,
    Link,
    Mounts,
    Shaft,
    Stops,
    Suspension,
    ThreeLinksRod,
    TriangulatedLinks,
    suspension_points,
)
from trialfit.vehicle.travel import Travel

__all__ = [
    "DEFAULT_INSTRUMENTS", "IDENTITY", "Amount", "BodyName", "Box", "Build", "Cone", "Corner", "Drum", "FourLinksRod",
    "GapWish", "Hint", "Instrument", "LeafSpring", "LeafSprings", "Link", "Mesh", "MeshTie", "Mounts", "PieCutWish",
    "Plate", "Pose", "PosePoint", "Reading", "ReadingKind", "RoutePlan", "RuleChoice", "Settings", "Shaft", "Shape",
    "StockBend", "Stops", "Suspension", "ThreeLinksRod", "Travel", "TriangulatedLinks", "Tube",
    "suspension_points",
]
