"""A joint between two ports, and a kind of joint."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from trialfit.findings import Place
from trialfit.parts import Ask, Fact, Port, Said

if TYPE_CHECKING:
    from trialfit.mates.answer import Answer


@dataclass(frozen=True, slots=True)
class Layer:
    """Something clamped between the two ports: a plate, a rotor's hat, a spacer, a gasket, and how thick it is."""

    name: str
    thickness: Fact | None


@dataclass(frozen=True, slots=True)
class Joint(Said):
    """Two ports that are to meet. ``a`` and ``b`` stand in the order of the kind's ends, whatever order the builder
    wrote them in. ``values`` (of :class:`Said`) holds what is said of the joint itself: the fit wanted, a load, oiled
    or dry. ``use`` is what it serves (``brake``, ``fuel``, "" when nothing was said): it forbids some ends."""

    name: str
    kind: str
    a: Port
    b: Port
    a_part: str
    b_part: str
    a_material: str = ""
    b_material: str = ""
    layers: tuple[Layer, ...] = ()
    use: str = ""
    choices: Mapping[str, str] = field(default_factory=dict)
    """rule name to the version the builder put in force"""
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class MateKind:
    """A kind of joint: its name in trade words, the kinds of port that its first and second end may be, what can be
    said of the joint itself, and the function that judges one. ``judge`` answers every question that matters to such
    a joint, known or not: a missing size is an answer "cannot tell" that says what to measure."""

    name: str
    meaning: str
    first: tuple[str, ...]
    second: tuple[str, ...]
    judge: "Callable[[Joint], tuple[Answer, ...]]"
    asks: tuple[Ask, ...] = ()
    layered: bool = False
    """whether something may be clamped between the two"""
