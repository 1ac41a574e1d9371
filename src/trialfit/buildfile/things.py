"""Shapes: what takes up room, each on its hardpoints."""

import math
import re
from typing import Any

from trialfit.buildfile.amounts import amount, amount_in, length
from trialfit.buildfile.forms import choice, form, point, points
from trialfit.buildfile.keys import MESH_ENDINGS, SHAPES
from trialfit.buildfile.ledger import Ledger, plain
from trialfit.buildfile.running_gear import BODY_NAMES, Riding
from trialfit.buildfile.tree import Items, Node, Table, Text, what
from trialfit.standards import KINDS
from trialfit.vehicle import Amount, Box, Cone, Drum, Mesh, MeshTie, Plate, Shape, Tube

_FORMS = list(SHAPES)
_COORDINATES = 3
_MOST_MM = 1e9


def shapes(ledger: Ledger, node: Node, riding: Riding) -> tuple[Shape, ...]:
    """Every shape of the section."""
    if not isinstance(node, Table):
        ledger.wrong(node, f"{what(node)} in place of keys",
                     "each shape under its name, e.g. tank: {box: tank.a tank.b, kind: fuel}",
                     "take the dashes out" if isinstance(node, Items) else "")
        ledger.whole = False
        return ()
    found: list[Shape] = []
    alike: dict[str, str] = {}
    for key, value in node.pairs:
        slug = "-".join("".join(c if c.isalnum() else " " for c in key.value.lower()).split())
        if not slug or re.search(r"[/=]", key.value) or key.value.casefold().startswith("exhaust."):
            ledger.wrong(
                key, "this cannot name a shape", "a name without / and =, not beginning with exhaust., e.g. axle tube"
            )
            continue
        if slug in alike:
            ledger.wrong(key, f"too like the name of another shape, {alike[slug]}", mend="give one another name")
            continue
        alike[slug] = key.value
        made = _shape(ledger, key, value, riding)
        if made is not None:
            found.append(made)
    return tuple(found)


def _shape(ledger: Ledger, key: Text, node: Node, riding: Riding) -> Shape | None:
    if not isinstance(node, Table):
        ledger.wrong(key if isinstance(node, Text) and node.nothing else node, f"{what(node)} in place of keys",
                     f"one of {', '.join(_FORMS)} with what belongs to it, e.g. {{box: tank.a tank.b, kind: fuel}}")
        return None
    given = [name for name, _ in node.pairs if name.value in SHAPES]
    if not given:
        near = next(filter(None, (ledger.guess(name.value, _FORMS, 1) for name, _ in node.pairs)), "")
        ledger.wrong(key, "no form of a shape is named", f"one of {', '.join(_FORMS)}", near)
        return None
    if len(given) > 1:
        ledger.wrong(given[1], f"two forms in one shape: {given[0].value} and {given[1].value}",
                     f"one of {', '.join(_FORMS)}", "make two shapes of it")
        return None
    kind_of = given[0].value
    found = form(ledger, node, SHAPES[kind_of], f"a {kind_of}")
    if found is None:
        return None
    kind = choice(ledger, found["kind"], list(KINDS))
    body: str | None = ""
    if "body" in found:
        body = choice(ledger, found["body"], BODY_NAMES)
    made = _MAKERS[kind_of](ledger, found, node)
    if kind is None or body is None or made is None:
        return None
    shape_class, hardpoints, fields = made
    riders = sorted({riding.on(p) for p in hardpoints})
    if body:
        for p in hardpoints:
            if riding.on(p) not in (body, "frame"):
                ledger.doubt(found["body"], f"{p} rides on the {riding.on(p)}, and this shape on the {body}",
                             "take the body out, or move the hardpoint under bodies")
                break
    elif len(riders) == 1:
        body = riders[0]
    elif shape_class is not Tube and shape_class is not Cone and ledger.whole:
        ledger.wrong(
            given[0],
            f"the hardpoints of this {kind_of} ride on the {' and the '.join(riders)}",
            "hardpoints on one body, or body: and its name",
            f"add body: {riders[0]} if that is what it rides on",
        )
        return None
    shape: Shape = shape_class(key.value, kind, body, key.place, **fields)
    return shape


_Made = tuple[Any, tuple[str, ...], dict[str, Any]]


def _tube(ledger: Ledger, found: dict[str, Node], node: Table) -> _Made | None:
    ends = points(ledger, found["tube"], 2, 2, "axle.L axle.R")
    diameter = amount(ledger, found["diameter"])
    if ends is None or diameter is None:
        return None
    return Tube, ends, dict(start=ends[0], end=ends[1], diameter=diameter)


def _cone(ledger: Ledger, found: dict[str, Node], node: Table) -> _Made | None:
    ends = points(ledger, found["cone"], 2, 2, "bell.f bell.r")
    both = _two_lengths(ledger, found["diameters"])
    if ends is None or both is None:
        return None
    return Cone, ends, dict(start=ends[0], end=ends[1], diameter_start=both[0], diameter_end=both[1])


def _two_lengths(ledger: Ledger, node: Node) -> tuple[Amount, Amount] | None:
    expected = "two lengths parted by to, e.g. 380 mm to 180 mm"
    if isinstance(node, Items):
        if len(node.items) != 2:
            ledger.wrong(node, f"{len(node.items)} lengths where two should stand", expected)
            return None
        first, second = amount(ledger, node.items[0]), amount(ledger, node.items[1])
    else:
        text = plain(ledger, node, expected)
        if text is None:
            return None
        parts = re.split(r"\s+to\s+", text.value)
        if len(parts) != 2:
            ledger.wrong(node, "not two lengths", expected)
            return None
        first = amount_in(ledger, text, parts[0].strip(), 0)
        second = amount_in(ledger, text, parts[1].strip(), text.value.rindex(parts[1]))
    return None if first is None or second is None else (first, second)


def _drum(ledger: Ledger, found: dict[str, Node], node: Table) -> _Made | None:
    centre = point(ledger, found["drum"])
    towards: str | None = ""
    if "towards" in found:
        towards = point(ledger, found["towards"])
    diameter, width = amount(ledger, found["diameter"]), amount(ledger, found["width"])
    if centre is None or towards is None or diameter is None or width is None:
        return None
    if centre == towards:
        ledger.wrong(found["towards"], f"the axis goes from {centre} to itself", "a second hardpoint on the axis")
        return None
    hardpoints = (centre, towards) if towards else (centre,)
    return Drum, hardpoints, dict(centre=centre, towards=towards, diameter=diameter, width=width)


def _box(ledger: Ledger, found: dict[str, Node], node: Table) -> _Made | None:
    corners = points(ledger, found["box"], 1, 2, "tank.a tank.b")
    along: dict[str, Amount | None] = {}
    good = corners is not None
    for axis in ("along x", "along y", "along z"):
        along[axis] = None
        if axis in found:
            along[axis] = amount(ledger, found[axis])
            good = good and along[axis] is not None
    if corners is None or not good:
        return None
    lacking = [axis for axis, value in along.items() if value is None]
    if len(corners) == 1 and lacking:
        ledger.wrong(found["box"], f"a box about its middle without {', '.join(lacking)}",
                     "two opposite corners, or the middle with along x, along y and along z",
                     "add a second corner, or what is missing")
        return None
    return Box, corners, dict(corner_a=corners[0], corner_b=corners[1] if len(corners) == 2 else "",
                              along_x=along["along x"], along_y=along["along y"], along_z=along["along z"])


def _plate(ledger: Ledger, found: dict[str, Node], node: Table) -> _Made | None:
    corners = points(ledger, found["plate"], 3, 100, "[fl.1, fl.2, fl.3]")
    thickness = amount(ledger, found["thickness"])
    if corners is None or thickness is None:
        return None
    return Plate, corners, dict(corners=corners, thickness=thickness)


def _mesh(ledger: Ledger, found: dict[str, Node], node: Table) -> _Made | None:
    file = plain(ledger, found["mesh"], "a file beside the build file, e.g. tunnel.stl")
    if file is None:
        return None
    name = file.value
    if re.search(r"[/\\:]|^\.|^~", name):
        ledger.wrong(
            file,
            "a file outside the folder of the build file",
            "the name of a file beside it, e.g. tunnel.stl",
            "copy the scan beside the build file and give its name alone",
        )
        return None
    if not name.casefold().endswith(MESH_ENDINGS):
        ledger.wrong(file, "this kind of file is not read as a scan", f"a name that ends in {', '.join(MESH_ENDINGS)}",
                     "export the scan as STL")
        return None
    scale: float | None = 1.0
    if "scale" in found:
        said = found["scale"]
        if isinstance(said, Text) and said.value.casefold() == "find":
            scale = None
        else:
            scale = length(ledger, said)
            if scale is None:
                return None
    ties = _ties(ledger, found["ties"])
    if ties is None:
        return None
    return Mesh, tuple(t.point for t in ties), dict(file=name, ties=ties, scale=scale)


def _ties(ledger: Ledger, node: Node) -> tuple[MeshTie, ...] | None:
    expected = "three or more hardpoints with their coordinates in the scan, e.g. {fl.1: [12.0, 5.1, 330.2], ...}"
    if not isinstance(node, Table):
        ledger.wrong(node, f"{what(node)} in place of keys", expected)
        return None
    if len(node.pairs) < 3:
        ledger.wrong(node, f"{len(node.pairs)} ties do not fix a scan", expected, "pick one more mark in the scan")
        return None
    made: list[MeshTie] = []
    for key, value in node.pairs:
        name = ledger.point(key.value, key.place)
        xyz = _coordinates(ledger, value)
        if name is None or xyz is None:
            return None
        made.append(MeshTie(name, xyz))
    return tuple(made)


def _coordinates(ledger: Ledger, node: Node) -> tuple[float, float, float] | None:
    expected = "three plain numbers in the scan's own unit, e.g. [12.0, 5.1, 330.2]"
    if not isinstance(node, Items) or len(node.items) != _COORDINATES:
        ledger.wrong(node, "not three coordinates", expected)
        return None
    numbers: list[float] = []
    for item in node.items:
        text = plain(ledger, item, expected)
        if text is None:
            return None
        said = text.value.strip()
        if not re.fullmatch(r"[-+]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][-+]?[0-9]{1,2})?", said):
            ledger.wrong(
                text, "no plain number", expected, "take the unit out: scale gives it" if said[:1].isdigit() else ""
            )
            return None
        number = float(said)
        if not math.isfinite(number) or abs(number) > _MOST_MM:
            ledger.wrong(text, "out of range", "a coordinate up to 1e9")
            return None
        numbers.append(number)
    return numbers[0], numbers[1], numbers[2]


_MAKERS = {"tube": _tube, "cone": _cone, "drum": _drum, "box": _box, "plate": _plate, "mesh": _mesh}
