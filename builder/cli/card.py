"""``handbook card``."""

from datetime import date
from pathlib import Path

import click

from builder.base.errors import UsageError
from builder.base.nearest import nearest
from builder.cli.options import FOLDER, as_of_option, content_option, quiet_option
from builder.cli.telling import faults_told, progress, say
from builder.cli.work import Work


@click.command()
@click.argument("name", metavar="ID")
@content_option
@as_of_option
@click.option("--out", type=FOLDER, default=Path(), help="Folder the PDF is put in. Default: this one.")
@click.option("--open", "opened", is_flag=True, help="Show it in whatever opens PDFs here.")
@quiet_option
def card(name: str, content: Path, as_of: date, out: Path, opened: bool, quiet: bool) -> int:
    r"""Lay out one card alone, as a draft, in each of its languages; no other card need fit.

    One that does not fit is shown with frames around all that leaves its place, the room that there is dashed.

    \b
    Examples:
      handbook card wet-well-entrant
      handbook card wet-well-entrant --content my-site --out /tmp --open
    """
    from builder import pipeline  # noqa: PLC0415 - `--help` needs none of it

    with faults_told(content), progress(quiet=quiet) as tell:
        judged = pipeline.judge(content, as_of, tell)
        with Work.usual().opened() as shop:
            proofs = pipeline.card_proofs(judged, shop, name)
    if not proofs:
        known = sorted({paper.id for paper in judged.papers.cards.papers})
        near = ", ".join(nearest(name, known)) or ", ".join(known) or "none, the content has no cards"
        raise UsageError(f"no card {name!r}; there are: {near}")
    out.mkdir(parents=True, exist_ok=True)
    for proof in proofs:
        path = out / Path(proof.path).name
        path.write_bytes(proof.pdf)
        for fault in proof.faults:
            say(fault, err=True)
        if not quiet:
            click.echo(f"{path}{': does not fit; what leaves its place is framed' if proof.faults else ''}")
        if opened:
            click.launch(str(path))
    return 1 if any(proof.faults for proof in proofs) else 0
