"""Write the page of all keys: ``python -m builder.program.keys > docs/keys.md``."""

import sys

from builder.program.keys.document import document

sys.stdout.reconfigure(encoding="utf-8")  # type: ignore[union-attr]
sys.stdout.write(document())
