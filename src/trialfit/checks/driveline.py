"""The driveline of a build: torque and speed of the shaft first, then the shaft, the gearing, and the orders."""

from trialfit.checks.driveline_answers import DrivelineAnswers, ShaftAnswers, TorqueAnswer
from trialfit.checks.gearing import gearing, top_shaft_rad_s, torque_of, train_of
from trialfit.checks.orders import gear_set_of, orders_of
from trialfit.checks.shaft import Scene, shaft
from trialfit.driveline import GearTrain, Order
from trialfit.findings import Finding, Verdict
from trialfit.standards import rule
from trialfit.vehicle import Build, Power

_MEND = "mend what is named"


def driveline(scene: Scene, found: list[Finding]) -> tuple[DrivelineAnswers | None, tuple[Order, ...]]:
    """Everything about shaft, gearing, ring and pinion, and the two orders; findings are added to ``found``.

    None for a build that says nothing of them. What a trade refuses is told in a finding; nothing raises for what a
    builder may have written.
    """
    build = scene.build
    if build.shaft is None and build.power is None and not build.orders and build.gear_set is None:
        return None, ()
    top, torque = _drive(build, found)
    turning = _shaft(scene, top, torque, found)
    slowest = None if turning is None else turning.whirl_rad_s
    share = rule("whirl-share", scene.choices.get("whirl-share")).in_force.value
    geared = gearing(build, None if slowest is None else share * slowest, found)
    teeth = gear_set_of(build, found)
    orders: tuple[Order, ...] = ()
    try:
        orders = orders_of(build, scene.sizes, turning, geared, scene.choices, found)
    except ValueError as error:
        found.append(Finding("order.refused", Verdict.CANNOT_TELL, f"the orders cannot be made out: {error}", _MEND,
                             where=build.orders[0].where if build.orders else None))  # fmt: skip
    return DrivelineAnswers(turning, geared, teeth), orders


def _drive(build: Build, found: list[Finding]) -> tuple[float | None, TorqueAnswer | None]:
    """Greatest speed of the shaft, and the torque that it sees."""
    power = build.power
    if power is None:
        return None, None
    train = _train(power)
    try:
        top = top_shaft_rad_s(power)
        return top, None if train is None else torque_of(power, train)
    except ValueError as error:
        found.append(Finding("gearing.torque", Verdict.CANNOT_TELL, f"speed and torque of the shaft cannot be worked "
                             f"out: {error}", _MEND, where=power.where))  # fmt: skip
        return None, None


def _train(power: Power) -> GearTrain | None:
    try:
        return train_of(power)
    except ValueError:
        return None  # the gearing's own finding says why


def _shaft(scene: Scene, top: float | None, torque: TorqueAnswer | None, found: list[Finding]) -> ShaftAnswers | None:
    if scene.build.shaft is None:
        return None
    try:
        return shaft(scene, top, torque, found)
    except ValueError as error:
        found.append(Finding("shaft.line", Verdict.CANNOT_TELL, f"the shaft cannot be worked out: {error}", _MEND,
                             where=scene.build.shaft.where))  # fmt: skip
        return None
