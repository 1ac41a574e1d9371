"""An amount with its give or take, as gauge or paper gave it."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Fact:
    """An amount in its internal unit that no hardpoint gives. ``sd`` is its standard deviation, None when nobody said
    how well it is known; ``source`` says what it was read with or from which sheet it is."""

    value: float
    sd: float | None = None
    source: str = ""


@dataclass(frozen=True, slots=True)
class SizeRead:
    """The name of a SIZE reading of the build, which gives the amount once the survey is solved."""

    name: str
