"""What is a part, and where does it meet another?

In: nothing. Out: frozen records: :class:`Part` with its :class:`Port` values, each of a :class:`PortKind` that says
what can be known of it. A port holds what the builder wrote, in internal units, each amount with its give or take.
Nothing here judges whether two ports go together; ``mates`` does. The kinds of port stand in the modules named for
their trade and are gathered in :data:`PORT_KINDS`.
"""

from trialfit.parts.fact import Fact, SizeRead
from trialfit.parts.kinds import LISTS, WORDS, Ask, PortKind
from trialfit.parts.port import Part, Port, Said, Value

__all__ = ["LISTS", "WORDS", "Ask", "Fact", "Part", "Port", "PortKind", "Said", "SizeRead", "Value"]
