"""A part, and its ports: the places where it meets another part."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TypeAlias

from trialfit.findings import Place
from trialfit.parts.fact import Fact, SizeRead

Value: TypeAlias = Fact | SizeRead | str | tuple[Fact, ...] | tuple[tuple[Fact, Fact], ...]
"""What is known of one field: an amount, a word, a list of amounts, or a list of points in the plane (across, up)."""


@dataclass(frozen=True, slots=True)
class Said:
    """Words and sizes by field name, as the builder wrote them. A field that is not in it is unknown."""

    values: Mapping[str, Value]

    def size(self, key: str) -> Fact | None:
        """The amount of that field in its internal unit; None when it is unknown.

        Raises
        ------
        TypeError
            when the field holds something else: a fault of the program
        """
        value = self.values.get(key)
        if value is None or isinstance(value, Fact):
            return value
        raise TypeError(f"{key} holds no single amount: {value!r}")

    def word(self, key: str) -> str:
        """The word of that field; "" when it is unknown."""
        value = self.values.get(key, "")
        if isinstance(value, str):
            return value
        raise TypeError(f"{key} holds no word: {value!r}")

    def count(self, key: str) -> int | None:
        """The whole number of that field; None when it is unknown."""
        value = self.size(key)
        return None if value is None else round(value.value)

    def sizes(self, key: str) -> tuple[Fact, ...]:
        """The amounts of that field; () when they are unknown."""
        value = self.values.get(key, ())
        if isinstance(value, tuple) and all(isinstance(v, Fact) for v in value):
            return tuple(v for v in value if isinstance(v, Fact))
        raise TypeError(f"{key} holds no list of amounts: {value!r}")

    def points(self, key: str) -> tuple[tuple[Fact, Fact], ...]:
        """The points of that field, each (across, up); () when they are unknown."""
        value = self.values.get(key, ())
        if isinstance(value, tuple) and not any(isinstance(v, Fact) for v in value):
            return tuple(v for v in value if isinstance(v, tuple))
        raise TypeError(f"{key} holds no list of points: {value!r}")


@dataclass(frozen=True, slots=True)
class Port(Said):
    """One place of a part where another part meets it. ``kind`` is a name of :class:`PortKind`; ``name`` is unique
    within its part."""

    kind: str
    name: str
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class Part:
    """A part from somewhere: its ports, its material (a word of the density table or ""), and where it came from in
    the builder's words."""

    name: str
    ports: tuple[Port, ...]
    material: str = ""
    note: str = ""
    where: Place | None = field(default=None, compare=False)

    def port(self, name: str) -> Port | None:
        """The port of that name; None when the part has none."""
        return next((port for port in self.ports if port.name == name), None)
