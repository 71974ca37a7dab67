"""What we pour: the plan to scale, its areas, what is in the price and what is not."""

from __future__ import annotations

from typing import Any

from kit.proposal.shown import ClientView

PLACE = 30


def facts(view: ClientView) -> dict[str, Any] | None:
    """The drawing, the table of areas and the scope."""
    if not (view.plan or view.scope_in or view.scope_out):
        return None
    return {
        "plan": view.plan,
        "larger": view.larger_plans,
        "in": view.scope_in,
        "out": view.scope_out,
    }
