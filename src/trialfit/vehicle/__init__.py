"""The records a build is made of: readings, hardpoints, bodies, shapes, suspension, route, and the build itself.

In: nothing. Out: frozen values that every room above hands on. Frame of reference: x rearward from the datum,
y to the right as the driver sits, z up from the floor, millimetre and radian, vehicle at ride height.
Nothing here computes beyond looking a record up.
"""

from trialfit.parts import Fact
from trialfit.vehicle.assembly import ChainWish, LayerSaid, MateSaid, PortAt
from trialfit.vehicle.build import Build, GapWish, RuleChoice, Settings
from trialfit.vehicle.driveline import (
    GearSetSaid,
    OrderAnswer,
    OrderSaid,
    Peak,
    Power,
    Shaft,
    ShaftBearing,
    ShaftJoint,
    ShaftSpline,
    ShaftTubeWish,
    SpeedometerFacts,
    SpringSeat,
    StallFacts,
    TurnsFacts,
    TyreFacts,
    Use,
)
from trialfit.vehicle.making import (
    BracketSaid,
    BranchSaid,
    CarriedSaid,
    CoverSaid,
    GasSaid,
    HangersSaid,
    HangPointSaid,
    HungAtSaid,
    MakingSaid,
    PartedSaid,
    RailSaid,
    RubberSaid,
    SensorSaid,
    StandsSaid,
    StickSaid,
    TubeSaid,
)
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
    Stops,
    Suspension,
    ThreeLinksRod,
    TriangulatedLinks,
    suspension_points,
)
from trialfit.vehicle.travel import Travel
from trialfit.vehicle.wanted import (
    BendWish,
    ExitWish,
    KeepOut,
    LaidPart,
    PartWish,
    PipeWish,
    RouteWish,
    Worth,
    ZoneWish,
)

__all__ = [
    "Amount", "BendWish", "BodyName", "Box", "BracketSaid", "BranchSaid", "Build", "CarriedSaid", "ChainWish",
    "Cone", "Corner", "CoverSaid", "DEFAULT_INSTRUMENTS", "Drum", "ExitWish", "Fact", "FourLinksRod", "GapWish",
    "GasSaid", "GearSetSaid", "HangPointSaid", "HangersSaid", "Hint", "HungAtSaid", "IDENTITY", "Instrument", "KeepOut",
    "LaidPart", "LayerSaid", "LeafSpring", "LeafSprings", "Link", "MakingSaid", "MateSaid", "Mesh", "MeshTie",
    "Mounts", "OrderAnswer", "OrderSaid", "PartWish", "PartedSaid", "Peak", "PieCutWish", "PipeWish", "Plate",
    "PortAt", "Pose", "PosePoint", "Power", "RailSaid", "Reading", "ReadingKind", "RoutePlan", "RouteWish",
    "RubberSaid", "RuleChoice", "SensorSaid", "Settings", "Shaft", "ShaftBearing", "ShaftJoint", "ShaftSpline",
    "ShaftTubeWish", "Shape", "SpeedometerFacts", "SpringSeat", "StallFacts", "StandsSaid", "StickSaid",
    "StockBend", "Stops", "Suspension", "ThreeLinksRod", "Travel", "TriangulatedLinks", "Tube", "TubeSaid",
    "TurnsFacts", "TyreFacts", "Use", "Worth", "ZoneWish", "suspension_points",
]
