"""What the crew reads: map, cards, days and logs, pressed into one PDF without a price."""

from kit.jobpack.pack import job_pack, job_pack_with_pages
from kit.jobpack.shown import CrewView
from kit.jobpack.viewing import crew_view

__all__ = ["CrewView", "crew_view", "job_pack", "job_pack_with_pages"]
