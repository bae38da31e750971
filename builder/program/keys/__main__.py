"""Write the page of all keys: ``python -m builder.program.keys docs/keys.md``."""

import sys
from pathlib import Path

from builder.program.keys.document import document

Path(sys.argv[1]).write_text(document(), encoding="utf-8")
