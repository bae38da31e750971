"""``handbook verify`` and ``handbook sign``."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from builder.cli.options import quiet_option
from builder.cli.telling import progress

MOST = 40
"""Faults that are shown; the rest are counted."""


@click.command()
@click.argument("site", type=click.Path(path_type=Path, file_okay=False, exists=True))
@click.option("--signers", type=click.Path(path_type=Path, dir_okay=False, exists=True), help="Trusted signers.")
@click.option("--rebuild", is_flag=True, help="Also build every frozen revision again from its content. Slow.")
@click.option(
    "--content", type=click.Path(path_type=Path, file_okay=False, exists=True), help="For --rebuild of a draft."
)
@click.option("--jobs", type=click.IntRange(1, 64), default=2, show_default=True, help="Processes for --rebuild.")
@quiet_option
def verify(site: Path, signers: Path | None, rebuild: bool, content: Path | None, jobs: int, quiet: bool) -> int:
    r"""Examine a published site, from its folder alone, for anything changed, lost or printed wrongly.

    Checksums; every figure and every other number on every page and in every PDF; every link; every table, calendar,
    index and file of data; every frozen revision. With --rebuild also that each revision gives the same bytes again.
    Says what was checked and how many; status 1 when anything is wrong.

    \b
    Examples:
      handbook verify site
      handbook verify /mnt/usb/handbook --signers content/trusted-signers
      handbook verify site --rebuild
      handbook verify site --rebuild --content my-site
    """
    from builder.publish.versions import versions  # noqa: PLC0415 - `--help` needs none of it
    from builder.verify.signature import check_signatures  # noqa: PLC0415 - as above
    from builder.verify.verify import verify as examine  # noqa: PLC0415

    def again(content: Path, out: Path, as_of: date) -> None:
        from builder import pipeline  # noqa: PLC0415 - only --rebuild builds
        from builder.render.jobs import Workshop  # noqa: PLC0415 - as above

        with Workshop(jobs) as shop:  # nothing that was kept, since it is to be proved
            pipeline.build(content, out, as_of, release=True, shop=shop)

    def draft(out: Path, as_of: date) -> None:
        from builder import pipeline  # noqa: PLC0415 - as above
        from builder.render.jobs import Workshop  # noqa: PLC0415 - as above

        if content is not None:
            with Workshop(jobs) as shop:
                pipeline.build(content, out, as_of, shop=shop)

    with progress(quiet=quiet) as tell:
        redraft = draft if rebuild and content else None
        now = versions() if rebuild else None
        report = examine(site, rebuild=again if rebuild else None, redraft=redraft, versions=now, tell=tell)
        check_signatures(site, signers, report.check("signatures"))
    for fault in report.faults[:MOST]:
        click.echo(f"fault: {fault}", err=True)
    if len(report.faults) > MOST:
        click.echo(f"and {len(report.faults) - MOST} more", err=True)
    if not quiet:
        for check in report.checks:
            wrong = f", {len(check.faults)} wrong" if check.faults else ""
            note = f" ({check.note})" if check.note else ""
            click.echo(f"{check.what}: {check.count}{wrong}{note}")
        click.echo("nothing is wrong" if not report.faults else f"{len(report.faults)} faults")
    return 1 if report.faults else 0


@click.command()
@click.argument("site", type=click.Path(path_type=Path, file_okay=False, exists=True))
@click.option("--key", type=click.Path(path_type=Path, dir_okay=False), required=True, help="OpenSSH private key.")
def sign(site: Path, key: Path) -> int:
    r"""Sign the checksums of a site, and of its revisions, with an OpenSSH key (ssh-keygen -Y sign).

    \b
    Examples:
      handbook sign site --key ~/.ssh/id_ed25519
    """
    from builder.verify.signature import sign as make  # noqa: PLC0415 - `--help` needs none of it

    for signature in make(site, key):
        click.echo(f"signed: {signature.as_posix()}")
    return 0
