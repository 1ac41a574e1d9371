"""The shaft between gearbox and axle: from the file to the vehicle's record."""

import math
from collections.abc import Collection

from trialfit.buildfile.amounts import amount, angle, length, ranged, stiffness
from trialfit.buildfile.driveline_keys import APART, CENTRE, JOINT, JOINTS, SEAT, SHAFT, SPLINE, TUBE
from trialfit.buildfile.facts import facts, two
from trialfit.buildfile.forms import choice, form, named, point, points
from trialfit.buildfile.ledger import Ledger, plain
from trialfit.buildfile.running_gear import Riding
from trialfit.buildfile.tree import Items, Node, Table, Text
from trialfit.driveline import listed_series
from trialfit.vehicle import (
    Amount,
    Shaft,
    ShaftBearing,
    ShaftJoint,
    ShaftSpline,
    ShaftTubeWish,
    SpringSeat,
)

SLIPS = ("slip-yoke", "slip-in-shaft", "none")
MATERIALS = ("steel", "aluminium", "wound carbon")
SPRINGS = ("over the axle", "under the axle")
MOST_ROOMS = 4
MOST_NAMES = 20
_TURN = (-math.pi, math.pi, "-180 deg to 180 deg")
_WIND = (math.radians(-15.0), math.radians(15.0), "-15 deg to 15 deg")
_YOKE = (0.0, 30.0, "0 kg to 30 kg")


def shaft(ledger: Ledger, node: Node, riding: Riding, shapes: Collection[str]) -> Shaft | None:
    """The shaft: front joint on the engine (or the frame, when the engine is fixed), rear joint on the axle.
    ``shapes`` are the names of what takes up room."""
    found = form(ledger, node, SHAFT, "the shaft")
    if found is None:
        return None
    front, rear = point(ledger, found["front"]), point(ledger, found["rear"])
    diameter = amount(ledger, found["diameter"])
    if front is None or rear is None or diameter is None:
        return None
    if front == rear:
        ledger.wrong(node, f"both joints are {front}", "the front joint's hardpoint and the rear one's")
        return None
    if riding.on(front) == "axle" and riding.on(rear) in ("engine", "frame") and ledger.whole:
        ledger.wrong(
            node,
            "the joint on the axle stands in front",
            "front: the joint on the engine, rear: the one on the axle",
            f"write front: {rear}, rear: {front}",
        )
        return None
    good = riding.check(ledger, found["front"], front, ("engine", "frame"), "the front joint")
    good = riding.check(ledger, found["rear"], rear, ("axle",), "the rear joint") and good
    axes = _axes(ledger, found, riding)
    slip = choice(ledger, found["slip"], SLIPS) if "slip" in found else SLIPS[1]
    offsets = [_zero(ledger, found, name) for name in ("front offset", "rear offset")]
    centre = _centre(ledger, found["centre bearing"], riding, shapes) if "centre bearing" in found else None
    double = amount(ledger, found["double joint"]) if "double joint" in found else None
    phases = facts(ledger, found["phase"], "angle", "an angle for each piece, e.g. 0 deg", 2,
                   _TURN) if "phase" in found else ()
    wrap = two(ledger, found["wrap"], "angle", "two angles parted by to, e.g. 0 deg to 3 deg",
               _WIND) if "wrap" in found else (0.0, 0.0)
    spline = _spline(ledger, found["spline"]) if "spline" in found else None
    tube = _tube(ledger, found["tube"], diameter) if "tube" in found else None
    joints = _joints(ledger, found["joints"]) if "joints" in found else ()
    seat = _seat(ledger, found["spring seat"], riding) if "spring seat" in found else None
    apart = _apart(ledger, found["bearings apart"]) if "bearings apart" in found else None
    made = {"centre bearing": centre, "double joint": double, "spline": spline, "tube": tube, "spring seat": seat,
            "bearings apart": apart}
    if (not good or axes is None or slip is None or None in offsets or phases is None or wrap is None or joints is None
            or any(made[name] is None for name in made if name in found)):
        return None
    if not _goes_together(ledger, found, slip, centre, phases):
        return None
    return Shaft(front, rear, diameter, node.place, slip, axes[0], axes[1], offsets[0] or Amount(0.0),
                 offsets[1] or Amount(0.0), centre, double, phases, wrap, spline, tube, joints,
                 seat, apart)  # fmt: skip


def _zero(ledger: Ledger, found: dict[str, Node], name: str) -> Amount | None:
    return amount(ledger, found[name], zero=True) if name in found else Amount(0.0)


def _axes(ledger: Ledger, found: dict[str, Node], riding: Riding) -> tuple[tuple[str, ...], tuple[str, ...]] | None:
    """Both axes; one alone tells nothing."""
    made: list[tuple[str, ...]] = []
    good = True
    for name, bodies, example in (("front axis", ("engine", "frame"), "box.back box.out"),
                                  ("rear axis", ("axle",), "diff.front pinion")):
        if name not in found:
            made.append(())
            continue
        ends = points(ledger, found[name], 2, 2, example)
        if ends is None:
            good = False
            continue
        for end in ends:
            good = riding.check(ledger, found[name], end, bodies, f"on the {name}") and good
        made.append(ends)
    if not good:
        return None
    if bool(made[0]) != bool(made[1]):
        there, lacking = ("front axis", "rear axis") if made[0] else ("rear axis", "front axis")
        ledger.wrong(found[there], f"{there} without {lacking}",
                     "both axes: a joint's angle is between the shaft and what carries the joint",
                     f"add {lacking}: and two hardpoints on it, the one in the housing first")
        return None
    for name in ("front offset", "rear offset"):
        if name in found and not made[0]:
            ledger.wrong(found[name], f"{name} without an axis: which way it points is not known",
                         "front axis and rear axis, two hardpoints on each", "add both axes, or take the offset out")
            return None
    return made[0], made[1]


def _goes_together(ledger: Ledger, found: dict[str, Node], slip: str, centre: ShaftBearing | None,
                   phases: Collection[object]) -> bool:
    pieces = 1 if centre is None else 2
    if phases and len(phases) != pieces:
        ledger.wrong(found["phase"], f"{len(phases)} phase{'' if len(phases) == 1 else 's'} for {pieces} "
                     f"piece{'' if pieces == 1 else 's'} of shaft", "0 deg" if pieces == 1 else "0 deg, 0 deg",
                     "give one for each piece, front first")
        return False
    if centre is not None and "double joint" in found:
        ledger.wrong(found["double joint"], "a double joint ahead of a centre bearing is not worked out",
                     mend="take one of the two out")
        return False
    said = found.get("slip")
    if said is not None and slip == SLIPS[0] and (centre is not None or "double joint" in found):
        holds = "centre bearing" if centre is not None else "double joint"
        ledger.wrong(said, f"a slip yoke in front of a {holds}: it cannot take up what the axle does",
                     "slip-in-shaft", f"write slip: slip-in-shaft, or take the {holds} out")
        return False
    return True


def _centre(ledger: Ledger, node: Node, riding: Riding, shapes: Collection[str]) -> ShaftBearing | None:
    found = form(ledger, node, CENTRE, "a centre bearing")
    if found is None:
        return None
    at, behind = point(ledger, found["at"]), amount(ledger, found["joint behind"], zero=True)
    rate = stiffness(ledger, found["stiffness"]) if "stiffness" in found else None
    one = choice(ledger, found["to one piece"], ("yes", "no")) if "to one piece" in found else "no"
    may_go = _names(ledger, found["may go"], shapes) if "may go" in found else ()
    if at is None or behind is None or one is None or may_go is None or ("stiffness" in found and rate is None):
        return None
    if not riding.check(ledger, found["at"], at, ("frame",), "the centre bearing"):
        return None
    return ShaftBearing(at, behind, rate, one == "yes", may_go, node.place)


def _names(ledger: Ledger, node: Node, shapes: Collection[str]) -> tuple[str, ...] | None:
    items = list(node.items) if isinstance(node, Items) else [node]
    if len(items) > MOST_NAMES:
        ledger.wrong(node, f"{len(items)} of them are too many", f"at most {MOST_NAMES}")
        return None
    names: list[str] = []
    for item in items:
        text = plain(ledger, item, "the name of a shape, e.g. [hanger bracket]")
        if text is None:
            return None
        name = " ".join(text.value.split())
        if name not in shapes and ledger.whole:
            ledger.wrong(text, "no shape has this name", "the name of a shape, e.g. [hanger bracket]",
                         ledger.guess(name, shapes) or "names with a comma or several of them need [ ]")
            return None
        names.append(name)
    return tuple(dict.fromkeys(names))


def _spline(ledger: Ledger, node: Node) -> ShaftSpline | None:
    found = form(ledger, node, SPLINE, "a spline")
    if found is None:
        return None
    diameter, engaged = amount(ledger, found["diameter"]), amount(ledger, found["engaged"])
    example = "{barrel at the seal: 25 mm}"
    pairs = named(ledger, found["room"], "room", example, MOST_ROOMS) if isinstance(found["room"], Table) else None
    if pairs is None:
        if not isinstance(found["room"], Table):
            ledger.wrong(found["room"], "it does not say what bottoms", f"what bottoms and the room before it, e.g. "
                         f"{example}", "name it: push the slip in until it stops, and look what touches")
        return None
    if not pairs:
        ledger.wrong(found["room"], "no room before the slip bottoms", example, "measure one")
        return None
    rooms = [(key.value, amount(ledger, value, zero=True)) for key, value in pairs]
    good = tuple((name, room) for name, room in rooms if room is not None)
    if diameter is None or engaged is None or len(good) < len(rooms):
        return None
    return ShaftSpline(diameter, engaged, good, node.place)


def _tube(ledger: Ledger, node: Node, diameter: Amount) -> ShaftTubeWish | None:
    found = form(ledger, node, TUBE, "a tube")
    if found is None:
        return None
    material, wall = choice(ledger, found["material"], MATERIALS), amount(ledger, found["wall"])
    masses = facts(ledger, found["yokes"], "mass", "two masses, e.g. 1.2 kg, 0.9 kg", 2,
                   _YOKE) if "yokes" in found else ()
    long = length(ledger, found["yoke length"]) if "yoke length" in found else 0.0
    winding = angle(ledger, found["winding"], 90.0) if "winding" in found else None
    strength = ranged(ledger, found["strength"], "number", 1.0, 10.0, "1 to 10") if "strength" in found else 1.0
    if (material is None or wall is None or masses is None or long is None or strength is None
            or ("winding" in found and winding is None)):
        return None
    if diameter.mm > 0.0 and 2.0 * wall.mm >= diameter.mm:
        ledger.wrong(found["wall"], f"a wall of {wall.mm:g} mm fills a tube of {diameter.mm:g} mm",
                     "less than half the diameter", "check both numbers and their units")
        return None
    if masses and len(masses) != 2:
        ledger.wrong(found["yokes"], "one mass where two should stand", "two masses, e.g. 1.2 kg, 0.9 kg",
                     "give the front yoke's, then the rear yoke's")
        return None
    if masses and long == 0.0:
        ledger.wrong(found["yokes"], "yokes without yoke length", "yoke length: 60 mm",
                     "add yoke length, from the joint's centre to the weld")
        return None
    if (material == MATERIALS[2]) != (winding is not None):
        lacking = winding is None
        if lacking:
            ledger.wrong(found["material"], "wound carbon without winding", "winding: 15 deg",
                         "add the angle between fibres and axis")
        else:
            ledger.wrong(found["winding"], f"{material} is not wound", mend="take winding out")
        return None
    weights = (masses[0].value, masses[1].value) if masses else (0.0, 0.0)
    return ShaftTubeWish(material, wall, weights, long, winding, strength, node.place)


def _joints(ledger: Ledger, node: Node) -> tuple[ShaftJoint, ...] | None:
    found = form(ledger, node, JOINTS, "the joints")
    if found is None:
        return None
    made = [_joint(ledger, name, value) for name, value in found.items()]
    good = tuple(one for one in made if one is not None)
    return good if len(good) == len(made) else None


def _joint(ledger: Ledger, name: str, node: Node) -> ShaftJoint | None:
    if isinstance(node, Text):
        series = _series(ledger, node)
        return None if series is None else ShaftJoint(name, series, where=node.place)
    found = form(ledger, node, JOINT, "a joint")
    if found is None:
        return None
    if "series" in found and len(found) > 1:
        ledger.wrong(found["series"], "a series beside sizes", "one of the two",
                     "take the series out: the sizes tell it")
        return None
    if "series" in found:
        series = _series(ledger, found["series"])
        return None if series is None else ShaftJoint(name, series, where=node.place)
    sizes = {key: amount(ledger, found[key]) for key in found}
    if any(size is None for size in sizes.values()):
        return None
    if not sizes:
        ledger.wrong(node, "a joint without series and sizes", "1310, or {cap: 27.0 mm, span: 81.8 mm}")
        return None
    return ShaftJoint(name, "", (sizes.get("cap"), sizes.get("second cap")),
                      (sizes.get("span"), sizes.get("second span")), node.place)


def _series(ledger: Ledger, node: Node) -> str | None:
    known = [s.name for s in listed_series()]
    text = plain(ledger, node, f"a series such as {known[0]}")
    if text is None:
        return None
    name = text.value.strip()
    if name in known:
        return name
    ledger.wrong(text, "no joint series of the table has this name", f"one of {', '.join(known)}, or its sizes",
                 "measure it: {cap: 27.0 mm, span: 81.8 mm}")
    return None


def _seat(ledger: Ledger, node: Node, riding: Riding) -> SpringSeat | None:
    found = form(ledger, node, SEAT, "a spring seat")
    if found is None:
        return None
    front, rear = point(ledger, found["from"]), point(ledger, found["to"])
    long, place = length(ledger, found["length"]), choice(ledger, found["spring"], SPRINGS)
    if front is None or rear is None or long is None or place is None:
        return None
    if front == rear:
        ledger.wrong(found["to"], f"both ends of the seat are {front}", "two hardpoints along it, front first")
        return None
    good = riding.check(ledger, found["from"], front, ("axle",), "on the spring seat")
    good = riding.check(ledger, found["to"], rear, ("axle",), "on the spring seat") and good
    return SpringSeat(front, rear, long, place == SPRINGS[0], node.place) if good else None


def _apart(ledger: Ledger, node: Node) -> tuple[float, float] | None:
    found = form(ledger, node, APART, "bearings apart")
    if found is None:
        return None
    gearbox, pinion = length(ledger, found["gearbox"]), length(ledger, found["pinion"])
    return None if gearbox is None or pinion is None else (gearbox, pinion)
