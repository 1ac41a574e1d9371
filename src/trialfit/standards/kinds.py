"""What a shape is to its neighbours, and what two kinds of neighbour ask of the gap between them."""

import difflib
from collections.abc import Mapping

from trialfit.standards.rules import Rule, rule

KINDS: dict[str, str] = {
    "exhaust": "hot exhaust pipe, box or flange",
    "floor": "floor, tunnel or bulkhead of the body",
    "body": "any other outer panel: wheel arch, wing, bumper, boot floor",
    "frame": "chassis rail, cross member, subframe or a bracket fixed to one",
    "fuel": "tank, filler, pump, filter or line that holds fuel",
    "brake-line": "hydraulic brake pipe or hose",
    "wiring": "loom, battery, starter cable or other electrical part",
    "rubber": "hose, boot, mount, bush or trim that heat spoils",
    "tyre": "tyre on its wheel",
    "brake": "disc, drum, calliper or parking brake cable",
    "axle": "axle housing, half shaft tube, differential",
    "shaft": "propeller shaft and its joints",
    "link": "suspension link, lateral rod or steering rod",
    "spring": "leaf or coil spring and its shackle",
    "damper": "damper or shock absorber",
    "engine": "engine and what is bolted to it",
    "gearbox": "gearbox, transfer box or bell housing",
    "other": "anything that fits no other word; taken as a fixed part",
}
"""Every word a shape's ``kind`` may be, with its meaning."""

_MOVING = frozenset({"axle", "shaft", "link", "spring", "damper"})
_POWER = frozenset({"engine", "gearbox"})
_BURNS = frozenset({"wiring", "rubber"})
_PANEL = frozenset({"floor", "body"})


def check_kind(kind: str) -> str:
    """The kind itself, when it is one of :data:`KINDS`.

    Raises
    ------
    ValueError
        for any other word, naming the nearest known ones

    >>> check_kind("brake-line")
    'brake-line'
    """
    if kind in KINDS:
        return kind
    near = difflib.get_close_matches(kind, KINDS, n=3, cutoff=0.4) or list(KINDS)
    raise ValueError(f"no kind of shape is called '{kind}'; nearest: {', '.join(near)}")


def gap_rule_name(kind_a: str, kind_b: str) -> str:
    """Name of the rule that asks for a gap between two kinds of shape; the order of the two does not matter.

    Raises
    ------
    ValueError
        for a word that is no kind

    >>> gap_rule_name("floor", "exhaust")
    'exhaust-to-floor'
    >>> gap_rule_name("axle", "frame")
    'moving-to-fixed'
    """
    pair = {check_kind(kind_a), check_kind(kind_b)}
    if "exhaust" in pair:
        return _beside_exhaust(next(iter(pair - {"exhaust"}), "exhaust"))
    if "tyre" in pair:
        return "line-to-tyre" if pair & {"brake-line", "wiring"} else "tyre-to-body"
    if "brake-line" in pair and pair & (_MOVING | _POWER):
        return "brake-line-to-moving"
    if "shaft" in pair and not pair & (_MOVING - {"shaft"}):
        return "shaft-to-tunnel"
    if pair & (_MOVING | {"brake"}):
        return "moving-to-fixed"
    if pair & _POWER:
        return "engine-to-fixed"
    return "fixed-to-fixed"


def _beside_exhaust(other: str) -> str:
    if other == "fuel":
        return "exhaust-to-fuel"
    if other in {"brake-line", "brake"}:
        return "exhaust-to-brake-line"
    if other in _BURNS:
        return "exhaust-to-combustible"
    if other in _PANEL:
        return "exhaust-to-floor"
    if other == "tyre":
        return "exhaust-to-tyre"
    if other in _MOVING:
        return "exhaust-to-moving"
    return "exhaust-to-fixed"


def required_gap(kind_a: str, kind_b: str, choices: Mapping[str, str] | None = None) -> tuple[float, Rule]:
    """Gap that the trade or a regulation asks for between two kinds of shape.

    Heat shields, bush squash and panel flex are in none of the figures except where a version says so: leaving them
    out errs on the short side, so a builder's own larger figure always goes first.

    Parameters
    ----------
    kind_a, kind_b : str
        words of :data:`KINDS`
    choices : mapping of str to str, optional
        rule name to the label of the version the builder puts in force

    Returns
    -------
    tuple of float and Rule
        required gap [mm] and the rule it comes from, with the chosen version in force

    Raises
    ------
    ValueError
        for a word that is no kind, or a choice that is no version of the rule

    >>> gap, why = required_gap("exhaust", "tyre")
    >>> gap, why.in_force.kind
    (50.0, 'CP')
    """
    name = gap_rule_name(kind_a, kind_b)
    chosen = rule(name, (choices or {}).get(name))
    return chosen.in_force.value, chosen
