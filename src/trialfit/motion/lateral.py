"""The lateral rod: how far it pulls the axle sideways."""

import math

from trialfit.motion.error import MotionError
from trialfit.sums import Ask, a_sum


@a_sum(
    "lateral-rod-step",
    title="Side step of an axle on a lateral rod",
    asks=(
        Ask("length", "length", "length of the rod between its joints"),
        Ask("rise", "length", "rise of the axle's end from ride height, bump +"),
        Ask("slope", "length", "height of the axle's end above the frame's end at ride height", 0.0),
    ),
    gives="side step from ride height; + towards the rod's end on the frame",
    dimension="length",
    unit="mm",
    words="sqrt(length^2 - slope^2) - sqrt(length^2 - (slope + rise)^2)",
    source="circle geometry",
    caution="The axle is taken not to roll nor to move fore and aft.",
)
def lateral_rod_step(length: float, rise: float, slope: float = 0.0) -> float:
    """Side step [mm] of the axle's end of a lateral rod towards the frame's end.

    The step fore and aft of the axle is left out, which errs to too small a step.

    Parameters
    ----------
    length : float
        between the joints [mm]
    rise : float
        of the axle's end from ride height [mm]
    slope : float
        height of the axle's end above the frame's end at ride height [mm]

    Raises
    ------
    MotionError
        when the rod cannot reach: the height between its ends must stay below its length

    Source: circle geometry.

    >>> round(lateral_rod_step(800.0, 75.0), 3)
    3.523
    """
    if not (abs(slope) < length and abs(slope + rise) < length):
        raise MotionError(
            f"a rod of {length:.6g} mm cannot have its ends {max(abs(slope), abs(slope + rise)):.6g} mm apart in "
            f"height; less than {length:.6g} mm is possible"
        )
    return math.sqrt(length**2 - slope**2) - math.sqrt(length**2 - (slope + rise) ** 2)
