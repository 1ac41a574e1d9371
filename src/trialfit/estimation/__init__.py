"""What do too many readings say together, how sure is it, and which of them does not belong?

In: a model of plain numbers (unknowns to computed readings, with its derivatives), what was read, and the standard
deviation of each. Out: :class:`Adjustment` (unknowns, covariance, residuals, redundancy, local and global tests) or
:class:`Underdetermined`, which says which unknowns nothing holds. Nothing here knows what the unknowns are.

Sources: GUM (JCGM 100:2008); W. Baarda, A testing procedure for use in geodetic networks, 1968 (from memory);
A. J. Pope, The statistics of residuals and the detection of outliers, NOAA TR NOS 65 NGS 1, 1976 (from memory);
K. Madsen, H. B. Nielsen and O. Tingleff, Methods for non-linear least squares problems, 2004, 3.2 (from memory).
"""

from trialfit.estimation.adjustment import Adjustment, Model, Underdetermined, adjust, assess, descend
from trialfit.estimation.looseness import fixing_readings, held_covariance
from trialfit.estimation.significance import (
    LOCAL_LIMIT,
    GlobalTest,
    global_test,
    left_out,
    normal_limit,
    smallest_showing,
    tau_limit,
)

__all__ = [
    "LOCAL_LIMIT", "Adjustment", "GlobalTest", "Model", "Underdetermined", "adjust", "assess", "descend",
    "fixing_readings", "global_test", "held_covariance", "left_out", "normal_limit", "smallest_showing", "tau_limit",
]
