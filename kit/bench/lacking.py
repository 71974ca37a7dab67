"""What the rooms still lack: in words, and what a button beside them would do about it."""

from __future__ import annotations

from typing import Any

from kit.site import Draft, Site

Lack = dict[str, Any]
"""``says``, ``room``, ``waits`` (the price for it) and ``offers`` as [button, wish]."""


def lacks_of_rooms(site: Site, lacks: str) -> list[Lack]:
    """Every room that has no price yet, or keeps the others from theirs.

    Parameters
    ----------
    site : Site
    lacks : str
        Why there are no answers, as the table says it; "" when there are.
    """
    if not site.rooms:
        return []
    waits = bool(lacks)
    told = [_draft(draft, waits=waits and _is_needed(draft, site)) for draft in site.drafts]
    if waits and not any(one["waits"] for one in told):
        told.append(_unreached(site, lacks))
    return told


def price_lacks(site: Site) -> Lack:
    """What the rooms need before there is a price; one to blame can be taken out.

    Returns
    -------
    Lack
        ``needs`` in a word or two besides, ``waits_for`` in one.
    """
    waiting = [one for one in lacks_of_rooms(site, "no price") if one["waits"]]
    if waiting and waiting[0]["offers"]:
        needs = f"walls of {waiting[0]['room']} that close"
        return {**waiting[0], "needs": needs, "waits_for": "walls"}
    needs = "a doorway to every room" if waiting else "walls that close"
    says = f"No price yet: it needs {needs}."
    return {"says": says, "needs": needs, "waits_for": "doorway" if waiting else "walls"}


def stations_so_far(site: Site) -> dict[str, str]:
    """Say under each step without a price what the rooms lack and the others wait for."""
    waits_for = price_lacks(site)["waits_for"]
    begun = "walls open" if any(draft.walls for draft in site.drafts) else "no walls yet"
    waits = f"waits for {waits_for}"
    rooms = begun if waits_for == "walls" else f"needs {waits_for}"
    return {"rooms": rooms, "price": waits, "paper": waits}


def _is_needed(draft: Draft, site: Site) -> bool:
    """Whether a doorway or the way out leads there, so that no price can do without it."""
    needed = {name for doorway in site.doorways for name in doorway.between}
    return draft.name in needed or bool(site.way_out and site.way_out.room == draft.name)


def _draft(draft: Draft, *, waits: bool) -> Lack:
    what = f"The walls of {draft.name} do not close" if draft.walls else (
        f"{draft.name} has no walls"
    )  # fmt: skip
    then = "The price waits for it." if waits else "It is not in the price."
    return {
        "says": f"{what} yet. {then}",
        "room": draft.name,
        "waits": waits,
        "offers": [[f"Remove {draft.name}", {"do": "room_remove", "room": draft.name}]],
    }


def _unreached(site: Site, lacks: str) -> Lack:
    told = lacks.casefold()
    named = (r.name for r in site.rooms if told.startswith(r.name.casefold()))
    room = max(named, key=len, default="A room")
    return {
        "says": f"{room} has no doorway to the other rooms yet. The price waits for it.",
        "room": room,
        "waits": True,
        "offers": [],
    }
