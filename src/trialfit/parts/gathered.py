"""Every kind of port that is known, gathered from the trades' modules."""

from trialfit.parts import (
    axle_ports,
    brake_ports,
    driveline_ports,
    engine_ports,
    hole_ports,
    hydraulic_ports,
    pipe_ports,
    wheel_ports,
)
from trialfit.parts.kinds import PortKind

PORT_KINDS: tuple[PortKind, ...] = (
    *wheel_ports.PORTS, *brake_ports.PORTS, *axle_ports.PORTS, *driveline_ports.PORTS, *engine_ports.PORTS,
    *hole_ports.PORTS, *hydraulic_ports.PORTS, *pipe_ports.PORTS,
)
