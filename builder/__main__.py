"""Entry of the command: ``python -m builder`` and ``handbook``."""

from __future__ import annotations

import sys


def main() -> None:
    """Run the command and leave with its status."""
    from builder.cli import run  # noqa: PLC0415 - `--version` and tests need not load it

    sys.exit(run(sys.argv[1:]))


if __name__ == "__main__":
    main()
