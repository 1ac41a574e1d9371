"""Does it go together, and what has to be machined?

In: :class:`Joint`, two ports of two parts with what lies between them, sizes in internal units with their give or take.
Out: :class:`Answer` values, each one of the four words with margin, odds, reason, and the :class:`Work` that would make
it fit. One module per kind of joint; :data:`MATE_KINDS` gathers them. Left out: what depends on the vehicle's travel,
which ``checks`` works out with the shapes. Sources: the standards whose tables are packaged, and practice rules with
every version that was found.
"""

from trialfit.mates.answer import WORK_KINDS, Answer, Sized, Target, Work, worst
from trialfit.mates.figure import Figure, Hole, Plate, Step, Turned
from trialfit.mates.joint import SIDES, Joint, Layer, MateKind, both_sides, side_of
from trialfit.mates.judging import LIKELY, Judged, apart, within

__all__ = [
    "LIKELY", "SIDES", "WORK_KINDS", "Answer", "Figure", "Hole", "Joint", "Judged", "Layer", "MateKind", "Plate",
    "Sized", "Step", "Target", "Turned", "Work", "apart", "both_sides", "side_of", "within", "worst",
]
