"""The small paper of a change order: one page on which a priced difference is agreed.

::

    Change ─ change_view ─ ChangeView ─ press_change ─ one PDF
"""

from kit.proposal.change_order.pressing import press_change
from kit.proposal.change_order.shown import ChangeView
from kit.proposal.change_order.telling import told_changes
from kit.proposal.change_order.viewing import change_view

__all__ = ["ChangeView", "change_view", "press_change", "told_changes"]
