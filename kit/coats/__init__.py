"""What goes down: coats, their volumes, the kits and pigments they need."""

from kit.coats.mixing import Split, split_of
from kit.coats.order import cheapest_kits
from kit.coats.stack import system_for
from kit.coats.system import (
    AggregateNeed,
    Coat,
    Fill,
    KitOrder,
    Leftover,
    PigmentNeed,
    Purchase,
    System,
)

__all__ = [
    "AggregateNeed",
    "Coat",
    "Fill",
    "KitOrder",
    "Leftover",
    "PigmentNeed",
    "Purchase",
    "Split",
    "System",
    "cheapest_kits",
    "split_of",
    "system_for",
]
