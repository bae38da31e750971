"""``handbook verify`` and ``handbook sign``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from builder.base.errors import UsageError
from builder.cli.options import FILE, FILE_THERE, FOLDER_THERE, quiet_option
from builder.cli.telling import progress, say

if TYPE_CHECKING:
    from builder.verify.report import Report

MOST = 12
"""Differences that are shown; --json writes all of them."""


@click.command()
@click.argument("site", type=FOLDER_THERE)
@click.option("--signers", type=FILE_THERE, help="Trusted signers.")
@click.option("--content", type=FOLDER_THERE, help="Content of a draft or a pack.")
@click.option("--site", "of", type=FOLDER_THERE, help="Site of a pack.")
@click.option("--rebuild", is_flag=True, help="Print everything again, so that PDFs are compared byte by byte. Slow.")
@click.option("--jobs", type=click.IntRange(1, 64), default=2, show_default=True, help="Processes that do the work.")
@click.option("--json", "to", type=FILE, help="Write every difference here.")
@quiet_option
def verify(
    site: Path,
    signers: Path | None,
    content: Path | None,
    of: Path | None,
    rebuild: bool,
    jobs: int,
    to: Path | None,
    quiet: bool,
) -> int:
    r"""Examine a site or an evidence pack for anything changed, lost, added or printed wrongly.

    Checksums and signatures; every figure calculated again; and every page, table, calendar and PDF of each released
    revision compared, word by word, with what its kept content says again; what is only drawn in a PDF, as square
    codes are, with --rebuild alone. A draft keeps no content: give --content.
    An evidence pack keeps neither content nor revisions: give --content and --site as they were when it was made.
    Of an index over many sites the checksums of all are held.
    Says what was checked and how many; status 1 when anything is wrong.

    \b
    Examples:
      handbook verify site
      handbook verify /mnt/usb/handbook --signers content/trusted-signers
      handbook verify site --content my-site --json differences.json
      handbook verify site --rebuild
      handbook verify audit-2026 --site site --content my-site
    """
    from builder.publish.checksums import NAME, OF_SITES  # noqa: PLC0415 - as above
    from builder.release.evidence import is_pack, verify_pack  # noqa: PLC0415 - `--help` needs none of it
    from builder.render.jobs import Workshop  # noqa: PLC0415 - as above
    from builder.verify.signature import check_signatures  # noqa: PLC0415 - as above
    from builder.verify.sums import verify_sites  # noqa: PLC0415 - as above
    from builder.verify.verify import verify as examine  # noqa: PLC0415

    with progress(quiet=quiet) as tell:
        if of is not None and not is_pack(site):
            raise UsageError(f"--site is for an evidence pack, and {site} is none")
        if (site / OF_SITES).is_file() and not (site / NAME).is_file():  # a site is no index, whatever stands in it
            report = verify_sites(site)
        elif is_pack(site):
            report = verify_pack(site, of=of, content=content, jobs=jobs, tell=tell)
        elif rebuild:
            with Workshop(jobs) as shop:  # nothing that was kept, since it is to be proved
                report = examine(site, content=content, shop=shop, tell=tell)
        else:
            report = examine(site, content=content, jobs=jobs, tell=tell)
        check_signatures(site, signers, report.check("signatures"))
    if to is not None:
        to.write_text(report.as_json(), encoding="utf-8")
    _show(report, to, quiet=quiet)
    return 1 if report.faults else 0


def _show(report: Report, to: Path | None, *, quiet: bool) -> None:
    for fault in report.faults[:MOST]:
        say(f"fault: {fault}", err=True)
    if len(report.faults) > MOST:
        where = f"in {to.as_posix()}" if to else "with --json FILE"
        say(f"and {len(report.faults) - MOST} more, all of them {where}", err=True)
    if quiet:
        return
    for check in report.checks:
        wrong = f", {len(check.faults)} wrong" if check.faults else ""
        note = f" ({check.note})" if check.note else ""
        say(f"{check.what}: {check.count}{wrong}{note}")
    say("nothing wrong was found in what was examined" if not report.faults else f"faults: {len(report.faults)}")


@click.command()
@click.argument("site", type=FOLDER_THERE)
@click.option("--key", type=FILE, required=True, help="OpenSSH private key.")
def sign(site: Path, key: Path) -> int:
    r"""Sign the checksums of a site, and of its revisions, with an OpenSSH key (ssh-keygen -Y sign).

    \b
    Examples:
      handbook sign site --key ~/.ssh/id_ed25519
    """
    from builder.verify.signature import sign as make  # noqa: PLC0415 - `--help` needs none of it

    for signature in make(site, key):
        say(f"signed: {signature.as_posix()}")
    return 0
