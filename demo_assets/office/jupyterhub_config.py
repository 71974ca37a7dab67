"""Pourtable for an office: a table for each of its people, one job book for all.

    jupyterhub --config jupyterhub_config.py

README.md beside this file says what must be there first. No secret stands in here.
"""

import sys
from pathlib import Path

from kit.office import secret

c = get_config()  # noqa: F821
here = Path(__file__).resolve().parent

# Reached from this machine only. For all others put a proxy before it that speaks TLS
# and passes WebSockets on; README.md has one.
c.JupyterHub.bind_url = "http://127.0.0.1:8000"
c.JupyterHub.hub_bind_url = "http://127.0.0.1:8081"
c.ConfigurableHTTPProxy.api_url = "http://127.0.0.1:8001"

# Made at the first start, readable by their owner only.
c.JupyterHub.cookie_secret_file = str(here / "cookie_secret")
c.JupyterHub.db_url = f"sqlite:///{here / 'hub.sqlite'}"

# Who may sit down: people of this group who have an account on this machine. Their
# tables run as themselves, so that files are their own.
c.JupyterHub.authenticator_class = "pam"
c.LocalAuthenticator.allowed_groups = {"pourtable"}
c.JupyterHub.spawner_class = "localprocess"

# What each of them gets: the table, with the book that all share.
c.Spawner.cmd = [sys.executable, "-m", "kit.office.seat"]
c.Spawner.default_url = "/voila/render/table.ipynb"
c.Spawner.environment = {
    "KIT_BOOK_URL": secret("KIT_BOOK_URL", here),
    # Cores that one picture may take; README.md says what a machine carries.
    "NUMBA_NUM_THREADS": "2",
}
c.Spawner.http_timeout = 120
c.Spawner.start_timeout = 120
