"""``handbook evidence``."""

from datetime import date
from pathlib import Path

import click

from builder.cli.options import FOLDER, as_of_option, content_option, quiet_option, site_option
from builder.cli.telling import faults_told, progress, say


@click.command()
@click.option("--out", type=FOLDER, required=True, help="New folder for the pack.")
@site_option("--site", "Published site with the released revisions.")
@content_option
@as_of_option
@quiet_option
def evidence(out: Path, site: Path, content: Path, as_of: date, quiet: bool) -> int:
    r"""Gather what an auditor asks for: one PDF with contents, and the tables behind it as CSV.

    \b
    Examples:
      handbook evidence --out audit-2026
      handbook evidence --out audit-2026 --site /srv/handbook --content my-site --as-of 2026-12-01
    """
    from builder.release.evidence import evidence as gather  # noqa: PLC0415 - `--help` needs none of it

    with faults_told(content), progress(quiet=quiet) as tell:
        pack = gather(content, site, as_of, out, tell=tell)
    if not quiet:
        say(f"{pack.out.as_posix()}: {', '.join(pack.files)} ({pack.pages} pages of the handbook)")
    return 0
