"""An office: a table for each of its people, one job book for all of them.

::

    browsers ─ TLS proxy ─ JupyterHub ─┬ seat of Ann ─┐
                                       └ seat of Ben ─┴ the job book, on PostgreSQL

The configuration lies in ``demo_assets/office``; ``python -m kit office --out FOLDER``
writes it out, to be changed.
"""

from kit.office.secrets import secret
from kit.office.writing_out import write_office

__all__ = ["secret", "write_office"]
