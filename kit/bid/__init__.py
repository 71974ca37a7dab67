"""What it costs and what is asked: the owner's bid and the client's offer."""

from kit.bid.asking import bid, offer_of
from kit.bid.build_up import bid_for, priced
from kit.bid.payments import payment_plan, split
from kit.bid.records import Bid, BuildUp, FinishOption, Line, Offer, Payment
from kit.bid.writing import owner_json

__all__ = [
    "Bid",
    "BuildUp",
    "FinishOption",
    "Line",
    "Offer",
    "Payment",
    "bid",
    "bid_for",
    "offer_of",
    "owner_json",
    "payment_plan",
    "priced",
    "split",
]
