"""Price: every finish beside the chosen one, extras, the total, and how it is paid."""

from __future__ import annotations

from typing import Any

from kit.proposal.shown import ClientView

PLACE = 40


def facts(view: ClientView) -> dict[str, Any]:
    """The offer's options, total and payment plan."""
    assert view.price is not None, "no paper without a price"
    # with a plan, how it was measured is told beside its areas
    measured = view.plan is not None
    return {"price": view.price, "payments": view.payments, "measured": measured}
