"""Every bolted joint with its torque, where that figure is from, and when it is tightened again; boxes to tick."""

from collections.abc import Sequence
from dataclasses import dataclass

from trialfit import units
from trialfit.sheets.drawing import (
    CUT_NUMBER,
    SMALL,
    SMALL_BOLD,
    SMALL_FIGURE,
    TEXT_BOLD,
    Leaf,
    LineKind,
    Mark,
    Words,
    rectangle,
)
from trialfit.sheets.paper import Cell, Column, Flow, Run, SheetMeta, Stop
from trialfit.sheets.pdf import pdf
from trialfit.structure.clamp import Spread
from trialfit.structure.torque_list import TorqueLine

SHEET = "Torque sheet"
HOW = (
    (
        "The large figure is what the wrench is set to; under it the range. A figure that is reckoned gives way to the "
        "maker's own. Dry means clean and without oil; oil on a thread that is meant to be dry overloads the bolt."
    ),
    "In steps, in a star or cross, the wrench pulled slowly. Tick when it is done; a line of paint over nut and metal.",
    (
        "Clamp is what one bolt then pulls, with friction's whole scatter. Where no torque is known nothing is "
        "tightened for good: find the maker's figure and write it in the box."
    ),
    (
        "A joint without a box is held back: what stands in place of its torque says why. A torque on a thread, seat "
        "or hole that does not fit cuts, cracks or bends what carries it, and feels tight."
    ),
)
_TICK = (rectangle(0.0, -0.6, 4.0, 3.4, LineKind.OUTLINE),)


def torque_sheet(lines: Sequence[TorqueLine], meta: SheetMeta) -> bytes:
    """The torque sheet as PDF.

    Parameters
    ----------
    lines : sequence of TorqueLine
        in the order in which they are to stand
    meta : SheetMeta
        what the foot says, and on which paper
    """
    return pdf(torque_leaves(lines, meta), f"{meta.build}: torque sheet")


def torque_leaves(lines: Sequence[TorqueLine], meta: SheetMeta) -> list[Leaf]:
    """The leaves of :func:`torque_sheet`."""
    flow = Flow(meta, SHEET)
    open_ = sum(entry.torque is None for entry in lines if not entry.held)
    flow.title(
        SHEET,
        f"{len(lines)} joint{'' if len(lines) == 1 else 's'}."
        f"{f' {open_} without a known torque: find the figure before it is tightened for good.' if open_ else ''}",
    )
    held = [entry for entry in lines if entry.held]
    if held:
        flow.stop_bar(_held_back(held, len(lines)))
        flow.skip(2.0)
    if not lines:
        flow.paragraph("No bolted joint stands in the build file yet.")
        return flow.finish()
    flow.points(HOW, SMALL)
    flow.skip(2.0)
    flow.table(
        (
            Column("", 0.25),
            Column("Joint", 1.35),
            Column("Torque", 1.15, "right"),
            Column("Clamp, one bolt", 0.95, "right"),
            Column("Torque from", 1.4),
            Column("Again", 0.7),
            Column("", 0.2),
        ),
        [_row(entry) for entry in sorted(lines, key=lambda t: (not t.held, t.torque is not None))],
    )
    flow.section("Caution", 14.0)
    flow.points(list(dict.fromkeys(entry.caution for entry in lines if entry.caution)), SMALL)
    return flow.finish()


@dataclass(frozen=True, slots=True)
class _Held(Stop):
    """The stop of a sheet on which only some of the joints are held back."""

    @property
    def head(self) -> str:
        return self.work


def _held_back(held: Sequence[TorqueLine], of: int) -> Stop:
    never = sum(entry.never for entry in held)
    told = [f"{never} do{'es' if never == 1 else ''} not fit"] if never else []
    if len(held) > never:
        told.append(f"of {len(held) - never} thread, seat or engagement is not known")
    return _Held(
        False,
        f"{len(held)} OF {of} JOINTS HELD BACK",
        f"{', '.join(told)[:1].upper()}{', '.join(told)[1:]}.",
        "They stand first, without a torque: none of them is tightened before the mates list says that it fits.",
    )


def _row(entry: TorqueLine) -> tuple[Cell, ...]:
    graded = ", ".join(
        p
        for p in (
            entry.size.replace(" x ", " \u00d7 ", 1),
            f"grade {entry.grade}" if entry.grade else "grade not known",
        )
        if p
    )
    what = [Run(entry.joint, TEXT_BOLD), Run(graded, SMALL), Run(entry.state, SMALL_BOLD)]
    if entry.locking:
        what.append(Run(_small(entry.locking), SMALL))
    if entry.one_time:
        what.append(Run(_small(entry.one_time), SMALL_BOLD))
    if entry.held:
        order = f"{_small(entry.order)}{'' if entry.never else ':'}"
        return ("", tuple(what), Run(order, TEXT_BOLD), "", tuple(Run(_small(h), SMALL) for h in entry.held), "", "")
    source = [
        *([Run(_small(entry.first), SMALL_BOLD)] if entry.first else []),
        Run(_small(entry.torque_source or "no figure found"), SMALL),
        *(Run(_small(n), SMALL) for n in entry.notes),
    ]
    again = entry.retorque
    box: Cell = _again_box() if not again.startswith("not again") else ""
    return (_TICK, tuple(what), _torque(entry.torque), _clamp(entry.clamp), tuple(source), Run(again, SMALL), box)


def _again_box() -> tuple[Mark, ...]:
    return (rectangle(0.0, -0.6, 4.0, 3.4, LineKind.OUTLINE),)


def newton_metres(value_nmm: float) -> str:
    """A torque to three figures at most.

    >>> newton_metres(49600.0), newton_metres(8250.0)
    ('50', '8.2')
    """
    amount = units.in_unit(value_nmm, "N*m")
    return f"{amount:.{_digits(amount)}f}"


def pound_feet(value_nmm: float) -> str:
    """The same in lbf ft.

    >>> pound_feet(135581.8)
    '100'
    """
    amount = units.in_unit(value_nmm, "lbf*ft")
    return f"{amount:.{_digits(amount)}f}"


def _digits(amount: float) -> int:
    return 0 if amount >= 20.0 else 1


def _range(low: float, high: float, unit: str) -> str:
    """Both ends of a range to as many digits as its upper one deserves."""
    amounts = units.in_unit(low, unit), units.in_unit(high, unit)
    digits = _digits(amounts[1])
    if amounts[1] >= 1000.0:
        amounts = round(amounts[0], -1), round(amounts[1], -1)
    return f"{amounts[0]:.{digits}f} to {amounts[1]:.{digits}f}"


def _torque(torque: Spread | None) -> Cell:
    if torque is None:
        # a box for the figure once it is found
        return (
            rectangle(-30.0, -5.0, 0.0, 3.4, LineKind.THIN),
            Words((-28.5, -2.0), "?", CUT_NUMBER),
            Words((-1.5, -1.6), "N\u00b7m", SMALL, "right"),
        )
    low, middle, high = torque.low, torque.nominal, torque.high
    return (
        Run(f"{newton_metres(middle)} N\u00b7m", CUT_NUMBER),
        Run(f"{_range(low, high, 'N*m')} N\u00b7m", SMALL_FIGURE),
        Run(f"{pound_feet(middle)} lbf\u00b7ft", SMALL_FIGURE),
        Run(_range(low, high, "lbf*ft"), SMALL_FIGURE),
    )


def _clamp(clamp: Spread | None) -> Cell:
    if clamp is None:
        return Run("not known", SMALL)
    return (
        Run(f"{_range(clamp.low, clamp.high, 'kN')} kN", SMALL_FIGURE),
        Run(f"{_range(clamp.low, clamp.high, 'lbf')} lbf", SMALL),
    )


def _small(text: str) -> str:
    shown = text.replace("N*m", "N\u00b7m")
    return shown[:1].upper() + shown[1:]
