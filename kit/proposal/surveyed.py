"""What a survey adds to what is in the price, in the words of the paper."""

from __future__ import annotations

from collections.abc import Collection
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from kit.proposal.measures import Measures
    from kit.takeoff import Takeoff


def surveyed_words(
    takeoff: Takeoff, doing: Collection[str], measures: Measures
) -> tuple[str, ...]:
    """Say how much of each thing that was surveyed is in the price.

    Parameters
    ----------
    takeoff : Takeoff
    doing : collection of str
        Keys of the tasks that are done; what nobody does is not said.
    measures : Measures
        Language and units of the paper.
    """
    slab, stepped, say = takeoff.slab, takeoff.stepped, measures.words
    areas_m2 = {
        "take_up_flooring": slab.removal_m2.get("covering", 0.0),
        "remove_coating": slab.removal_m2.get("coating", 0.0),
        "remove_adhesive": slab.removal_m2.get("adhesive", 0.0),
        "patch": slab.patches_m2,
    }
    lengths_m = {
        "fill_joints": slab.joints_filled_m,
        "honor_joints": slab.joints_honored_m,
        "dress_nosings": stepped.nosings_m,
        "finish_edges": stepped.edges_m,
    }
    much = {task: measures.area(area) for task, area in areas_m2.items() if area}
    if stepped.steps:
        much["lay_stairs"] = say.count(stepped.steps)
    much |= {task: measures.length(m) for task, m in lengths_m.items() if m}
    return tuple(
        say(f"scope.{task}", much=words) for task, words in much.items() if task in doing
    )
