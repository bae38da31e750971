"""Whether the long part is asked for, as ``make trust`` does."""

from __future__ import annotations

import os

LONG = os.environ.get("HANDBOOK_TRUST") == "long"
