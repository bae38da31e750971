"""Entry of the command: ``python -m builder`` and ``handbook``."""

import sys

NO_WINDOWS = "this program does not run on Windows itself; run it in its Subsystem for Linux, or on Linux or macOS"


def main() -> None:
    """Run the command and leave with its status."""
    if sys.platform == "win32":
        sys.exit(NO_WINDOWS)
    from builder.base.gc_pause import gc_ended  # noqa: PLC0415 - as below

    try:
        from builder.cli.main import heed_signals, run  # noqa: PLC0415 - `--version` and tests need not load it
    except ModuleNotFoundError as error:
        from builder.base.missing import lacks  # noqa: PLC0415 - hardly ever

        sys.exit(lacks(error.name or ""))
    from builder.cli.streams import lasting, tell_of_loss  # noqa: PLC0415 - as above

    heed_signals()
    out = lasting()
    status = run(sys.argv[1:])
    tell_of_loss(out)
    gc_ended()
    sys.exit(status)


if __name__ == "__main__":
    main()
