"""The same examples in every run; `TENPADS_EXPLORE=1` lets the property tests look for new ones."""

from __future__ import annotations

import os

from hypothesis import settings

settings.register_profile("steady", derandomize=True, deadline=None)
settings.register_profile("explore", deadline=None)
settings.load_profile("explore" if os.environ.get("TENPADS_EXPLORE") else "steady")
