"""What the price risks: the floor drawn many times over, as it may come out."""

from kit.bid.risk.classes import EstimateClass, class_of
from kit.bid.risk.reckoning import DRAWS, SEED, factors_of, risk_of
from kit.bid.risk.records import Driver, Risk

__all__ = [
    "DRAWS",
    "SEED",
    "Driver",
    "EstimateClass",
    "Risk",
    "class_of",
    "factors_of",
    "risk_of",
]
