"""The only door to the PDF engine: what it may read, what it may not swallow, and the same bytes every time."""

from __future__ import annotations

import logging
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, redirect_stdout
from functools import partial
from io import StringIO
from pathlib import Path
from shutil import rmtree
from typing import TYPE_CHECKING, Any, Self
from urllib.parse import unquote, urlsplit

from builder.base.errors import RenderError
from builder.base.record import dataclass
from builder.render import arabic, engine, libraries, widths
from builder.render.fonts import FAMILY, font_face_css, font_folder
from builder.render.shapes import PT_A_MM

if TYPE_CHECKING:
    from weasyprint import Document

PT_A_PX = 0.75
VARIANT = "pdf/ua-1"
"""Tagged for screen readers; checked by rule checkers, not certified."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PageBoxes:
    """What a print shop is told of a page: the trimmed area and its bleed, in mm from the upper left corner."""

    left: float
    top: float
    right: float
    bottom: float
    bleed: float = 0


NEEDED = (
    "Debian/Ubuntu: apt install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0; Fedora: dnf install pango; "
    "macOS: brew install pango"
)
"""How the libraries of the system that the engine draws with are installed."""


def preload() -> None:
    """Load the engine now, so that forked workers share it instead of loading it again.

    :raises RenderError: where the system lacks a library that it draws with.
    """
    try:
        with libraries.lightly(), redirect_stdout(StringIO()):  # it says the same at length, and not by our names
            import weasyprint  # noqa: F401, PLC0415 - heavy, so loaded at first need
    except OSError as error:
        raise RenderError(f"the PDF engine lacks a library of the system: {error}. {NEEDED}") from error
    engine.without_notes()
    widths.remember()


class PdfEngine:
    """Lays out HTML and writes PDF; one for many documents, since fonts and parsed style sheets are shared.

    Use it as a context manager: it keeps copies of the fonts in a temporary folder until it is closed.
    """

    lays_out = True
    """False for an engine whose documents have no pages that could be judged."""

    def __init__(self, roots: Sequence[Path] = ()) -> None:
        preload()
        from weasyprint.text.fonts import FontConfiguration  # noqa: PLC0415 - heavy, so loaded at first need

        self._fetcher = _fetcher((font_folder(), *arabic.folders(), *roots))
        self._fonts: Any = FontConfiguration()
        self._sheets: dict[str, Any] = {}
        self._face_css = font_face_css()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *exc: object) -> None:
        self.close()

    def close(self) -> None:
        """Give back the fonts; documents made by this engine can no longer be written."""
        self._sheets.clear()
        copies = engine.font_copies(self._fonts)
        if copies is not None:
            rmtree(copies, ignore_errors=True)
        self._fonts = None

    def document(self, html: str, css: Sequence[str]) -> Document:
        """The laid-out document.

        :raises RenderError: when the engine complains of anything, or is asked to read outside the allowed roots.
        """
        import weasyprint  # noqa: PLC0415 - heavy, so loaded at first need

        with _faithful("layout"):
            sheets = [self._sheet(text) for text in (self._face_css, *css)]
            source = weasyprint.HTML(string=html, url_fetcher=self._fetcher)
            return source.render(font_config=self._fonts, stylesheets=sheets, pdf_variant=VARIANT)

    def unlaid(self, html: str, css: Sequence[str]) -> engine.LaidBox:
        """The outermost box of a document that is not laid out: its words, with those that style sheets add.

        :raises RenderError: as ``document``.
        """
        import weasyprint  # noqa: PLC0415 - heavy, so loaded at first need

        with _faithful("reading"):
            sheets = [self._sheet(text) for text in (self._face_css, *css)]
            source = weasyprint.HTML(string=html, url_fetcher=self._fetcher)
            return engine.unlaid(source, sheets, self._fonts, VARIANT)

    def places_in(self, html: str, title: str) -> tuple[tuple[str, int], ...]:
        """Each place in a document that is not laid out, with the number of its page; an engine that prints knows none.

        :param title: of the PDF that the document is a part of.
        """
        raise NotImplementedError

    def pages_in(self, html: str, title: str) -> int:
        """How many pages a document has that is not laid out; an engine that prints counts them itself.

        :param title: as above.
        """
        raise NotImplementedError

    def write(
        self, document: Document, title: str, language: str, second: str = "", boxes: Sequence[PageBoxes] = ()
    ) -> bytes:
        """The PDF of a laid-out document, its bytes decided by its content alone.

        :param second: a family of type that it may use beside the usual one.
        :param boxes: what is cut out of each page; where nothing is said, a page is all of what is printed.

        :raises RenderError: when the engine complains, uses a font that is not ours, or lacks a glyph.
        """
        document.metadata.title = title
        document.metadata.lang = language
        with _faithful("writing"):
            finish = partial(_finished, boxes=boxes)
            data: bytes = document.write_pdf(pdf_variant=VARIANT, pdf_identifier=True, finisher=finish)
        _require_own_glyphs(document, (FAMILY, second) if second else (FAMILY,))
        return data

    def _sheet(self, text: str) -> Any:
        import weasyprint  # noqa: PLC0415 - heavy, so loaded at first need

        if text not in self._sheets:
            self._sheets[text] = weasyprint.CSS(string=text, url_fetcher=self._fetcher, font_config=self._fonts)
        return self._sheets[text]


# ---- what it may read ----------------------------------------------------------


def allowed_file(url: str, roots: Sequence[Path]) -> Path:
    """The file behind a URL, if it truly lies under one of ``roots`` (which are resolved) after links are followed.

    :raises PermissionError: when it is no local file or lies elsewhere.
    """
    parts = urlsplit(url)
    if parts.scheme != "file" or parts.netloc not in ("", "localhost"):
        raise PermissionError(f"{url}: only local files are read")
    path = Path(unquote(parts.path)).resolve()
    if not any(path.is_relative_to(root) for root in roots):
        raise PermissionError(f"{url}: outside the folders that may be read")
    return path


def _fetcher(roots: Sequence[Path]) -> Any:
    from weasyprint.urls import (  # noqa: PLC0415 - heavy, so loaded at first need
        FatalURLFetchingError,
        URLFetcher,
        URLFetcherResponse,
    )

    resolved = tuple(root.resolve() for root in roots)

    class LocalFetcher(URLFetcher):  # type: ignore[misc]  # the engine is untyped
        """Reads files under the allowed roots and data URLs; never the network."""

        def fetch(self, url: str, headers: Any = None) -> Any:
            if url.startswith("data:"):
                return super().fetch(url, headers)
            try:
                return URLFetcherResponse(url, allowed_file(url, resolved).read_bytes())
            except (OSError, ValueError) as error:
                raise FatalURLFetchingError(str(error)) from error

    return LocalFetcher(allowed_protocols=("data",), allow_redirects=False, fail_on_errors=True)


# ---- what it may not swallow -----------------------------------------------------


class _Collector(logging.Handler):
    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.texts: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.texts.append(record.getMessage())


@contextmanager
def _faithful(step: str) -> Iterator[None]:
    """Turn the engine's log complaints and refused reads into a RenderError."""
    from weasyprint.urls import FatalURLFetchingError  # noqa: PLC0415 - heavy, so loaded at first need

    logger = logging.getLogger("weasyprint")
    collector = _Collector()
    level, disabled = logger.level, logger.disabled
    logger.addHandler(collector)
    logger.setLevel(logging.WARNING)
    logger.disabled = False
    try:
        yield
    except FatalURLFetchingError as error:
        raise RenderError(f"{step}: refused to read: {error.__cause__ or error}") from error
    finally:
        logger.removeHandler(collector)
        logger.setLevel(level)
        logger.disabled = disabled
    if collector.texts:
        raise RenderError(f"{step}: " + "; ".join(collector.texts))


def _require_own_glyphs(document: Document, families: tuple[str, ...]) -> None:
    for font in document.fonts.values():
        if font.family not in families:
            letters = "".join(sorted(set(font.to_unicode.values())))
            raise RenderError(f"{FAMILY} has no glyph for {letters!r}; {font.family} would have been used")
        if font.missing:
            letters = "".join(chr(point) for point in sorted(font.missing))
            raise RenderError(f"{font.family} has no glyph for {letters!r}")


# ---- boxes and tags ---------------------------------------------------------------------


def _finished(document: Document, pdf: Any, boxes: Sequence[PageBoxes]) -> None:
    for side in engine.page_boxes(document):
        for piece in engine.boxes_below(side):
            piece.scope_head()
    _mark_languages(document, pdf)
    if boxes:
        for reference, page, box in zip(pdf.page_references, document.pages, boxes, strict=True):
            made = pdf.objects[int(reference.split()[0])]
            for name, beyond in (("TrimBox", 0.0), ("BleedBox", box.bleed)):
                made[name][:] = _pdf_box(box, page.height * PT_A_PX, beyond)


def _pdf_box(box: PageBoxes, height: float, beyond: float) -> list[float]:
    """A box as a page of ``height`` points has it: lower left and upper right corner, from below."""
    left, right = box.left - beyond, box.right + beyond
    corners = (left * PT_A_MM, height - (box.bottom + beyond) * PT_A_MM)
    opposite = (right * PT_A_MM, height - (box.top - beyond) * PT_A_MM)
    return [round(length, 3) for length in (*corners, *opposite)]


def _mark_languages(document: Document, pdf: Any) -> None:
    """Say of the sections of a page in what language they are, where they agree, which the engine leaves out.

    A side of a card keeps it on sheets of cards in other languages.
    """
    spoken: dict[Any, str] = {}
    for reference, page in zip(pdf.page_references, engine.page_boxes(document), strict=True):
        found = {box.element.get("lang") for box in engine.boxes_below(page) if box.own and box.tag == "section"} - {
            None
        }
        if len(found) == 1:
            spoken[reference] = found.pop()
    for made in pdf.objects:
        if isinstance(made, dict) and made.get("S") == "/Sect" and made.get("Pg") in spoken:
            made["Lang"] = type(pdf.catalog["Lang"])(spoken[made["Pg"]])
