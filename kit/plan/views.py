"""The places a floor is looked at from, by name: whoever offers a view reads this list."""

from __future__ import annotations

from typing import Literal, get_args

View = Literal["above", "room", "doorway", "wall"]
"""From above, or from one of three places in the largest room."""

Standing = Literal["room", "doorway", "wall"]
STANDINGS: tuple[Standing, ...] = get_args(Standing)
VIEWS: tuple[View, ...] = get_args(View)

FROM: dict[Standing, str] = {
    "room": "To window",
    "doorway": "From door",
    "wall": "Along wall",
}
"""What a button says; the first is what papers show."""

SEEN: dict[View, str] = {
    "above": "from above",
    "room": "in the room, towards the window",
    "doorway": "in the room, from the doorway",
    "wall": "in the room, along the long wall",
}
"""How a view is told in a sentence."""
