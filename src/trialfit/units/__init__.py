"""Text with units to numbers and back: the one room where units exist.

Answers: what did the builder write, in the unit the house keeps, and what is odd about it? And: how is a value
shown to them? In: text, or a value in the internal unit. Out: :class:`Quantity`, or text, or :class:`UnitsError`
that names what was typed, what was expected and how to mend it.

Internal units: mm, N, kg, s, rad, K, MPa (N/mm2); torque N*mm, power W, road speed mm/s, rotation rad/s, area mm2,
volume mm3, stiffness N/mm, density kg/mm3, mass per length kg/mm, volume flow mm3/s, mass flow kg/s, expansion
1/K, ratio and percentage plain fractions. The whole list is ``DIMENSIONS``. Two traps: kg and mm give no N without
a factor of 1000 (N = 1000 kg*mm/s2), and N*mm times rad/s is a thousandth of a W.

Sources: NIST SP 811 (2008), appendix B, for the factors; the suspicions are common practice, no source.
"""

from trialfit.units.dimension import DIMENSIONS, Dimension
from trialfit.units.display import both_systems, in_unit, inch_length_text, internal, length_text, show
from trialfit.units.error import UnitsError
from trialfit.units.reading import DOUBT_FACTOR, Quantity, parse, parse_with_doubt
from trialfit.units.retelling import nominal, retold, unmarked
from trialfit.units.suspicion import is_of_tapes, neighbours_suspicion
from trialfit.units.unit import known_units

__all__ = [
    "DIMENSIONS", "DOUBT_FACTOR", "Dimension", "Quantity", "UnitsError", "both_systems", "in_unit", "inch_length_text",
    "internal", "is_of_tapes", "known_units", "length_text", "neighbours_suspicion", "nominal", "parse",
    "parse_with_doubt", "retold", "show", "unmarked",
]
