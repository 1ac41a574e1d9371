"""How much pressure it takes to push the gas through a pipe, its bends and what sits in it."""

import math

from trialfit.standards import refuse_not_positive, refuse_outside
from trialfit.sums import Ask, a_sum

GAS_CONSTANT_J_KG_K = 287.0
"""Specific gas constant of dry air [J/(kg*K)]; exhaust gas lies within 2 % of it. From memory."""
OUTSIDE_MPA = 0.101325
"""Pressure of the air at sea level [MPa]; standard atmosphere, exact by definition."""
ROUGHNESS_MM = 0.045
"""Height of the roughness of drawn or welded steel tube, new [mm]; handbooks' usual figure, from memory."""

_SUTHERLAND_PA_S_K = 1.458e-6
_SUTHERLAND_K = 110.4
_FLOW = Ask("flow", "mass-flow", "mass flow of the gas")
_HEAT = Ask("temperature", "temperature", "mean temperature of the gas")
_BORE = Ask("bore", "length", "inside diameter of the pipe")


def viscosity_pa_s(temperature: float) -> float:
    """Dynamic viscosity of air [Pa*s] at ``temperature`` [K], 200 to 1900 K; that of exhaust gas is within a tenth.

    Raises
    ------
    ValueError
        outside 200 to 1900 K

    Source: Sutherland's law with the constants of the standard atmosphere (from memory).

    >>> round(viscosity_pa_s(800.0) * 1e6, 1)
    36.2
    """
    refuse_outside("gas temperature", temperature, 200.0, 1900.0, "K")
    return float(_SUTHERLAND_PA_S_K * temperature**1.5 / (temperature + _SUTHERLAND_K))


@a_sum(
    "exhaust-velocity-head",
    title="Velocity head of the gas in a pipe",
    asks=(_FLOW, _HEAT, _BORE),
    gives="velocity head, half the density times the speed squared",
    dimension="pressure",
    unit="kPa",
    words="flow^2 / (2 * density * area^2), density of air at sea level and the gas's temperature",
    source="physics, ideal gas (from memory)",
)
def velocity_head(flow: float, temperature: float, bore: float) -> float:
    """Velocity head [MPa] of a steady flow of gas. The beat of the cylinders and the pressure's own effect on the
    density (a few per cent in a street exhaust) are left out.

    Parameters
    ----------
    flow : float
        up to 2 [kg/s]
    temperature : float
        200 to 1900 [K]
    bore : float
        inside diameter [mm]

    Raises
    ------
    ValueError
        for an amount out of range

    Source: physics, ideal gas (from memory).

    >>> round(velocity_head(0.12, 800.0, 60.5) * 1000.0, 3)
    1.974
    """
    refuse_outside("flow", flow, 0.0, 2.0, "kg/s")
    refuse_outside("gas temperature", temperature, 200.0, 1900.0, "K")
    refuse_not_positive(bore=(bore, "mm"))
    density = OUTSIDE_MPA * 1e6 / (GAS_CONSTANT_J_KG_K * temperature)
    area_m2 = math.pi / 4.0 * (bore * 1e-3) ** 2
    return flow**2 / (2.0 * density * area_m2**2) * 1e-6


@a_sum(
    "pipe-friction-factor",
    title="Friction factor of gas in a round pipe",
    asks=(_FLOW, _HEAT, _BORE),
    gives="Darcy friction factor",
    dimension="number",
    unit="",
    words="1/sqrt(f) = -1.8 * log10((roughness / (3.7 * bore))^1.11 + 6.9/Re), roughness 0.045 mm",
    source="S. E. Haaland, Simple and explicit formulas for the friction factor in turbulent pipe flow, 1983 (from "
           "memory)",
)
def friction_factor(flow: float, temperature: float, bore: float) -> float:
    """Darcy friction factor [-] of gas in a round pipe, turbulent flow. Rust and soot make it larger.

    Parameters
    ----------
    flow : float
        mass flow [kg/s]
    temperature : float
        [K]
    bore : float
        inside diameter [mm]

    Raises
    ------
    ValueError
        for an amount out of range, or a flow too slow to be turbulent (Re below 4000)

    Source: S. E. Haaland, Simple and explicit formulas for the friction factor in turbulent pipe flow, 1983 (from
    memory); within 2 % of Colebrook and White.

    >>> round(friction_factor(0.12, 800.0, 60.5), 4)
    0.0219
    """
    refuse_not_positive(bore=(bore, "mm"))
    reynolds = 4.0 * flow / (math.pi * bore * 1e-3 * viscosity_pa_s(temperature))
    if not reynolds >= 4000.0:
        raise ValueError(f"Reynolds number is {reynolds:.0f}; the flow is turbulent, as the formula asks, from 4000 on")
    rough = (ROUGHNESS_MM / (3.7 * bore)) ** 1.11
    return float((-1.8 * math.log10(rough + 6.9 / reynolds)) ** -2)


@a_sum(
    "bend-pressure-loss",
    title="Pressure loss of a bend, in velocity heads",
    asks=(
        Ask("angle", "angle", "turn of the bend"),
        Ask("radius", "length", "radius of the bend's centre line"),
        _BORE,
        Ask("pieces", "number", "pieces of a pie-cut bend, its two half ones counted; 0 for a smooth bend", 0.0),
    ),
    gives="loss coefficient, friction along the bend not counted",
    dimension="number",
    unit="",
    words="(0.2 + 0.8 * angle/90 deg) * 0.21 * (radius/bore)^-0.5, or ^-2.5 for a radius under one bore; a pie-cut "
          "bend at least joints * (0.946 * sin^2(turn/2) + 2.047 * sin^4(turn/2))",
    source="I. E. Idelchik, Handbook of Hydraulic Resistance, 3rd ed., diagram 6-1 (from memory)",
)
def bend_loss(angle: float, radius: float, bore: float, pieces: float = 0.0) -> float:
    """Loss coefficient [-] of a bend in round pipe, friction along it not counted.

    The handbook's curve over the angle is taken as a straight line: from 20 to 110 deg it is off by no more than 0.07
    of the loss at 90 deg, elsewhere it says too much. What bends close after each other do to each other is left
    out.

    Parameters
    ----------
    angle : float
        turn of the bend, up to pi [rad]
    radius : float
        of the centre line, half a bore or more [mm]
    bore : float
        inside diameter [mm]
    pieces : float
        of a pie-cut bend; 0 for a smooth one [-]

    Raises
    ------
    ValueError
        for an amount out of range

    Source: I. E. Idelchik, Handbook of Hydraulic Resistance, 3rd ed., diagram 6-1 (from memory); pie-cut joints J.
    Weisbach, 1855 (from memory).

    >>> round(bend_loss(math.pi / 2, 90.0, 60.0), 3)
    0.171
    """
    refuse_outside("turn", angle, 0.0, math.pi, "deg")
    refuse_not_positive(bore=(bore, "mm"))
    refuse_outside("radius", radius, bore / 2.0, math.inf, "mm")
    per_bend, per_rad = bend_loss_line(radius, bore)
    smooth = per_bend + per_rad * angle if angle > 0.0 else 0.0
    if pieces < 2.0:
        return smooth
    joints = pieces - 1.0
    half = math.sin(angle / joints / 2.0) ** 2
    return max(smooth, joints * (0.9457 * half + 2.047 * half**2))


def bend_loss_line(radius: float, bore: float) -> tuple[float, float]:
    """The loss of a smooth bend as a straight line over its turn: what every bend has [-], and for each radian [1/rad].

    Parameters
    ----------
    radius : float
        of the centre line [mm]
    bore : float
        inside diameter [mm]

    Source: I. E. Idelchik, Handbook of Hydraulic Resistance, 3rd ed., diagram 6-1 (from memory).
    """
    ratio = radius / bore
    quarter = 0.21 * ratio ** (-0.5 if ratio >= 1.0 else -2.5)
    return 0.2 * quarter, 0.8 * quarter / (math.pi / 2.0)


@a_sum(
    "cone-pressure-loss",
    title="Pressure loss of a cone between two pipes, in velocity heads of the smaller",
    asks=(
        Ask("narrow", "length", "bore of the smaller pipe"),
        Ask("wide", "length", "bore of the larger pipe"),
        Ask("length", "length", "length of the cone"),
        Ask("widens", "number", "1 where the gas goes from small to large, 0 the other way", 1.0),
    ),
    gives="loss coefficient on the smaller pipe",
    dimension="number",
    unit="",
    words="2.6 * sin(angle/2) * (1 - (narrow/wide)^2)^2 widening, 0.8 * sin(angle/2) * (1 - (narrow/wide)^2) "
          "narrowing; above 45 deg the step without a cone",
    source="Crane Technical Paper 410, resistance of gradual enlargements and contractions, by the library fluids",
)
def cone_pressure_loss(narrow: float, wide: float, length: float, widens: float = 1.0) -> float:
    """Loss coefficient [-] of a cone, counted on the speed in the smaller pipe.

    Parameters
    ----------
    narrow, wide, length : float
        bores of the two pipes, and length of the cone [mm]
    widens : float
        1 for small to large, 0 for large to small [-]

    Raises
    ------
    ValueError
        for an amount out of range, or a narrow end wider than the other

    Source: Crane Technical Paper 410, gradual enlargement and contraction, by the library fluids.

    >>> round(cone_pressure_loss(50.0, 63.5, 0.0), 3)
    0.144
    """
    refuse_not_positive(narrow=(narrow, "mm"))
    refuse_outside("wide", wide, narrow, math.inf, "mm")
    refuse_outside("length", length, 0.0, 1e4, "mm")
    from fluids.fittings import contraction_conical, diffuser_conical  # late: the library is wanted here alone

    if narrow == wide:
        return 0.0
    # the two diameters enter by their ratio alone, so their unit does not matter
    angle = math.degrees(2.0 * math.atan2(0.5 * (wide - narrow), length))
    if widens:
        return float(diffuser_conical(narrow, wide, angle=angle, method="Crane"))
    return float(contraction_conical(wide, narrow, angle=angle, method="Crane"))


@a_sum(
    "merge-pressure-loss",
    title="Pressure loss where two pipes become one, in velocity heads behind it",
    asks=(
        Ask("run", "length", "bore of the pipe that goes straight on"),
        Ask("branch", "length", "bore of the pipe that comes in"),
        Ask("share", "ratio", "share of the gas behind the merge that comes in by the branch"),
        Ask("angle", "angle", "angle at which the branch comes in; 0 would be alongside"),
        Ask("of", "number", "1 for the gas of the branch, 0 for the gas that goes straight on", 0.0),
    ),
    gives="loss coefficient on the speed behind the merge; below 0 where the other pipe draws it along",
    dimension="number",
    unit="",
    words="C * (1 + D * (share/ratio of areas)^2 - E * (1 - share)^2 - F * share^2 / ratio of areas), C, D, E, F by "
          "the handbook's tables",
    source="Crane Technical Paper 410, converging tees and wyes, by the library fluids",
)
def merge_pressure_loss(run: float, branch: float, share: float, angle: float, of: float = 0.0) -> float:
    """Loss coefficient [-] of a merge, counted on the speed of all the gas in the run behind it.

    The handbook's figures are for 30 to 90 deg; below 30 those of 30 are taken, which say a little too much. What the
    beat of the cylinders does there, which is why merges are made as they are, is left out.

    Parameters
    ----------
    run, branch : float
        bores [mm]
    share : float
        of the gas behind it that comes by the branch, 0.02 to 0.98 [-]
    angle : float
        at which the branch comes in, 15 to 90 deg [rad]
    of : float
        1 for the branch's gas, 0 for the run's [-]

    Raises
    ------
    ValueError
        for an amount out of range, or a branch wider than the run

    Source: Crane Technical Paper 410, converging tees and wyes, by the library fluids.

    >>> round(merge_pressure_loss(60.5, 60.5, 0.5, math.radians(30.0)), 3)
    0.315
    """
    from fluids.fittings import K_branch_converging_Crane, K_run_converging_Crane  # late: wanted here alone

    refuse_not_positive(run=(run, "mm"))
    refuse_outside("bore of the branch", branch, 0.1 * run, run, "mm")
    refuse_outside("share", share, 0.02, 0.98, "")
    refuse_outside("angle", angle, math.radians(15.0), math.radians(90.0), "deg")
    loss = K_branch_converging_Crane if of else K_run_converging_Crane
    # diameters and flows enter by their ratios alone
    return float(loss(run, branch, 1.0 - share, share, max(math.degrees(angle), 30.0)))


@a_sum(
    "exhaust-back-pressure",
    title="Back pressure of a run of pipe",
    asks=(
        _FLOW, _HEAT, _BORE,
        Ask("length", "length", "length along the centre line"),
        Ask("losses", "number", "loss coefficients of bends and parts, added up", 0.0),
    ),
    gives="pressure at the start of the pipe above that outside",
    dimension="pressure",
    unit="kPa",
    words="velocity head * (friction factor * length / bore + losses + 1 for the gas that leaves)",
    source="handbook form of steady pipe flow (from memory)",
)
def back_pressure(flow: float, temperature: float, bore: float, length: float, losses: float) -> float:
    """Back pressure [MPa] of pipe with bends and parts in it, steady flow at one temperature.

    The pulses of the engine and the gas cooling on its way are left out: good for comparing two routes, not for what a
    gauge will read.

    Parameters
    ----------
    flow : float
        mass flow [kg/s]
    temperature : float
        [K]
    bore, length : float
        inside diameter and length along the centre line [mm]
    losses : float
        loss coefficients added up [-]

    Raises
    ------
    ValueError
        for an amount out of range

    Source: handbook form of steady pipe flow (from memory).

    >>> round(back_pressure(0.12, 800.0, 60.5, 3000.0, 4.0) * 1000.0, 2)
    12.02
    """
    refuse_outside("length", length, 0.0, 1e5, "mm")
    refuse_outside("losses", losses, 0.0, 1e3, "")
    head = velocity_head(flow, temperature, bore)
    return head * (friction_factor(flow, temperature, bore) * length / bore + losses + 1.0)
