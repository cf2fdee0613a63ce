"""Settings for every test; the shipped book, for tests, lives in ``shipped_book``."""

from __future__ import annotations

import os
import tempfile

from hypothesis import settings

# What tests keep between runs goes when they end; commands that they start keep it there too.
_kept = tempfile.TemporaryDirectory(prefix="plaitbook-", ignore_cleanup_errors=True)
os.environ["PLAITBOOK_CACHE"] = _kept.name

# The same examples on every machine, so that a change and not chance turns a run red.
# PLAITBOOK_FUZZ=1 draws new ones.
settings.register_profile("steady", derandomize=True, deadline=None)
settings.register_profile("fuzz", deadline=None)
settings.load_profile("fuzz" if os.environ.get("PLAITBOOK_FUZZ") else "steady")
