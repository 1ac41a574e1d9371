"""Does the shaft run true and fast enough, what comes of the gearing, and what do the two shops have to be told?

In: a shaft's line with the travel it follows, angles, sizes and speeds in the house's internal units, or a tyre's size
code, an engine curve and the ratios from gearbox to axle. Out: joint angles and what they do to the turning, slip left,
whirling speeds, tubes, the pinion's angle, joint series, tyre sizes, road speeds, shift and launch, top speed, wheel
slip, a ranking of axle ratios, an axle's ratio from counted turns, what puts a speedometer right, and the orders to
driveshaft and differential shop as records; the settings of ring and pinion stand in ``ring_and_pinion``. Each sum can
be worked alone. Sources: kinematics of the Hooke joint; Mechanical Engineer's Data Handbook; UN Regulations No. 30, 39
and 54; Principles of Highway Engineering and Traffic Analysis; classical laminate theory.
"""

from trialfit.driveline.converter import Converter, converter_from_stall, stall_speed
from trialfit.driveline.engagement import SlipAnswer, SlipJoint, slip_answer
from trialfit.driveline.engine_curve import EngineCurve, engine_from_peaks, engine_from_points
from trialfit.driveline.gearing import (
    Cruise,
    Effort,
    GearLine,
    GearTrain,
    Launch,
    TopSpeed,
    best_effort,
    cruise,
    effort_at,
    effort_curve,
    fastest_in,
    gear_lines,
    launch,
    top_speed,
    top_speed_in,
)
from trialfit.driveline.joint import (
    joint_compound_angle,
    joint_equivalent_angle,
    joint_output_turn,
    joint_pair_ratio,
    joint_speed_ratio,
)
from trialfit.driveline.joint_angles import (
    AngleDoubt,
    Angles,
    BearingLoads,
    JointAngle,
    angle_answers,
    angles,
    bearing_loads,
    doubt_from_points,
    joint_names,
)
from trialfit.driveline.joint_series import (
    Cross,
    Pair,
    join,
    series_for,
    tell_cross,
    tell_pair,
)
from trialfit.driveline.laminate import Ply, Wound, WoundRange, listed_plies, wound, wound_range
from trialfit.driveline.order import differential_order, shaft_order
from trialfit.driveline.order_fields import Check, Doubt, Field, Given, Order, asked_fields
from trialfit.driveline.pattern import (
    Along,
    Contact,
    Height,
    pattern_rows,
    pinion_shim_change,
    read_pattern,
    shim_places,
)
from trialfit.driveline.phasing import (
    Swing,
    acceleration_rad_s2,
    joint_pair_in_space,
    joint_phase_for_planes,
    swing,
    turns_behind,
)
from trialfit.driveline.pinion_setting import (
    PinionSetting,
    SettingLoss,
    Wedge,
    best_setting,
    pinion_inclination_rad,
    wedge_for,
)
from trialfit.driveline.plunge import shaft_plunge
from trialfit.driveline.plunge_range import Bracket, PlungeRange, no_slip_reason, plunge_range
from trialfit.driveline.ranking import (
    Band,
    CruiseWish,
    Held,
    LaunchWish,
    Ranked,
    ShaftWish,
    TowWish,
    rank_axle_ratios,
    trade_bands,
)
from trialfit.driveline.road_load import RoadLoad, wheel_slip_effort
from trialfit.driveline.rule_answers import RuleAnswer, gauge_sd_rad, hold, settling_gauge
from trialfit.driveline.shaft_line import CentreBearing, Length, Places, ShaftEnd, ShaftLine, Slip, places, ride_lengths
from trialfit.driveline.speed import axle_ratio_for_speed, engine_speed, road_speed
from trialfit.driveline.speedometer import (
    DrivenGear,
    GearChoice,
    PulseSetting,
    SpeedometerCheck,
    driven_gear,
    pulse_setting,
    speedometer_after_change,
    speedometer_check,
)
from trialfit.driveline.torque_seen import (
    TorqueSeen,
    axle_load_n,
    shaft_torque_low_gear,
    shaft_torque_wheel_slip,
    torque_seen,
)
from trialfit.driveline.tube_choice import (
    OnePiece,
    Room,
    ShaftTube,
    TubeAnswer,
    TubeCase,
    choose_tubes,
    hold_tube,
    listed_tubes,
    one_piece,
)
from trialfit.driveline.turns_test import AxleTold, CommonRatio, TurnsAnswer, common_axle_ratios, turns_test
from trialfit.driveline.tyre import (
    Tyre,
    TyreSize,
    old_code_diameter_mm,
    rolling_circumference,
    rolling_rule,
    tyre_diameter,
    tyre_from_code,
    tyre_from_rollout,
    tyre_layout,
    tyre_size,
)
from trialfit.driveline.whirl import (
    shaft_speed_from_road,
    shaft_speed_top,
    tube_torsion_buckling,
    tube_whirl,
    tube_whirl_length,
)
from trialfit.driveline.whirl_model import (
    ExtraMissing,
    Lump,
    Piece,
    Stretch,
    Support,
    Whirl,
    WhirlMargin,
    tube_piece,
    whirl,
    whirl_margin,
)
from trialfit.standards.joint_series import Series, listed_series, series_called

__all__ = [
    "Along", "AngleDoubt", "Angles", "AxleTold", "Band", "BearingLoads", "Bracket", "CentreBearing", "Check",
    "CommonRatio", "Contact", "Converter", "Cross", "Cruise", "CruiseWish", "Doubt", "DrivenGear", "Effort",
    "EngineCurve", "ExtraMissing", "Field", "GearChoice", "GearLine", "GearTrain", "Given", "Height", "Held",
    "JointAngle", "Launch", "LaunchWish", "Length", "Lump", "OnePiece", "Order", "Pair", "Piece", "PinionSetting",
    "Places", "PlungeRange", "Ply", "PulseSetting", "Ranked", "RoadLoad", "Room", "RuleAnswer", "Series", "SettingLoss",
    "ShaftEnd", "ShaftLine", "ShaftTube", "ShaftWish", "Slip", "SlipAnswer", "SlipJoint", "SpeedometerCheck", "Stretch",
    "Support", "Swing", "TopSpeed", "TorqueSeen", "TowWish", "TubeAnswer", "TubeCase", "TurnsAnswer", "Tyre",
    "TyreSize", "Wedge", "Whirl", "WhirlMargin", "Wound", "WoundRange", "acceleration_rad_s2", "angle_answers",
    "angles", "asked_fields", "axle_load_n", "axle_ratio_for_speed", "bearing_loads", "best_effort", "best_setting",
    "choose_tubes", "common_axle_ratios", "converter_from_stall", "cruise", "differential_order", "doubt_from_points",
    "driven_gear", "effort_at", "effort_curve", "engine_from_peaks", "engine_from_points", "engine_speed", "fastest_in",
    "gauge_sd_rad", "gear_lines", "hold", "hold_tube", "join", "joint_compound_angle", "joint_equivalent_angle",
    "joint_names", "joint_output_turn", "joint_pair_in_space", "joint_pair_ratio", "joint_phase_for_planes",
    "joint_speed_ratio", "launch", "listed_plies", "listed_series", "listed_tubes", "no_slip_reason",
    "old_code_diameter_mm", "one_piece", "pattern_rows", "pinion_inclination_rad", "pinion_shim_change", "places",
    "plunge_range", "pulse_setting", "rank_axle_ratios", "read_pattern", "ride_lengths", "road_speed",
    "rolling_circumference", "rolling_rule", "series_called", "series_for", "settling_gauge", "shaft_order",
    "shaft_plunge", "shaft_speed_from_road", "shaft_speed_top", "shaft_torque_low_gear", "shaft_torque_wheel_slip",
    "shim_places", "slip_answer", "speedometer_after_change", "speedometer_check", "stall_speed", "swing", "tell_cross",
    "tell_pair", "top_speed", "top_speed_in", "torque_seen", "trade_bands", "tube_piece", "tube_torsion_buckling",
    "tube_whirl", "tube_whirl_length", "turns_behind", "turns_test", "tyre_diameter", "tyre_from_code",
    "tyre_from_rollout", "tyre_layout", "tyre_size", "wedge_for", "wheel_slip_effort", "whirl", "whirl_margin", "wound",
    "wound_range",
]
