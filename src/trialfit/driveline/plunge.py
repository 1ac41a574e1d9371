"""How far a slip joint moves as the axle goes up and down."""

import math

from trialfit.standards import refuse_not_positive, refuse_outside
from trialfit.sums import Ask, a_sum


@a_sum(
    "shaft-plunge",
    title="Movement of the slip joint for a straight lift of the axle",
    asks=(
        Ask("length", "length", "distance between the middles of the joints at ride height"),
        Ask("drop", "length", "height of the front joint above the rear one at ride height"),
        Ask("lift", "length", "rise of the rear joint; negative for droop"),
        Ask("forward", "length", "how far the rear joint also moves forward on the way; negative for back", 0.0),
    ),
    gives="shortening of the shaft; negative pulls the slip joint out",
    dimension="length",
    unit="mm",
    words="length - sqrt((run - forward)^2 + (drop - lift)^2), run being the length's share along the vehicle",
    source="geometry",
    caution="A slip joint that bottoms breaks the gearbox; one that pulls out lets the shaft fall. Check both at full "
    "bump and full droop on the vehicle, springs off.",
)
def shaft_plunge(length: float, drop: float, lift: float, forward: float) -> float:
    """Shortening [mm] of the shaft when the axle moves; the axle's own turning is left out.

    Source: geometry.

    >>> round(shaft_plunge(1300.0, 60.0, -75.0, 0.0), 1), round(shaft_plunge(1300.0, 60.0, 75.0, 0.0), 1)
    (-5.6, 1.3)
    """
    refuse_not_positive(length=(length, "mm"))
    refuse_outside("drop", drop, -length, length, "mm")
    run = math.sqrt(length**2 - drop**2) - forward
    return length - math.hypot(run, drop - lift)
