"""What the builder says goes together: joints between the ports of parts, and chains of adapters that are wanted.

The parts themselves are :class:`trialfit.parts.Part`. Lengths [mm].
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

from trialfit.findings import Place
from trialfit.parts import Fact, SizeRead, Value


@dataclass(frozen=True, slots=True)
class PortAt:
    """A port by the name of its part and its own."""

    part: str
    port: str

    def __str__(self) -> str:
        return f"{self.part}.{self.port}"


@dataclass(frozen=True, slots=True)
class LayerSaid:
    """Something clamped between two ports and its thickness; None when it is unknown."""

    name: str
    thickness: Fact | SizeRead | None


@dataclass(frozen=True, slots=True)
class MateSaid:
    """A joint of one kind between two ports, in the order of the kind's ends. ``name`` is unique in a build; ``use`` is
    what it serves (``brake``), "" when nothing was said; ``values`` what is said of the joint itself."""

    name: str
    kind: str
    a: PortAt
    b: PortAt
    values: Mapping[str, Value] = field(default_factory=dict)
    layers: tuple[LayerSaid, ...] = ()
    use: str = ""
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class ChainWish:
    """Two ends between which a chain of standard fittings is wanted. ``by`` is what runs between them (``hose``,
    ``pipe``, ``none`` for fittings alone); ``length`` of that run, None when it is unknown or there is none."""

    start: PortAt
    end: PortAt
    use: str = ""
    by: str = "none"
    length: Fact | SizeRead | None = None
    where: Place | None = field(default=None, compare=False)
