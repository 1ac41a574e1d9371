"""Does the shaft run true and fast enough, and what road speed comes of it?

In: angles, sizes and speeds in the house's internal units, or a tyre's size code. Out: speed swing and couples of
universal joints, whirling speeds, slip joint movement, tyre sizes and road speeds, each a sum that can be worked
alone. Sources: kinematics of the Hooke joint; Mechanical Engineer's Data Handbook; UN Regulation No. 30.
"""

from trialfit.driveline.joint import (
    joint_compound_angle,
    joint_equivalent_angle,
    joint_output_turn,
    joint_pair_ratio,
    joint_speed_ratio,
)
from trialfit.driveline.plunge import shaft_plunge
from trialfit.driveline.speed import axle_ratio_for_speed, engine_speed, road_speed
from trialfit.driveline.tyre import TyreSize, rolling_circumference, tyre_diameter, tyre_size
from trialfit.driveline.whirl import tube_whirl, tube_whirl_length

__all__ = [
    "TyreSize",
    "axle_ratio_for_speed",
    "engine_speed",
    "joint_compound_angle",
    "joint_equivalent_angle",
    "joint_output_turn",
    "joint_pair_ratio",
    "joint_speed_ratio",
    "road_speed",
    "rolling_circumference",
    "shaft_plunge",
    "tube_whirl",
    "tube_whirl_length",
    "tyre_diameter",
    "tyre_size",
]
