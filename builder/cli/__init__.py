"""The command ``handbook``: a thin shell over the pipeline, and the only place that talks to a terminal."""

from builder.cli.main import run

__all__ = ["run"]
