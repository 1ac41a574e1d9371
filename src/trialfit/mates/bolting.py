"""What can be said of the bolts of any joint that is held by some: for the torque list and for what the clamp bears."""

from dataclasses import replace

from trialfit.mates.joint import MateKind
from trialfit.parts import Ask
from trialfit.standards import grade_names
from trialfit.standards.fastening import thread_states, torque_tools
from trialfit.standards.table import table

BOLTING: tuple[Ask, ...] = (
    Ask("bolt thread", "thread", "thread of the bolts that hold it, where no port says it"),
    Ask("bolts", "count", "how many of them", low=1, high=40),
    Ask("bolt grade", "text", "grade marked on the head", tuple(grade_names())),
    Ask("nut grade", "text", "grade marked on the nut"),
    Ask("threads are", "text", "state of the threads when tightened, dry when not said", thread_states()),
    Ask("tool", "text", "what tightens it, a click wrench when not said", torque_tools()),
    Ask("torque", "torque", "torque by the sheet of the part", low=500.0, high=2e6),
    Ask("torque from", "text", "whose figure that is"),
    Ask("fastener", "text", "what kind it is, where it may not be used twice", table("one_time_fasteners").keys()),
    Ask("locked by", "text", "what keeps it from turning", table("locking").keys()),
    Ask("faces", "text", "what the clamped faces are, for the grip between them", table("joint_friction").keys()),
    Ask("pull", "force", "load that pulls each bolt", low=0.0, high=3e5),
    Ask("slide", "force", "load across the whole joint", low=0.0, high=1e6),
)
"""Fields of a joint's bolts."""


def with_bolts(kind: MateKind) -> MateKind:
    """The kind of joint with the fields of its bolts added to its own."""
    own = {ask.key for ask in kind.asks}
    return replace(kind, asks=(*kind.asks, *(ask for ask in BOLTING if ask.key not in own)))
