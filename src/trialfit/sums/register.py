"""What a sum is, where all of them are kept, and how doubt goes through one."""

import difflib
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TypeVar

_F = TypeVar("_F", bound=Callable[..., float | str])

_REGISTER: dict[str, "Sum"] = {}


@dataclass(frozen=True, slots=True)
class Ask:
    """One input of a sum.

    ``dimension`` is a word that ``units`` knows (``length``, ``angle``, ``speed``, ``text`` ...); the function
    receives the value in the house's internal unit for it. ``choices`` lists the words allowed when the
    dimension is ``text``. ``default`` makes the input optional; it is in the internal unit.
    """

    key: str
    dimension: str
    meaning: str
    default: float | str | None = None
    choices: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Sum:
    """One calculation: its name, inputs, answer, formula in words, source and caution."""

    name: str
    title: str
    asks: tuple[Ask, ...]
    gives: str
    dimension: str
    unit: str
    words: str
    source: str
    caution: str
    function: Callable[..., float | str]


@dataclass(frozen=True, slots=True)
class Result:
    """Answer of one sum in the house's internal unit, with its standard deviation (None when no input had one)."""

    value: float
    sd: float | None


def a_sum(
    name: str,
    *,
    title: str,
    asks: tuple[Ask, ...],
    gives: str,
    dimension: str,
    unit: str,
    words: str,
    source: str,
    caution: str = "",
) -> Callable[[_F], _F]:
    """Put a function of plain floats into the register under ``name``.

    Parameters
    ----------
    name : str
        short, stable, lower case with hyphens (``tube-whirl``)
    gives : str
        what the answer is, in trade words
    dimension : str
        dimension of the answer, a word of ``units``
    unit : str
        the unit the answer is shown in, as ``units`` reads it (``rpm``, ``mm``, ``deg``)

    Raises
    ------
    ValueError
        when the name is taken
    """

    def put(function: _F) -> _F:
        if name in _REGISTER:
            raise ValueError(f"two sums are called {name}")
        _REGISTER[name] = Sum(name, title, asks, gives, dimension, unit, words, source, caution, function)
        return function

    return put


def all_sums() -> list[Sum]:
    """Every sum registered so far, by name. ``checks`` imports all trades, so from there up it is complete."""
    return [_REGISTER[k] for k in sorted(_REGISTER)]


def find_sum(name: str) -> Sum:
    """The sum called ``name``.

    Raises
    ------
    KeyError
        with the nearest known names in its text
    """
    if name in _REGISTER:
        return _REGISTER[name]
    near = difflib.get_close_matches(name, _REGISTER, n=3, cutoff=0.4)
    hint = f"; nearest: {', '.join(near)}" if near else ""
    raise KeyError(f"no sum is called '{name}'{hint}")


def work(sum_: Sum, values: Mapping[str, float | str], doubts: Mapping[str, float]) -> Result:
    """Work one sum, its inputs taken as independent, doubt carried by central differences (first order).

    Parameters
    ----------
    values : mapping
        input key to value in the internal unit, or to a word
    doubts : mapping
        input key to standard deviation in the internal unit

    Raises
    ------
    ValueError
        when the function refuses the values, or the answer is not a finite number

    Source: GUM (JCGM 100:2008) 5.1.2, law of propagation for uncorrelated inputs.
    """
    args: dict[str, float | str] = {}
    for ask in sum_.asks:
        if ask.key in values:
            args[ask.key] = values[ask.key]
        elif ask.default is not None:
            args[ask.key] = ask.default
        else:
            raise ValueError(f"{sum_.name} needs {ask.key} ({ask.meaning})")

    def at(changed: Mapping[str, float | str]) -> float:
        answer = sum_.function(**{**args, **changed})
        if isinstance(answer, str) or not math.isfinite(answer):
            raise ValueError(f"{sum_.name} has no finite answer for these values")
        return float(answer)

    value = at({})
    if not doubts:
        return Result(value, None)
    variance = 0.0
    for key, sd in doubts.items():
        centre = args[key]
        if isinstance(centre, str):
            raise ValueError(f"{key} is a word and cannot have a doubt")
        variance += (at({key: centre + 0.5 * sd}) - at({key: centre - 0.5 * sd})) ** 2 if sd > 0.0 else 0.0
    return Result(value, math.sqrt(variance))
