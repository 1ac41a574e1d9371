"""A joint between two ports, and a kind of joint."""

from collections.abc import Callable, Iterable, Mapping
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

    @property
    def parts(self) -> frozenset[str]:
        """The two parts that meet."""
        return frozenset((self.a_part, self.b_part))


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


SIDES = ("left", "right")


def side_of(name: str) -> str:
    """On which side a joint of two that are alike lies, "" for a joint that stands alone.

    >>> side_of("rear disc left"), side_of("lateral rod at the body")
    ('left', '')
    """
    last = name.rpartition(" ")[2]
    return last if last in SIDES else ""


def both_sides(names: Iterable[str]) -> tuple[str, ...]:
    """Names of joints, each once, left and right of one joint as one.

    >>> both_sides(["rear disc left", "dipstick", "rear disc right"])
    ('rear disc left and right', 'dipstick')
    """
    told = list(dict.fromkeys(names))
    for name in tuple(told):
        stem = name.removesuffix(" left")
        if stem != name and f"{stem} right" in told:
            told[told.index(name)] = f"{stem} left and right"
            told.remove(f"{stem} right")
    return tuple(told)
