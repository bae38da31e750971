"""Many sites side by side in one folder: what stands there of each, and the files of the index over them."""

import json
from collections import Counter
from collections.abc import Iterable, Mapping
from datetime import date
from pathlib import Path

from builder.base.errors import UsageError
from builder.base.plain_file import plain_bytes
from builder.figures.figure import day_text
from builder.history.edition import ABOUT
from builder.pages.sites_index import SiteRow
from builder.publish import checksums
from builder.publish.unfinished import beside

INDEX, ASSETS = "index.html", "assets"
FINDINGS = "findings.json"


def row_of(out: Path, folder: str, fault: str = "") -> SiteRow:
    """What the site that stands in ``out`` tells of itself, where one does.

    :param fault: why it was not built now.
    """
    try:
        told = json.loads(plain_bytes(out / FINDINGS))
        weights = Counter(finding["severity"] for finding in told["findings"])
        return SiteRow(
            folder=folder,
            name=str(told["site"]),
            revision=str(told["revision"]),
            draft=(out / ABOUT).is_file(),
            stops=weights["stop"],
            warns=weights["warn"],
            as_of=day_text(date.fromisoformat(told["as_of"])),
            fault=fault,
        )
    except (OSError, ValueError, KeyError, TypeError):
        return SiteRow(folder=folder, fault=fault or "nothing stands there that tells what it is")


def refuse_unfit(out: Path, names: Iterable[str]) -> None:
    """Stop where an index would be put over something else.

    :raises UsageError: for a folder that is a site itself, and for a site with the name of a file of the index.
    """
    if (out / checksums.NAME).is_file():
        raise UsageError(f"{out} is a site itself; allowed: a folder in which each site has its own")
    for name in names:
        if name in (INDEX, ASSETS, checksums.OF_SITES):
            raise UsageError(f"no site can be called {name!r} beside an index over all; rename its folder")


def put_index(files: Mapping[str, bytes], names: Iterable[str], out: Path) -> None:
    """Write the index, what it needs, and the checksums of all, each file whole or not at all."""
    lists = [f"{name}/{checksums.NAME}" for name in names]
    sums = {path: checksums.digest(data) for path, data in files.items()}
    sums |= {path: checksums.digest_file(out / path) for path in lists if (out / path).is_file()}
    for path, data in {**files, checksums.OF_SITES: checksums.write_sums(sums)}.items():
        target = out / path
        target.parent.mkdir(parents=True, exist_ok=True)
        part = beside(target, "part")
        part.write_bytes(data)
        part.replace(target)


def left_over(out: Path, names: Iterable[str]) -> list[str]:
    """Sites that stand there though no content makes them any longer."""
    made = set(names)
    return sorted(path.name for path in out.iterdir() if path.name not in made and (path / FINDINGS).is_file())
