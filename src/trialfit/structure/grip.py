"""Whether a bolt is of the right length: grip, shank, thread past the nut, thread in a blind hole."""

import math

from trialfit.standards import refuse_not_positive, refuse_outside
from trialfit.structure.bolt import CAUTION
from trialfit.sums import Ask, a_sum

_GEOMETRY = "bolted joint statics, textbook, geometry of the stack"
_LENGTH = Ask("length", "length", "bolt from under its head to its end")
_GRIP = Ask("grip", "length", "all that is clamped between head and nut, washers counted")
_NUT = Ask("nut", "length", "height of the nut")
_PITCH = Ask("pitch", "length", "pitch of the thread")


@a_sum(
    "bolt-threads-showing",
    title="Threads that show past a nut",
    asks=(_LENGTH, _GRIP, _NUT, _PITCH),
    gives="full threads past the nut, negative when the bolt ends inside it",
    dimension="number",
    unit="",
    words="(length - grip - nut) / pitch",
    source=_GEOMETRY,
    caution=CAUTION,
)
def bolt_threads_showing(length: float, grip: float, nut: float, pitch: float) -> float:
    """Threads [-] past the nut; the chamfered point of the bolt is counted in, which errs on the unsafe side by one.

    Raises
    ------
    ValueError
        for an amount that is not positive

    Source: bolted joint statics, textbook, geometry of the stack.

    >>> round(bolt_threads_showing(40.0, 25.0, 8.4, 1.5), 1)
    4.4
    """
    refuse_not_positive(length=(length, "mm"), grip=(grip, "mm"), nut=(nut, "mm"), pitch=(pitch, "mm"))
    return (length - grip - nut) / pitch


@a_sum(
    "bolt-length-wanted",
    title="Least length of a bolt for a grip",
    asks=(_GRIP, _NUT, _PITCH, Ask("showing", "number", "full threads that are to show past the nut", 1.0)),
    gives="least length under the head",
    dimension="length",
    unit="mm",
    words="grip + nut + showing * pitch",
    source=_GEOMETRY,
    caution=CAUTION,
)
def bolt_length_wanted(grip: float, nut: float, pitch: float, showing: float) -> float:
    """Least length [mm] under the head; take the next longer one that is sold and look at its plain shank.

    Raises
    ------
    ValueError
        for an amount that is not positive, or negative threads

    Source: bolted joint statics, textbook, geometry of the stack.

    >>> bolt_length_wanted(25.0, 8.4, 1.5, 2.0)
    36.4
    """
    refuse_not_positive(grip=(grip, "mm"), nut=(nut, "mm"), pitch=(pitch, "mm"))
    refuse_outside("showing", showing, 0.0, math.inf, "")
    return grip + nut + showing * pitch


def engaged_mm(length_mm: float, grip_mm: float, depth_mm: float, point_mm: float = 0.0) -> float:
    """Full thread engaged [mm] in a nut or a tapped hole; 0 when the bolt does not reach.

    Parameters
    ----------
    length_mm, grip_mm : float
        bolt under its head, and what is clamped [mm]
    depth_mm : float
        height of the nut, or full thread in the hole [mm]
    point_mm : float
        chamfered point of the bolt that carries nothing; nought when it shows past the nut [mm]

    Raises
    ------
    ValueError
        for an amount that is not positive

    Source: bolted joint statics, textbook, geometry of the stack.

    >>> engaged_mm(40.0, 25.0, 20.0, 1.5), engaged_mm(40.0, 25.0, 8.4), engaged_mm(20.0, 25.0, 8.4)
    (13.5, 8.4, 0.0)
    """
    refuse_not_positive(length=(length_mm, "mm"), grip=(grip_mm, "mm"), depth=(depth_mm, "mm"))
    return max(0.0, min(depth_mm, length_mm - grip_mm - point_mm))
