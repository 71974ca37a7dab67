"""How fast the kit is on this machine: each stage beside a peer, in one interleaved run."""

from kit.measure.machine import facts
from kit.measure.rows import Row, table_of

__all__ = ["Row", "facts", "table_of"]
