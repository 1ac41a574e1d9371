"""Invented orders for the tests: no real vehicle, shop or part has these numbers."""

import math

from trialfit.driveline.order_fields import Given
from trialfit.units import internal


def degrees(value, sd=0.2):
    return Given(math.radians(value), math.radians(sd), "digital gauge")


def inner(value, unit, sd, source):
    return Given(internal(value, unit), internal(sd, unit), source)


def changed(answers, over):
    """The answers with some replaced; None takes one out."""
    return {key: value for key, value in {**answers, **over}.items() if value is not None}


def shaft_answers(**over):
    """A whole driveshaft order: one piece, slip yoke in front, flange behind."""
    tape, calliper = "tape, three times", "calliper"
    return changed({
        "job_number": Given("17"), "contact": Given("A. Builder (invented), 000 000"),
        "vehicle": Given("Estate with a pickup's axle (invented)"), "old_part_enclosed": Given("no"),
        "photographs": Given("yes"), "at_ride_height": Given("yes"), "axle_loaded": Given("yes"),
        "kerb_mass": Given(1540.0, 20.0, "scales"), "front_axle_mass": Given(820.0, 10.0, "scales"),
        "rear_axle_mass": Given(720.0, 10.0, "scales"), "use": Given("street and towing"),
        "top_speed": inner(180.0, "km/h", 3.0, "worked out"), "engine_torque": inner(350.0, "N*m", 10.0, "data sheet"),
        "first_gear": Given(3.5, 0.01, "data sheet"), "stall_ratio": Given(1.0, 0.0, "clutch"),
        "transfer_low": Given(1.0, 0.0, "none"), "axle_ratio": Given(3.73, 0.01, "teeth"),
        "tyre_radius": Given(315.0, 3.0, "rolled"),
        "torque_wheel_slip": inner(1900.0, "N*m", 150.0, "axle mass and grip"),
        "max_shaft_speed": inner(5200.0, "rpm", 50.0, "limiter, top gear"), "front_end_type": Given("slip yoke"),
        "spline_count": Given(27.0), "spline_major_diameter": Given(30.2, 0.05, calliper),
        "seal_surface_diameter": Given(38.1, 0.03, calliper), "seal_surface_length": Given(85.0, 0.3, calliper),
        "yoke_barrel_length": Given(110.0, 0.3, calliper), "bottomed_depth": Given(95.0, 0.5, calliper),
        "engaged_bottomed": Given(92.0, 0.6, "paste"), "bottoms_first": Given("barrel at the seal"),
        "rear_end_type": Given("flange"), "rear_pilot_diameter": Given(60.0, 0.03, calliper),
        "rear_pilot_gender": Given("male"), "rear_bolt_circle": Given(95.0, 0.15, calliper),
        "rear_hole_size": Given(10.2, 0.05, calliper), "rear_bolt_count": Given(4.0),
        "rear_face": Given("outer face of the pinion flange"), "rear_face_to_joint": Given(52.0, 0.5, "rule"),
        "front_joint_cap_a": Given(27.0, 0.03, calliper), "front_joint_width_a": Given(81.8, 0.05, calliper),
        "front_joint_cap_b": Given(27.0, 0.03, calliper), "front_joint_width_b": Given(81.8, 0.05, calliper),
        "front_joint_clips": Given("outside"), "front_joint_greaseable": Given("no"),
        "front_double_cardan": Given("no"), "rear_joint_series": Given("as the front joint"),
        "rear_joint_clips": Given("outside"), "rear_joint_greaseable": Given("no"), "rear_double_cardan": Given("no"),
        "length_reference": Given("joint centre to joint centre"), "length_at_ride": Given(1287.0, 1.4, tape),
        "pull_back": Given(22.0, None, "wish"), "bottomed_position": Given(84.0, 0.8, tape),
        "plunge_in": Given(6.0, 1.0, "sweep"), "plunge_out": Given(14.0, 1.4, "sweep"),
        "output_side": degrees(-2.9), "output_plan": degrees(0.1), "shaft_side": degrees(-0.8),
        "shaft_plan": degrees(0.6), "pinion_side": degrees(2.6), "pinion_plan": degrees(0.0),
        "front_joint_angle": degrees(2.1), "rear_joint_angle": degrees(1.8), "droop_joint_angle": degrees(7.4, 0.4),
        "max_tube_diameter": Given(90.0, 1.2, "tunnel"), "tube_diameter": Given(76.2), "tube_wall": Given(2.1),
        "tube_wish": Given("steel, or shop to choose"), "pieces": Given("one piece"),
        "balance_speed": Given(internal(5500.0, "rpm")), "phasing": Given("yokes in line"), "paint": Given("black"),
        "yokes_by": Given("slip yoke by the builder, the rest by the shop"),
    }, over)


def two_pieces(**over):
    """The same vehicle with a centre bearing."""
    return shaft_answers(**{
        "pieces": Given("two pieces"), "front_shaft_length": Given(640.0, 1.2, "tape"),
        "bearing_position": Given(590.0, 1.2, "tape"), "bearing_bolt_spacing": Given(168.0, 0.3, "calliper"),
        "bearing_height_adjust": Given(12.0), "cross_member_drawing": Given("yes"),
        "length_at_ride": Given(820.0, 1.3, "tape"), "front_pull_back": Given(20.0),
        "middle_joint_series": Given("as the front joint"), "middle_joint_clips": Given("outside"),
        "middle_joint_greaseable": Given("no"), "middle_double_cardan": Given("no"), "middle_joint_angle": degrees(1.5),
        **over})


def face_to_face(**over):
    """The same vehicle with a flange at the gearbox and the slip joint in the shaft."""
    gone = ("spline_count", "spline_major_diameter", "seal_surface_diameter", "seal_surface_length", "bottomed_depth",
            "yoke_barrel_length", "engaged_bottomed", "bottoms_first", "bottomed_position")
    return shaft_answers(**{
        **dict.fromkeys(gone), "front_end_type": Given("flange"), "front_pilot_diameter": Given(60.0, 0.03, "calliper"),
        "front_pilot_gender": Given("female"), "front_bolt_circle": Given(95.0, 0.1, "calliper"),
        "front_hole_size": Given(10.2, 0.05, "calliper"), "front_bolt_count": Given(4.0),
        "front_face": Given("rear face of the gearbox flange"), "front_face_to_joint": Given(48.0, 0.5, "rule"),
        "length_reference": Given("face to face"), "length_at_ride": Given(1402.0, 1.4, "tape"), **over})


def axle_answers(**over):
    """A whole order to the differential shop."""
    tape = "tape, shaft out"
    return changed({
        "contact": Given("A. Builder (invented), 000 000"), "vehicle": Given("Estate with a pickup's axle (invented)"),
        "old_part_enclosed": Given("yes"), "photographs": Given("yes"), "ring_gear_diameter": Given(224.0, 0.5, "rule"),
        "housing_style": Given("rear cover"), "tag_numbers": Given("invented 12-34"), "ring_teeth": Given(41.0),
        "pinion_teeth": Given(11.0), "turns_test": Given(3.72, 0.02, "ten turns"), "ratio_wanted": Given(3.31),
        "carrier_least": Given(2.8), "carrier_most": Given(3.5), "thick_gear": Given("no"),
        "ring_bolts": Given("M10 x 1"), "ring_bolts_left": Given("yes"), "shaft_splines": Given(28.0),
        "shaft_spline_diameter": Given(30.2, 0.05, "calliper"), "shaft_retention": Given("bolted flange"),
        "left_shaft_length": Given(742.0, 1.0, tape), "right_shaft_length": Given(768.0, 1.0, tape),
        "carrier_type": Given("limited slip"), "clutch_additive": Given("by the carrier's sheet"),
        "yoke": Given("flange, 4 holes on 95 mm"), "yoke_final": Given("yes"), "pinion_splines": Given(29.0),
        "joint_series": Given("cap 27.0, width 81.8 mm"), "pinion_nut": Given("new, M20 x 1.5"),
        "pinion_seal": Given("new"), "bearing_kit": Given("all new"), "sleeve": Given("crush sleeve"),
        "use": Given("street and towing"), "engine_torque": inner(350.0, "N*m", 10.0, "data sheet"),
        "tyre": Given("225/70R15"), "towing": Given("1500 kg"), "oil_type": Given("by the axle's sheet, with additive"),
        "housing_straight": Given("yes"), "housing_welded": Given("yes"), "ends_checked": Given("yes"),
        "backlash_wanted": Given("0.15 to 0.25 mm"), "preload_wanted": Given("1.8 to 2.6 N m, new bearings"),
    }, over)
