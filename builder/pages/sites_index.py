"""The page over all sites of a company: how each stands, and the way to it."""

from collections.abc import Iterable

from builder.base.record import dataclass
from builder.pages.blocks import Inlines, Link, Notice, Paragraph, Strong, Table, Text
from builder.pages.compositions import Page

COLUMNS = ("Site", "This build", "State", "Stops", "Warnings", "Judged on")


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteRow:
    """One site; all but folder and fault is empty where none stands."""

    folder: str
    name: str = ""
    revision: str = ""
    draft: bool = True
    stops: int = 0
    warns: int = 0
    as_of: str = ""
    fault: str = ""
    """Why it was not built now; empty where it was."""


def sites_page(rows: Iterable[SiteRow]) -> tuple[Page, dict[str, str]]:
    """The page, and the site paths that its links lead to."""
    every = tuple(rows)
    broken = [row for row in every if row.fault]
    table = Table(columns=COLUMNS, rows=tuple(_row(row) for row in every), numeric=(3, 4))
    notice = (Notice(kind="stop", content=(Paragraph((Text(_told(broken)),)),)),) if broken else ()
    hrefs = {f"site:{row.folder}": f"{row.folder}/index.html" for row in every if row.name}
    page = Page(id="page:sites", path="index.html", title="All sites", section="sites", blocks=(*notice, table))
    return page, hrefs


def _told(broken: list[SiteRow]) -> str:
    count = "One site was" if len(broken) == 1 else f"{len(broken)} sites were"
    return f"{count} not built; what stands there, if anything, is older. Do not take it for what the content says now."


def _row(row: SiteRow) -> tuple[Inlines, ...]:
    built: Inlines = (Strong((Text(f"not built: {row.fault}"),)),) if row.fault else (Text("built"),)
    if not row.name:
        none: Inlines = (Text("no site stands"),)
        return ((Text(row.folder),), built, none, (), (), ())
    state = "" if row.draft else "released: "
    return (
        (Link(f"site:{row.folder}", (Text(row.name),)),),
        built,
        (Text(state + row.revision),),
        (Text(str(row.stops)),),
        (Text(str(row.warns)),),
        (Text(row.as_of),),
    )
