"""What torque the shaft will see: no more than the engine gives through first gear, no more than the tyres hold."""

from dataclasses import dataclass

from trialfit.standards import refuse_not_positive, refuse_outside
from trialfit.sums import Ask, a_sum

_MANUAL = "driveline installation service manual, driveshaft torque (maker withheld)"
_GRAVITY_MM_S2 = 9806.65
_CAUTION = (
    "Shock from a dropped clutch or from wheels that grip again can pass both figures. A shaft that breaks can come "
    "through the floor: fit a retainer loop where the rules ask for one, and let a driveline shop confirm the series."
)
GRIP = 0.71
"""share of the axle's weight that the tyres hold in that manual; slicks on a prepared strip hold far more"""
AXLE_SHARE = 0.95
"""share of the torque that the axle hands on, in that manual"""
BOX_SHARES = {"manual": 0.85, "automatic": 0.80}
"""share of the torque that the gearbox hands on in its lowest gear, in that manual"""


@dataclass(frozen=True, slots=True)
class TorqueSeen:
    """The torque in the shaft and why it is no more. ``governs`` is ``low gear`` or ``wheel slip``; ``factor`` has
    been multiplied in, ``factor_origin`` says where it comes from."""

    torque_nmm: float
    governs: str
    low_gear_nmm: float
    wheel_slip_nmm: float
    factor: float
    factor_origin: str


@a_sum(
    "shaft-torque-low-gear",
    title="Torque in the shaft from the engine in lowest gear",
    asks=(
        Ask("engine", "torque", "greatest net torque of the engine; 95 % of the gross figure"),
        Ask("gear", "ratio", "lowest forward gear"),
        Ask("share", "ratio", "share that the gearbox hands on: 0.85 manual, 0.80 automatic", 0.85),
        Ask("converter", "ratio", "stall torque ratio of the converter; 1 with a clutch", 1.0),
        Ask("transfer", "ratio", "low range of the transfer box; 1 without", 1.0),
        Ask("transfer_share", "ratio", "share that the transfer box hands on: 0.95, or 1 without", 1.0),
    ),
    gives="torque in the shaft",
    dimension="torque",
    unit="N*m",
    words="engine * gear * share * converter * transfer * transfer share",
    source=_MANUAL,
    caution=_CAUTION,
)
def shaft_torque_low_gear(
    engine: float, gear: float, share: float, converter: float, transfer: float, transfer_share: float
) -> float:
    """Torque [N*mm] that the engine can put into the shaft in its lowest gear; shock is left out (unsafe side).

    Source: driveline installation service manual, driveshaft torque (maker withheld).

    >>> round(shaft_torque_low_gear(400e3, 3.0, 0.85, 1.0, 1.0, 1.0) / 1e3, 1)
    1020.0
    """
    refuse_not_positive(engine=(engine, "N*m"))
    refuse_outside("gear", gear, 0.5, 20.0, "")
    refuse_outside("share", share, 0.3, 1.0, "")
    refuse_outside("converter", converter, 1.0, 5.0, "")
    refuse_outside("transfer", transfer, 0.5, 10.0, "")
    refuse_outside("transfer share", transfer_share, 0.3, 1.0, "")
    return engine * gear * share * converter * transfer * transfer_share


@a_sum(
    "shaft-torque-wheel-slip",
    title="Torque in the shaft at which the tyres slip",
    asks=(
        Ask("load", "force", "weight on the driven axle, with what moves onto it under power"),
        Ask("radius", "length", "rolling radius of the tyre"),
        Ask("axle", "ratio", "axle ratio"),
        Ask("grip", "ratio", "share of the weight that the tyres hold", GRIP),
        Ask("share", "ratio", "share of the torque that the axle hands on", AXLE_SHARE),
    ),
    gives="torque in the shaft",
    dimension="torque",
    unit="N*m",
    words="grip * load * radius / (axle * share)",
    source=_MANUAL,
    caution=_CAUTION,
)
def shaft_torque_wheel_slip(load: float, radius: float, axle: float, grip: float, share: float) -> float:
    """Torque [N*mm] in the shaft at which both driven wheels slip.

    The manual's grip of 0.71 is that of plain tyres on a dry road; stickier tyres, more weight on the axle under power
    and one wheel that catches again are left out unless put in, and err on the unsafe side.

    Source: driveline installation service manual, driveshaft torque (maker withheld).

    >>> round(shaft_torque_wheel_slip(9000.0, 330.0, 3.73, 0.71, 0.95) / 1e3, 1)
    595.1
    """
    refuse_not_positive(load=(load, "N"), radius=(radius, "mm"))
    refuse_outside("axle", axle, 1.0, 20.0, "")
    refuse_outside("grip", grip, 0.1, 4.0, "")
    refuse_outside("share", share, 0.5, 1.0, "")
    return grip * load * radius / (axle * share)


@a_sum(
    "shaft-torque",
    title="Torque that decides the joint series",
    asks=(
        Ask("low_gear", "torque", "torque in the shaft from the engine in lowest gear"),
        Ask("wheel_slip", "torque", "torque in the shaft at which the tyres slip"),
        Ask("factor", "ratio", "service factor; 1 as in the manual", 1.0),
    ),
    gives="torque in the shaft",
    dimension="torque",
    unit="N*m",
    words="factor * the lower of the two",
    source=_MANUAL,
    caution=_CAUTION,
)
def shaft_torque(low_gear: float, wheel_slip: float, factor: float) -> float:
    """Torque [N*mm] that the shaft and its joints must bear: the lower of the two, times a service factor.

    Source: driveline installation service manual, driveshaft torque (maker withheld).
    """
    refuse_not_positive(low_gear=(low_gear, "N*m"), wheel_slip=(wheel_slip, "N*m"))
    refuse_outside("factor", factor, 1.0, 5.0, "")
    return factor * min(low_gear, wheel_slip)


def torque_seen(
    low_gear_nmm: float,
    wheel_slip_nmm: float,
    factor: float = 1.0,
    factor_origin: str = "1, for the manual holds the torque itself against the series' rating",
) -> TorqueSeen:
    """The torque that decides tube and joints, with which of the two holds it down.

    Parameters
    ----------
    low_gear_nmm, wheel_slip_nmm : float
        from the two sums above [N*mm]
    factor : float
        service factor, 1 to 5 [-]
    factor_origin : str
        where the factor comes from, for the answer

    Raises
    ------
    ValueError
        for an amount out of range

    Source: driveline installation service manual, driveshaft torque (maker withheld).
    """
    governs = "low gear" if low_gear_nmm <= wheel_slip_nmm else "wheel slip"
    return TorqueSeen(
        shaft_torque(low_gear_nmm, wheel_slip_nmm, factor), governs, low_gear_nmm, wheel_slip_nmm, factor, factor_origin
    )


def axle_load_n(mass_kg: float) -> float:
    """Weight [N] of the mass that the driven axle carries.

    >>> round(axle_load_n(900.0))
    8826
    """
    refuse_not_positive(mass=(mass_kg, "kg"))
    return mass_kg * _GRAVITY_MM_S2 / 1000.0
