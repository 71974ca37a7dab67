"""``python -m kit``: the same front door as ``pourtable``."""

from kit.cli import main

raise SystemExit(main())
