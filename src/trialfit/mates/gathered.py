"""Every kind of joint that can be judged, gathered from the modules of its subjects."""

from trialfit.mates import (
    bolt_hole,
    brake_bracket,
    flanges,
    gearbox,
    hose,
    hydraulic,
    mounts,
    pipes,
    rotor,
    splines,
    spring_seat,
    tube_entry,
    wheel,
    yoke_joint,
)
from trialfit.mates.bolting import with_bolts
from trialfit.mates.joint import MateKind

_BOLTED = (wheel, brake_bracket, spring_seat, flanges, gearbox, mounts, bolt_hole)
_OTHERS = (rotor, yoke_joint, splines, hydraulic, hose, pipes, tube_entry)

MATE_KINDS: tuple[MateKind, ...] = (
    *(with_bolts(kind) for module in _BOLTED for kind in module.KINDS),
    *(kind for module in _OTHERS for kind in module.KINDS),
)
