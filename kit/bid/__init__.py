"""What it costs and what is asked: the owner's bid and the client's offer."""

from kit.bid.asking import bid, bid_of, offer_of
from kit.bid.build_up import bid_for, priced
from kit.bid.payments import (
    deposit_rule,
    most_at_signing,
    payment_concerns,
    payment_plan,
    split,
)
from kit.bid.pricing import Floor, Pricing
from kit.bid.records import (
    Bid,
    BuildUp,
    ExtraCost,
    ExtraOption,
    FinishOption,
    Line,
    Offer,
    Payment,
)
from kit.bid.trail import price_trail
from kit.bid.writing import owner_json, payments_json, risk_json

__all__ = [
    "Bid",
    "BuildUp",
    "ExtraCost",
    "ExtraOption",
    "FinishOption",
    "Floor",
    "Line",
    "Offer",
    "Payment",
    "Pricing",
    "bid",
    "bid_for",
    "bid_of",
    "deposit_rule",
    "most_at_signing",
    "offer_of",
    "owner_json",
    "payment_concerns",
    "payment_plan",
    "payments_json",
    "price_trail",
    "priced",
    "risk_json",
    "split",
]
