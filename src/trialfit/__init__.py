"""Trialfit: readings from a tape in, drawings and cut lists out, each number with its doubt.

The rooms, from the bottom up, are described in ``docs/architecture.md``; a module may import only
from rooms below its own, and a check in the tests holds that.
"""

__version__ = "0.1.0"
