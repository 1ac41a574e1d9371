"""The tyre of a wheel that is to go on a hub, as a thing that is swept through travel with the rest."""

from collections.abc import Iterable, Mapping

import numpy as np
from numpy.typing import NDArray

from trialfit.checks.assembly import MateResult
from trialfit.driveline.tyre import section_width_on_rim, tyre_diameter, tyre_size
from trialfit.findings import Finding, Verdict
from trialfit.mates import Joint
from trialfit.mates.wheel_place import wheel_offset_by_overall_width, wheel_offset_from_backspacing
from trialfit.parts import Port
from trialfit.standards import rule
from trialfit.vehicle import Amount, BodyName, Drum

Floats = NDArray[np.float64]

WHEEL = "wheel on hub"
LIP_MM = 12.7
"""Thickness of a rim lip where only the backspacing is known [mm]; magazine article on wheel fit."""

MEASURING_RIM = ((50, 0.7), (40, 0.8), (0, 0.9))
"""Least aspect of a metric code, and its measuring rim's share of the section width, to the nearest half inch [-]; from
memory."""


def tyre_shapes(mates: Iterable[MateResult], points: Mapping[str, Floats], found: list[Finding]) -> tuple[Drum, ...]:
    """A drum for the tyre of every wheel whose hub face is a known hardpoint.

    The drum is as wide as the section with its growth in service, and square at its shoulders, which errs to too wide.
    A joint that names the hardpoint but not enough of wheel and tyre is told as a finding.
    """
    shapes: list[Drum] = []
    for result in mates:
        joint = result.joint
        face = joint.word("face at") if joint.kind == WHEEL else ""
        if not face:
            continue
        try:
            shapes.append(_tyre(joint, face, points))
        except ValueError as error:
            found.append(Finding(
                f"tyre.{joint.name}", Verdict.CANNOT_TELL,
                f"{joint.name}: the tyre cannot be swept through travel: {error}",
                "write the tyre's code, the wheel's offset and its rim width", where=joint.where))
    return tuple(shapes)


def _tyre(joint: Joint, face: str, points: Mapping[str, Floats]) -> Drum:
    if face not in points:
        raise ValueError(f"hardpoint {face} is not known")
    offset = wheel_offset_mm(joint.a)
    if offset is None:
        raise ValueError("the wheel's offset, or its backspacing and width, is not known")
    packed = 0.0
    for layer in joint.layers:
        if layer.thickness is None:
            raise ValueError(f"the thickness of {layer.name} is not known")
        packed += layer.thickness.value
    width, diameter = _size(joint)
    growth = rule("tyre-growth", joint.choices.get("tyre-growth")).in_force.value / 100.0
    side = BodyName.WHEEL_LEFT if float(points[face][1]) < 0.0 else BodyName.WHEEL_RIGHT
    return Drum(f"tyre of {joint.name}", "tyre", side.value, joint.where, face, "", Amount(diameter),
                Amount(width * (1.0 + growth)), Amount(offset - packed))


def wheel_offset_mm(wheel: Port) -> float | None:
    """Offset of a wheel as written, or from its backspacing and width; None when neither is known [mm]."""
    offset, back = wheel.size("offset"), wheel.size("backspacing")
    if offset is not None:
        return offset.value
    over, width = wheel.size("overall width"), wheel.size("rim width")
    if back is not None and over is not None:
        return wheel_offset_by_overall_width(back.value, over.value)
    if back is not None and width is not None:
        return wheel_offset_from_backspacing(back.value, width.value, LIP_MM)
    return None


def _size(joint: Joint) -> tuple[float, float]:
    width, diameter, code = joint.size("tyre width"), joint.size("tyre diameter"), joint.word("tyre")
    if width is not None and diameter is not None:
        return width.value, diameter.value
    if not code:
        raise ValueError("the tyre's code is not known")
    size = tyre_size(code)
    over = tyre_diameter(code, "none") if diameter is None else diameter.value
    if width is not None:
        return width.value, over
    rim = joint.a.size("rim width")
    wide = size.width_mm
    if rim is not None and size.aspect is not None:
        share = next(share for least, share in MEASURING_RIM if size.aspect >= least)
        wide = section_width_on_rim(wide, rim.value, round(share * wide / 12.7) * 12.7)
    return wide, over
