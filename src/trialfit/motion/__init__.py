"""Where do the axle, the wheels and the engine go, and what do links, dampers and the shaft do on the way?

In: the suspension, stops, mounts and shapes of a ``vehicle.Build``, and the hardpoints' places and sizes from the
survey. Out: a ``vehicle.Travel`` (poses as series over heave, roll and rock), a :class:`Story` of lengths and angles
over the travel, and single poses for whoever shifts hardpoints to carry doubt.

Sources: loop closure by Newton's method with continuation (see ``closing``); leaf springs by SAE HS-788, three-link
equivalent, from memory, and beam theory (see ``leaves``).
"""

from trialfit.motion.axle import (
    Axle,
    AxlePoses,
    axle_of,
    axle_pose,
    compile_all,
    give_mm,
    joint_closure,
    reference_point,
    rods_of,
    solve,
    solve_pose,
)
from trialfit.motion.engine import rock
from trialfit.motion.error import MotionError
from trialfit.motion.lateral import lateral_rod_step
from trialfit.motion.leaves import leaf_arc_length, seat_path_radius, seat_wind_rate
from trialfit.motion.story import Reach, SpanStory, Story, StoryRow, story
from trialfit.motion.sweep import pose_of, roll_limit, travel, wheel_centres

__all__ = [
    "Axle", "AxlePoses", "MotionError", "Reach", "SpanStory", "Story", "StoryRow", "axle_of", "axle_pose",
    "compile_all", "give_mm", "joint_closure", "lateral_rod_step", "leaf_arc_length", "pose_of", "reference_point",
    "rock", "rods_of", "roll_limit", "seat_path_radius", "seat_wind_rate", "solve", "solve_pose", "story", "travel",
    "wheel_centres",
]
