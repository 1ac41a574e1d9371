"""``trialfit sum``: the register, one sum explained, one sum worked."""

import difflib

from rich.console import Console
from rich.table import Table

from trialfit import units
from trialfit.sums import Ask, Sum, all_sums, find_sum, work


class SumRefused(Exception):
    """What was typed after ``trialfit sum`` cannot be worked; the text says why and how to mend it."""


def pairs(words: tuple[str, ...]) -> dict[str, str]:
    """Join shell words into ``key=value`` pairs, so that ``length=1230 mm +- 3 mm`` needs no quotes.

    Raises
    ------
    SumRefused
        when the first word holds no ``=``, or a key comes twice

    >>> pairs(("length=1230", "mm", "+-", "3", "mm", "ends=pinned"))
    {'length': '1230 mm +- 3 mm', 'ends': 'pinned'}
    """
    found: dict[str, str] = {}
    key = ""
    for word in words:
        head, sign, tail = word.partition("=")
        if sign and head.strip().replace("_", "").replace("-", "").isalnum() and not head.strip()[0].isdigit():
            key = head.strip().replace("-", "_")
            if key in found:
                raise SumRefused(f"{key} is given twice")
            found[key] = tail.strip()
        elif key:
            found[key] = f"{found[key]} {word}".strip()
        else:
            raise SumRefused(f'"{word}" is no input; write key=value, e.g. length=1230 mm')
    return found


def _one(ask: Ask, text: str) -> tuple[float | str, float | None]:
    if ask.dimension == "text":
        if ask.choices and text not in ask.choices:
            raise SumRefused(f'{ask.key}: "{text}" is not one of {", ".join(ask.choices)}')
        return text, None
    try:
        quantity, sd = units.parse_with_doubt(text, ask.dimension)
    except units.UnitsError as error:
        raise SumRefused(f"{ask.key}: {error}") from None
    return quantity.value, sd


def worked(name: str, words: tuple[str, ...]) -> dict[str, object]:
    """Work a sum from text: the JSON answer of ``trialfit sum NAME key=value ... --json``.

    Raises
    ------
    SumRefused
        for an unknown name, an unknown or missing key, a value that cannot be read or is out of range
    """
    sum_ = found(name)
    given = pairs(words)
    known = {ask.key: ask for ask in sum_.asks}
    values: dict[str, float | str] = {}
    doubts: dict[str, float] = {}
    for key, text in given.items():
        if key not in known:
            near = difflib.get_close_matches(key, known, n=1, cutoff=0.4)
            hint = f"; did you mean {near[0]}?" if near else ""
            raise SumRefused(f"{sum_.name} has no input {key}{hint} It asks for {', '.join(known)}.")
        value, sd = _one(known[key], text)
        values[key] = value
        if sd is not None:
            doubts[key] = sd
    missing = [a for a in sum_.asks if a.key not in values and a.default is None]
    if missing:
        wanted = "; ".join(f"{a.key} ({a.meaning})" for a in missing)
        raise SumRefused(f"{sum_.name} still needs {wanted}")
    try:
        result = work(sum_, values, doubts)
    except ValueError as error:
        raise SumRefused(str(error)) from None
    scale = units.in_unit(1.0, sum_.unit) - units.in_unit(0.0, sum_.unit)
    return {
        "name": sum_.name,
        "value": units.in_unit(result.value, sum_.unit),
        "unit": sum_.unit,
        "sd": None if result.sd is None else result.sd * abs(scale),
        "gives": sum_.gives,
        "words": sum_.words,
        "source": sum_.source,
        "caution": sum_.caution,
    }


def found(name: str) -> Sum:
    """The sum called ``name``.

    Raises
    ------
    SumRefused
        naming the nearest ones
    """
    try:
        return find_sum(name)
    except KeyError as error:
        raise SumRefused(f"{error.args[0]}; 'trialfit sum' lists them all") from None


def described(sum_: Sum) -> dict[str, object]:
    """One sum without values, for JSON."""
    return {
        "name": sum_.name, "title": sum_.title, "gives": sum_.gives, "unit": sum_.unit, "words": sum_.words,
        "source": sum_.source, "caution": sum_.caution,
        "inputs": [
            {"key": a.key, "dimension": a.dimension, "meaning": a.meaning, "choices": list(a.choices),
             "optional": a.default is not None}
            for a in sum_.asks
        ],
    }


def show_all(console: Console) -> None:
    """Print the register."""
    table = Table(box=None, padding=(0, 2, 0, 0))
    table.add_column("sum", style="bold")
    table.add_column("what it gives")
    table.add_column("asks for")
    for s in all_sums():
        table.add_row(s.name, s.title, ", ".join(a.key if a.default is None else f"({a.key})" for a in s.asks))
    console.print(table)
    console.print("\ntrialfit sum NAME explains one; trialfit sum NAME key=value ... works it.", highlight=False)


def show_one(console: Console, sum_: Sum) -> None:
    """Print what one sum asks, says and rests on."""
    console.print(f"[bold]{sum_.name}[/bold]  {sum_.title}", highlight=False)
    table = Table(box=None, padding=(0, 2, 0, 0), show_header=False)
    for a in sum_.asks:
        kind = " | ".join(a.choices) if a.choices else a.dimension
        note = "" if a.default is None else "  (may be left out)"
        table.add_row(a.key, kind, a.meaning + note)
    console.print(table)
    console.print(f"gives    {sum_.gives} [{sum_.unit}]", markup=False, highlight=False)
    console.print(f"words    {sum_.words}", markup=False, highlight=False)
    console.print(f"source   {sum_.source}", markup=False, highlight=False)
    if sum_.caution:
        console.print(f"caution  {sum_.caution}", markup=False, highlight=False)


def show_worked(console: Console, answer: dict[str, object]) -> None:
    """Print one worked sum."""
    value, sd = answer["value"], answer["sd"]
    assert isinstance(value, float)
    text = f"{value:.6g}"
    if isinstance(sd, float):
        text += f" give or take {1.96 * sd:.3g}"
    console.print(f"[bold]{text} {answer['unit']}[/bold]   {answer['gives']}", highlight=False)
    if isinstance(sd, float):
        console.print("give or take: 95 %, from the doubt of the inputs", highlight=False)
    console.print(f"source   {answer['source']}", markup=False, highlight=False)
    if answer["caution"]:
        console.print(f"caution  {answer['caution']}", markup=False, highlight=False)


__all__ = ["SumRefused", "described", "found", "pairs", "show_all", "show_one", "show_worked", "worked"]
