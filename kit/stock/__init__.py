"""What can be bought, done and said: records, and the shelf they are read from."""

from kit.stock.cancelling import CancelRule
from kit.stock.cautions import Caution
from kit.stock.extras import Extra, taken_of, why_not
from kit.stock.house import Charge, CoatBuild, Equipment, House, Instalment, Sundry, Task
from kit.stock.records import Finish, Pack, Pigment, Product, Tint
from kit.stock.risks import Spread, Tie
from kit.stock.shelf import Shelf, read_shelf
from kit.stock.telling import cautions_for, terms_for
from kit.stock.terms import NO_DISCOUNT, DepositCap, Discount

__all__ = [
    "NO_DISCOUNT",
    "CancelRule",
    "Caution",
    "Charge",
    "CoatBuild",
    "DepositCap",
    "Discount",
    "Equipment",
    "Extra",
    "Finish",
    "House",
    "Instalment",
    "Pack",
    "Pigment",
    "Product",
    "Shelf",
    "Spread",
    "Sundry",
    "Task",
    "Tie",
    "Tint",
    "cautions_for",
    "read_shelf",
    "taken_of",
    "terms_for",
    "why_not",
]
