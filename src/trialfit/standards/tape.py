"""What a marked tape may be out by."""

import math

from trialfit.standards.ranges import refuse_outside
from trialfit.standards.table import table
from trialfit.sums import Ask, a_sum


@a_sum(
    "tape-error",
    title="Greatest error of a tape reading",
    asks=(
        Ask("length", "length", "length read off the tape"),
        Ask("tape_class", "text", "accuracy class printed on the tape in an oval", "II", ("I", "II", "III")),
        Ask("hook", "text", "was the end hook or end face used", "no", ("yes", "no")),
        Ask("under_car", "length", "added for sag, reach and sight, such as 2 mm under a car", 0.0),
    ),
    gives="give or take, worst case",
    dimension="length",
    unit="mm",
    words="a + b * metres, metres rounded up to the next whole one; a and b are 0.1 and 0.1 in class I, 0.3 and 0.2 in "
    "class II, 0.6 and 0.4 in class III; the end hook adds 0.1, 0.2 or 0.3; what is said for the car is added on top",
    source="Directive 2014/32/EU, annex X (MI-008), chapter I",
)
def tape_error(length: float, tape_class: str, hook: str, under_car: float) -> float:
    """Greatest error [mm] of a tape of the marked class, plus what the place adds.

    A worn hook, a bent blade and heat are left out, which errs on the small side; the parts are added and not put
    together by squares, which errs on the large side.

    Parameters
    ----------
    length : float
        length read, over 0 to 50 000 [mm]
    tape_class : str
        I, II or III
    hook : str
        ``yes`` when the hooked or butted end was used
    under_car : float
        extra for the place [mm]

    Raises
    ------
    ValueError
        for a length out of range, another class or a negative extra

    Source: Directive 2014/32/EU, annex X (MI-008), chapter I.

    >>> round(tape_error(1500.0, "II", "no", 0.0), 3), round(tape_error(1500.0, "II", "yes", 0.0), 3)
    (0.7, 0.9)
    """
    refuse_outside("length", length, 0.0, 50000.0, "mm", open_low=True)
    refuse_outside("under car", under_car, 0.0, 100.0, "mm")
    if hook not in {"yes", "no"}:
        raise ValueError(f"hook is '{hook}'; write yes or no")
    limits = table("tape_classes_mi_008")
    # a length that is a whole number of metres but for the last bit must not be charged for the next one
    metres = math.ceil(round(length / 1000.0, 9))
    end = limits.number(tape_class, "end_mm") if hook == "yes" else 0.0
    return limits.number(tape_class, "fixed_mm") + limits.number(tape_class, "per_metre_mm") * metres + end + under_car
