"""Entry of the command: ``python -m builder`` and ``handbook``."""

from __future__ import annotations

import sys


def main() -> None:
    """Run the command and leave with its status."""
    from builder.cli.main import heed_signals, run  # noqa: PLC0415 - `--version` and tests need not load it

    heed_signals()
    sys.exit(run(sys.argv[1:]))


if __name__ == "__main__":
    main()
