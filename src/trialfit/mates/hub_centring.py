"""A wheel or a rotor on the register that centres it: the play that may be, and the play worked to."""

from collections.abc import Mapping
from dataclasses import replace

from trialfit.findings import Verdict
from trialfit.mates.answer import Answer
from trialfit.mates.gauged import added
from trialfit.mates.joint import Joint
from trialfit.mates.register import Register, register
from trialfit.parts import Fact
from trialfit.standards import rule

WHEEL_CAUTION = (
    "A wheel that comes off kills. Use nuts of the wheel's own seat on clean dry threads, torque them crosswise to the "
    "vehicle's figure and again after the first kilometres, and have changed hubs, spacers or wheels looked over by "
    "someone licensed where the law asks for it."
)
BRAKE_CAUTION = (
    "Brakes: have any machined or mixed brake part, and the finished brake, checked by someone qualified; local "
    "codes may "
    "forbid it. Bed in and try the brake at walking pace before any road."
)
WORKED_TO_MM = (0.05, 0.15)
"""Play on the diameter that a shop is asked for [mm], from memory."""
_ROUNDING_MM = 0.06
"""Two sizes written down to a tenth that differ by no more are one size."""


def centred(r: Register, choices: Mapping[str, str]) -> Answer:
    """Whether a bore is centred by its register, or after which work.

    Two sizes that are both read off paper (no doubt given as nought) and equal to the tenth are one nominal size, which
    their makers leave play for; measured sizes are held against the play that may be. Work is asked for with less play
    than is let pass.

    Parameters
    ----------
    r : Register
        sizes [mm] and what may be done; its clearance is set here
    choices : mapping
        the builder's choice of rule versions

    Returns
    -------
    Answer

    Source: rules hub-clearance-least and hub-clearance-most; ISO 286-1.
    """
    least = rule("hub-clearance-least", choices.get("hub-clearance-least")).in_force
    most = rule("hub-clearance-most", choices.get("hub-clearance-most")).in_force
    bore, spigot = r.bore, r.spigot
    if bore and spigot and bore.sd == spigot.sd == 0.0 and abs(bore.value - spigot.value) <= _ROUNDING_MM:
        reason = f"{r.bore_place} and {r.spigot_place} are both the {bore.value:.2f} mm size, as written down"
        return Answer(r.question, Verdict.FITS, reason, rule="hub-clearance-most", source=most.source)
    let_pass = replace(r, clearance_mm=(least.value, most.value), rule="hub-clearance-most", source=most.source)
    answer = register(let_pass)
    if answer.verdict is not Verdict.FITS_AFTER_WORK:
        return answer
    to_work = register(replace(let_pass, clearance_mm=WORKED_TO_MM))
    return replace(answer, works=to_work.works, remedy=to_work.remedy)


def between(joint: Joint) -> tuple[Fact | None, str]:
    """Thickness of all that lies between hub and wheel, and the name of the first layer of unknown thickness."""
    for layer in joint.layers:
        if layer.thickness is None:
            return None, layer.name
    total, sd = added(*((1.0, layer.thickness) for layer in joint.layers if layer.thickness is not None))
    return Fact(total, sd), ""
