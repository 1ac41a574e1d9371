"""The register of sums: one named engineering calculation, each of which can also be worked alone.

A trade writes an ordinary function of SI-like floats (mm, N, kg, s, rad, K, MPa) and puts
:func:`a_sum` on it; the register then knows its inputs, formula in words, source and caution.
:func:`work` runs one with the doubt of its inputs carried through. Text and units stay in ``units``.
"""

from trialfit.sums.register import Ask, Result, Sum, a_sum, all_sums, find_sum, work

__all__ = ["Ask", "Result", "Sum", "a_sum", "all_sums", "find_sum", "work"]
