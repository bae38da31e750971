"""One page as a whole HTML document that works from a server, a share or a memory stick, and asks nobody else."""

from collections.abc import Mapping, Sequence

from builder.base.record import dataclass
from builder.figures.figure import Figure
from builder.pages.blocks import Fold, Table
from builder.pages.compositions import Page
from builder.pages.handbook.derivation_words import told_in_words
from builder.pages.languages.translated import spoken_id
from builder.pages.reader_tools import Converter, Corrector
from builder.program.languages import ENGLISH, LANGUAGES, is_right_to_left
from builder.program.look import Look
from builder.render.links import checked_path, looked_up, relative
from builder.render.markup import CAUTION, INVENTED, Marker, SiteFacts
from builder.render.scripts import EXACT, TOOLS, script_assets
from builder.render.templates import fill, stylesheet
from builder.render.webfonts import web_fonts

STYLESHEET = "assets/site.css"
DUE_SCRIPT = "assets/due.js"
INDEX_PAGE = "page:search"
STATUS_PAGE = "page:status"
STATUS_SCRIPT = "assets/status.js"
FONTS = "assets/fonts"
CONTENT_POLICY = (
    "default-src 'none'; style-src 'self' file:; font-src 'self' file:; img-src 'self' file: data:; "
    "script-src 'self' file:; base-uri 'none'; form-action 'self' file:"
)
"""Nothing from elsewhere, nothing inline, no form sent elsewhere.

``file:`` is for browsers in which a local page is not its own origin.
"""
ACCENT, ACCENT_DARK = "#1d5560", "#93c5cd"
"""The builder's own, as ``site.css`` has them."""
RESERVED = ("content", "navigation", "search-field", "search-answers", "derivation-title")
"""Ids of the frame, which no heading may have."""
SPOKEN = ("page:home", "area:", "procedure:")
"""References of pages that are there in other languages begin so."""


class HtmlRenderer:
    """Makes the documents of one site; make it once, then call ``render`` for each page."""

    def __init__(
        self,
        figures: Mapping[str, Figure],
        hrefs: Mapping[str, str],
        sections: Sequence[tuple[str, str, str]],
        facts: SiteFacts,
        *,
        scripts: tuple[str, ...] = (),
    ) -> None:
        """``hrefs`` maps every reference to its site path; ``scripts`` are site paths of script files.

        :param sections: what the navigation lists: id, title and reference of the first page of each part.

        :raises RenderError: when a path leaves the site.
        """
        for target, path in hrefs.items():
            checked_path(path, target)
        self._figures = figures
        self._hrefs = hrefs
        self._sections = tuple(sections)
        self._facts = facts
        self._scripts = tuple(checked_path(path, "script") for path in scripts)

    def render(self, page: Page) -> str:
        """The document of ``page``; its foot tells the day that dates are counted from, also on paper.

        :raises RenderError: for an unknown figure or target, or a block that cannot be set faithfully.
        """
        return self.render_with(page, self._figures, self._figures, self._hrefs)

    def render_with(
        self, page: Page, whole: Mapping[str, Figure], figures: Mapping[str, Figure], hrefs: Mapping[str, str]
    ) -> str:
        """The same, asking others for figures and paths.

        :param whole: figures with all that they were made from, of which derivations tell.
        :param figures: what is printed of them.
        """
        here = checked_path(page.path, page.id)
        if "#" in here:
            Marker({}, str, page=page.id).refuse(f"a page's path has no anchor: {here!r}")
        marker = Marker(
            figures, lambda target: relative(here, looked_up(target, hrefs, page.id)), page=page.id, reserved=RESERVED
        )
        return fill(
            "html/page.html",
            page=told_in_words(page, whole, figures),
            at=marker,
            facts=self._facts,
            sections=self._sections,
            policy=CONTENT_POLICY,
            stylesheet=relative(here, STYLESHEET),
            search=relative(here, hrefs[INDEX_PAGE]) if INDEX_PAGE in hrefs else "",
            logo=relative(here, logo_path(self._facts.look)) if self._facts.look.logo else "",
            scripts=tuple(relative(here, path) for path in (*self._scripts, *_scripts_of(page))),
            versions=versions_of(page.id, here, self._facts.pages_in, hrefs),
            caution=CAUTION,
            invented=INVENTED,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Version:
    """A page in one of its languages."""

    tag: str
    name: str
    """The language by its own name."""
    dir: str
    href: str


def versions_of(page: str, here: str, languages: Sequence[str], hrefs: Mapping[str, str]) -> tuple[Version, ...]:
    """The page in English and every other language that it is in; nothing where it is in English alone.

    :param page: its reference, without language.
    """
    if not languages or not page.startswith(SPOKEN):
        return ()
    return tuple(
        Version(
            tag=tag,
            name=LANGUAGES[tag].own,
            dir="rtl" if is_right_to_left(tag) else "ltr",
            href=relative(here, looked_up(spoken_id(page, tag), hrefs, page)),
        )
        for tag in (ENGLISH, *languages)
    )


def logo_path(look: Look) -> str:
    """Where the logo lies in the site."""
    return f"assets/logo.{look.logo_kind}"


def _coloured(css: str, look: Look) -> str:
    """The style sheet in the site's own accent."""
    for usual, own in ((ACCENT, look.accent), (ACCENT_DARK, look.accent_dark)):
        if own:
            css = css.replace(f"--accent: {usual};", f"--accent: {own};")
    return css


def _scripts_of(page: Page) -> tuple[str, ...]:
    """Scripts that only pages with something to fill in need."""
    if page.id == STATUS_PAGE:
        return (STATUS_SCRIPT,)
    every = (part for block in page.blocks for part in (block.content if isinstance(block, Fold) else (block,)))
    return (EXACT, TOOLS) if any(isinstance(block, (Corrector, Converter)) for block in every) else ()


def site_assets(look: Look | None = None) -> dict[str, bytes]:
    """Site path -> bytes of the stylesheet, the scripts, the fonts and the logo that pages need."""
    look = look or Look()
    assets = {STYLESHEET: _coloured(stylesheet("site.css"), look).encode()}
    if look.logo:
        assets[logo_path(look)] = look.logo
    assets.update(script_assets())
    assets.update({f"{FONTS}/{name}": data for name, data in web_fonts().items()})
    return assets


# ---- the index over many sites -------------------------------------------------------------


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
