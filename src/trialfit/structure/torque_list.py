"""The torque list of a build: per joint the torque with its source, the clamp it leaves, and what is done once only."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from trialfit.standards import rule, thread_called
from trialfit.standards.fastening import (
    locking,
    one_time,
    thread_friction,
    u_bolt_torque_nmm,
    wheel_nut_torque_nmm,
    wrench_scatter,
)
from trialfit.structure.bolt import CAUTION
from trialfit.structure.clamp import Spread, TorqueFigure, clamp_from_torque, proof_load_n, torque_for_clamp
from trialfit.structure.joint_record import ClampedJoint

USES = ("general", "wheel", "u-bolt")
"""What a bolt does where the trade has torques and rules of its own."""
_DRY = ("dry", "zinc plated", "zinc flake", "cadmium plated")


@dataclass(frozen=True, slots=True)
class Fastening:
    """Bolts of one kind at one joint. ``torque`` is the part's own figure and goes before any other; ``grade`` may be
    empty when only the torque is known; ``fastener`` a row of the one-time fasteners, ``locked_by`` one of the ways of
    locking, ``drag_nmm`` the torque a locking nut takes to turn freely [N*mm]."""

    joint: str
    thread: str
    grade: str = ""
    count: int = 1
    state: str = "dry"
    tool: str = "click wrench"
    use: str = "general"
    torque: TorqueFigure | None = None
    fastener: str = ""
    locked_by: str = "none"
    drag_nmm: float = 0.0
    choices: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class TorqueLine:
    """One line of the torque list. ``torque`` [N*mm] is what the wrench is set to, its nominal within the range printed
    or left by the wrench; None when nobody printed one and none can be reckoned. ``clamp`` [N] is what that leaves in
    one bolt. ``size`` is count and thread as written on the page, ``tick`` what stands in the box to be ticked.
    ``held`` says why the joint must not be tightened yet, a reason each, ``never`` that one of them is that it does not
    fit; ``first`` what has to be done to it before, "" for nothing."""

    joint: str
    size: str
    thread: str
    grade: str
    state: str
    torque: Spread | None
    torque_source: str
    clamp: Spread | None
    retorque: str
    one_time: str
    locking: str
    notes: tuple[str, ...]
    caution: str = CAUTION
    tick: str = ""
    held: tuple[str, ...] = ()
    never: bool = False
    first: str = ""

    @property
    def order(self) -> str:
        """What stands in place of the torque, "" where the joint may be tightened."""
        if not self.held:
            return ""
        return "do not tighten: does not fit, see mates" if self.never else "not before it is known"


def torque_line(item: Fastening) -> TorqueLine:
    """The line of the torque list for one joint.

    The part's own figure goes first; then the trade's for wheels and spring U-bolts; then one reckoned from thread,
    grade and state. A reckoned torque is that of the nominal friction and is said to be reckoned.

    Raises
    ------
    ValueError
        for an unknown thread, grade, state, tool, use, fastener or way of locking, a drag that is negative, or a count
        below 1

    Source: Shigley's Mechanical Engineering Design, 9th ed., eq. 8-27, 8-31; the tables each line names.

    >>> line = torque_line(Fastening("axle flange", "M10", "8.8"))
    >>> round(line.torque.nominal / 1000), line.torque_source[:8]
    (50, 'reckoned')
    """
    screw = thread_called(item.thread)
    if item.use not in USES:
        raise ValueError(f"{item.joint}: no use is called '{item.use}'; known: {', '.join(USES)}")
    if item.count < 1 or item.drag_nmm < 0.0:
        raise ValueError(f"{item.joint}: the count must be 1 or more and the drag 0 or more")
    friction = thread_friction(item.state, item.choices.get(f"friction {item.state}"))
    notes: list[str] = []
    found = _torque(item, notes)
    torque: Spread | None = None
    clamp: Spread | None = None
    source = ""
    if found is None:
        notes.append("no torque: find the maker's figure, or read the grade on the head")
    else:
        low, high, source = found
        clamp = clamp_from_torque(item.thread, low, high, friction, item.tool)
        middle = 0.5 * (low + high)
        if low == high:
            off = wrench_scatter(item.tool, low)
            low, high = low * (1.0 - off), high * (1.0 + off)
        torque = Spread(low + item.drag_nmm, middle + item.drag_nmm, high + item.drag_nmm)
        if item.drag_nmm > 0.0:
            notes.append(f"{item.drag_nmm / 1000.0:.1f} N*m of drag is counted in")
        if item.grade:
            proof = proof_load_n(item.thread, item.grade)
            if clamp.high > proof:
                notes.append(
                    f"with the slipperiest thread the clamp, {clamp.high / 1000.0:.1f} kN, passes the bolt's proof "
                    f"load, {proof / 1000.0:.1f} kN: check which state of thread the torque is meant for"
                )
    if clamp is not None and friction.status == "from memory":
        notes.append(f"the friction of {item.state} threads is from memory")
    fastener = item.fastener or ("u-bolt" if item.use == "u-bolt" else "")
    once = one_time(fastener) if fastener else None
    way = locking(item.locked_by)
    if way.holds == "nothing that counts":
        notes.append(f"{way.method}: {way.words}")
    return TorqueLine(
        item.joint, f"{item.count} x {screw.name}", screw.name, item.grade, item.state, torque, source, clamp,
        retorque_words(item), "" if once is None or once.again == "yes" else f"{_once(once.again)}: {once.why}",
        "" if item.locked_by == "none" else f"{way.method}: holds {way.holds}", tuple(notes),
    )  # fmt: skip


def fastening_of(joint: ClampedJoint, use: str = "general", fastener: str = "", locked_by: str = "none") -> Fastening:
    """What the torque list asks of a joint that was judged.

    >>> from trialfit.structure.joint_record import Nut, StackLayer
    >>> joint = ClampedJoint("bracket", "M10", "8.8", (StackLayer("plate", None),), None, Nut("8", None), 4)
    >>> torque_line(fastening_of(joint)).size
    '4 x M10x1.5'
    """
    return Fastening(
        joint.name, joint.thread, joint.grade, joint.count, joint.state, joint.tool, use, joint.torque, fastener,
        locked_by, choices=joint.choices,
    )  # fmt: skip


def torque_list(*items: Fastening) -> tuple[TorqueLine, ...]:
    """The torque list of a build, in the order given.

    Raises
    ------
    ValueError
        when two joints bear one name, or as for one line

    Source: Shigley's Mechanical Engineering Design, 9th ed., eq. 8-27, 8-31; the tables each line names.
    """
    names = [item.joint for item in items]
    twice = sorted({name for name in names if names.count(name) > 1})
    if twice:
        raise ValueError(f"two joints of the torque list are called {', '.join(twice)}; give each its own name")
    return tuple(torque_line(item) for item in items)


def retorque_words(item: Fastening) -> str:
    """When a joint is tightened again, in words, by the rules in force.

    Source: tyre shop advice on wheel nuts; spring shop's U-bolt torque list; common practice, no source.
    """
    if _once_only(item):
        return "not again: it is locked or crushed once it is right"
    names = {"wheel": "wheel-retorque", "u-bolt": "u-bolt-retorque", "general": "build-retorque"}
    found = rule(names[item.use], item.choices.get(names[item.use])).in_force
    again = f"after {found.value:g} km"
    if item.use == "u-bolt":
        return f"after the first day and {again}, axle loaded"
    if item.use == "wheel":
        return f"{again}, and each time a wheel has been off"
    return again


def _once_only(item: Fastening) -> bool:
    # turning these further spoils what they hold
    return item.fastener in {"stretch bolt", "staked nut", "crush sleeve", "patch bolt", "universal joint bolt"} or (
        item.locked_by in {"threadlocker", "staked nut", "patch bolt", "tab washer", "lock wire"}
    )


def _once(again: str) -> str:
    return "new each time" if again == "never" else f"again {again}"


def _torque(item: Fastening, notes: list[str]) -> tuple[float, float, str] | None:
    if item.torque is not None:
        return item.torque.low_nmm, item.torque.high_nmm, item.torque.source
    if item.use == "wheel":
        # a torque reckoned from a guessed grade has no place on a wheel
        return _wheel(item, notes)
    if item.use == "u-bolt" and (found := _u_bolt(item, notes)) is not None:
        return found
    if not item.grade:
        return None
    friction = thread_friction(item.state, item.choices.get(f"friction {item.state}"))
    share = rule("preload-share", item.choices.get("preload-share")).in_force
    wanted = share.value * proof_load_n(item.thread, item.grade)
    torque = torque_for_clamp(item.thread, wanted, friction).nominal
    notes.append("reckoned: the maker's own figure goes before it")
    return torque, torque, f"reckoned from grade {item.grade}, {item.state}, {share.value:g} of the proof load"


def _size(thread: str) -> str:
    screw = thread_called(thread)
    return f"M{screw.diameter_mm:g}" if screw.system == "metric" else screw.name.split("-")[0]


def _wheel(item: Fastening, notes: list[str]) -> tuple[float, float, str] | None:
    if item.state not in _DRY:
        notes.append(
            f"wheel torques hold for clean, dry threads and these are {item.state}: clean them, or give the vehicle's "
            "own figure"
        )
        return None
    try:
        low, high, source = wheel_nut_torque_nmm(_size(item.thread))
    except ValueError:
        notes.append("the wheel guides give no torque for this size")
        return None
    notes.append("only until the vehicle's own figure is found; star pattern, in two or three steps")
    return low, high, source


def _u_bolt(item: Fastening, notes: list[str]) -> tuple[float, float, str] | None:
    screw = thread_called(item.thread)
    try:
        most, source = u_bolt_torque_nmm(screw.name, item.grade, plated=item.state != "dry")
    except ValueError:
        notes.append("the U-bolt list gives no torque for this size and grade")
        return None
    if item.state not in _DRY:
        notes.append(f"{item.state} threads lie between plated and bare; the lower torque is given")
    notes.append("greatest torque of the list; cross pattern, in steps, deep nuts and hard washers, axle loaded")
    return most, most, source
