"""The index over many sites, as files: a page that looks like theirs and leads to each."""

from collections.abc import Mapping

from builder.pages.blocks import Table
from builder.pages.compositions import Page
from builder.render.html import FONTS, STYLESHEET, HtmlRenderer, site_assets
from builder.render.markup import SiteFacts

TITLE = "Portable gas detection"


def index_files(page: Page, hrefs: Mapping[str, str]) -> dict[str, bytes]:
    """Path -> bytes of the page with its style and fonts.

    :raises RenderError: for a page that cannot be set.
    """
    count = sum(len(block.rows) for block in page.blocks if isinstance(block, Table))
    facts = SiteFacts(
        name="all sites",
        title=TITLE,
        draft=False,
        revision=f"Index of {count} site{'' if count == 1 else 's'}",
        as_of="the day beside each site",
    )
    assets = {path: data for path, data in site_assets().items() if path == STYLESHEET or path.startswith(FONTS)}
    return {page.path: HtmlRenderer({}, hrefs, (), facts).render(page).encode()} | assets
