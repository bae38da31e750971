"""A PDF read back by a library that the builder does not write with: its words, in the order of its tags."""

import re
from collections.abc import Callable, Iterator, Mapping
from io import BytesIO
from typing import Any, TypeAlias, TypeVar

from builder.base.errors import ArchiveError
from builder.base.record import dataclass
from builder.render.source_words import CHAPTER, LAST_PAGE

R = TypeVar("R")
UNKNOWN = "\N{REPLACEMENT CHARACTER}"
"""Stands for a letter that the document gives no meaning to."""
WANTED = "BDC BMC EMC Tf TJ Tj ' \" Do q Q"
"""Operators that say what is drawn, in what face, and which tag it belongs to (ISO 32000-1, tables 107 to 109, 320)."""
PAIR = re.compile(rb"<([0-9A-Fa-f]{4})>\s*<([0-9A-Fa-f]*)>")
SINGLE = re.compile(rb"beginbfchar(.*?)endbfchar", re.DOTALL)
ROOT, PAGE, LINK = (frozenset(f"/{name}" for name in names.split()) for names in (
    "Type Pages StructTreeRoot Metadata MarkInfo Lang ViewerPreferences Outlines PageLabels Names",
    "Type Parent Resources Contents MediaBox BleedBox TrimBox StructParents Tabs Annots",
    "Type Subtype Rect BS Contents Dest StructParent",
))  # fmt: skip
"""Keys of a document, a page and a link in a paper of this builder: nothing lies over its words, and nothing runs."""
ONWARD = ({"/Type", "/S", "/F", "/D"}, {"/Type", "/F", "/UF"})
"""Keys of a link from changed pages to their whole book, and of the file it names: ISO 32000-1, 12.6.4.3, 7.11.3."""
WHOLE_BOOK = re.compile(r"\.\./[^/\\:]+\.pdf")
DEEPEST = 200
"""How deep tags and drawings may be nested."""


@dataclass(frozen=True, slots=True)
class Line:
    """What one tag of a document draws, mostly a line of a paragraph or a cell."""

    page: int
    """Counted from 1."""
    glyphs: tuple[str, ...]
    """The letters of each glyph, in the order drawn; of text from right to left that is from its end."""
    in_head: bool
    """Whether it stands in the head of a table, which is drawn again on each page of the table."""

    @property
    def text(self) -> str:
        """The letters in the order drawn."""
        return "".join(self.glyphs)


@dataclass(frozen=True, slots=True)
class Paper:
    """A PDF that was read."""

    pages: int
    lines: tuple[Line, ...]
    """In reading order."""
    around: tuple[str, ...]
    """For each page what no tag holds: its running head and foot."""
    labels: tuple[str, ...]
    """The number that each page bears, as in ``12`` or ``4-12``."""
    drawings: tuple[str, ...] = ()
    """What is said of each drawing to those who do not see it."""


def read_paper(data: bytes, path: str) -> Paper:
    """Read a PDF; ``path`` names it in errors.

    :raises ArchiveError: when it is none that can be read, is not tagged, or holds what lies over its words or runs.
    """

    def read(pdf: Any) -> Paper:
        more = sorted(set(_besides(pdf)))
        if more:
            raise ArchiveError(f"{path} holds what no paper of this builder has: {', '.join(more)}")
        return _Reader(pdf).paper()

    return _read(data, path, read)


def _besides(pdf: Any) -> Iterator[str]:
    """What could say or do something beside what is drawn on its pages."""
    notes = [note for page in pdf.pages for note in page.obj.get("/Annots", ())]
    yield from (str(note.Subtype) for note in notes if note.Subtype != "/Link")
    parts = (((pdf.Root,), ROOT), ((pdf.Root.get("/Names", {}),), {"/Dests"}), (notes, LINK))
    for things, known in (*parts, ((page.obj for page in pdf.pages), PAGE)):
        yield from (key for thing in things for key in sorted(thing.keys() - known) if not _leads_on(thing, key))


def _leads_on(thing: Any, key: str) -> bool:
    """Whether it is no more than the way from changed pages to the book that they belong to."""
    if key != "/A" or thing.A.get("/S") != "/GoToR":
        return False
    file = thing.A.F
    names = {str(file.get(name)) for name in ("/F", "/UF")}
    return (thing.A.keys(), file.keys()) == ONWARD and len(names) == 1 and bool(WHOLE_BOOK.fullmatch(names.pop()))


def read_places(data: bytes, path: str) -> tuple[str, Mapping[str, int]]:
    """What a reader of PDFs shows as its title, and the last number of the page of each place that links lead to.

    :raises ArchiveError: when it is no PDF that can be read.
    """
    return _read(data, path, lambda pdf: (str(pdf.docinfo.get("/Title", "")), dict(_places(pdf))))


def _read(data: bytes, path: str, read: Callable[[Any], R]) -> R:
    import pikepdf  # noqa: PLC0415 - only who verifies needs it

    try:
        with pikepdf.open(BytesIO(data)) as pdf:
            return read(pdf)
    except (pikepdf.PdfError, ValueError, KeyError, AttributeError, TypeError, IndexError, RecursionError) as fault:
        raise ArchiveError(f"{path} is no PDF that can be read: {fault}") from fault


Tag: TypeAlias = tuple[tuple[int, int] | None, int]
"""The drawing inside a page that numbers it, ``None`` for the page itself, and its number there."""
Drawn: TypeAlias = dict[Tag | None, list[str]]
"""The letters of each glyph that a page draws, by the tag it belongs to; ``None`` is no tag."""


class _Reader:
    def __init__(self, pdf: Any) -> None:
        self._pdf = pdf
        self._letters: dict[tuple[int, int], Mapping[bytes, str]] = {}
        self._drawings: list[str] = []
        self._pages = {page.obj.objgen: number for number, page in enumerate(pdf.pages, start=1)}

    def paper(self) -> Paper:
        """Everything of it."""
        drawn = {number: self._page(page) for number, page in enumerate(self._pdf.pages, start=1)}
        lines = []
        for number, tag, in_head in self._tags(self._pdf.Root.StructTreeRoot.K, 0, in_head=False, depth=0):
            glyphs = drawn[number].pop(tag, None)  # what two tags claim is drawn once
            if glyphs:
                lines.append(Line(number, tuple(glyphs), in_head))
        around = tuple("".join(part for parts in rest.values() for part in parts) for rest in drawn.values())
        labels = tuple(str(page.label) for page in self._pdf.pages)
        return Paper(len(labels), tuple(lines), around, labels, tuple(self._drawings))

    def _tags(self, node: Any, page: int, *, in_head: bool, depth: int) -> Iterator[tuple[int, Tag, bool]]:
        """(page, tag, whether in the head of a table) of everything tagged, in reading order."""
        import pikepdf  # noqa: PLC0415 - as above

        if depth > DEEPEST:
            raise ValueError("its tags are nested too deep")
        if isinstance(node, int):
            yield page, (None, node), in_head
        elif isinstance(node, pikepdf.Array):
            for part in node:
                yield from self._tags(part, page, in_head=in_head, depth=depth + 1)
        else:
            page = self._pages[node.Pg.objgen] if "/Pg" in node else page
            kind = str(node.get("/Type", ""))
            self._drawings += [str(node.Alt)] if "/Alt" in node else []
            if kind == "/MCR":
                yield page, (node.Stm.objgen if "/Stm" in node else None, int(node.MCID)), in_head
            elif kind != "/OBJR" and "/K" in node:
                head = in_head or str(node.S) == "/THead"
                yield from self._tags(node.K, page, in_head=head, depth=depth + 1)

    def _page(self, page: Any) -> Drawn:
        found: Drawn = {}
        self._draw(page, page.obj.get("/Resources", {}), found, [], 0, None)
        return found

    def _draw(
        self,
        source: Any,
        resources: Any,
        found: Drawn,
        marks: list[Tag | None],
        depth: int,
        numbers: tuple[int, int] | None,
    ) -> None:
        """Add what a stream draws; ``marks`` are the tags open around it, ``numbers`` is what numbers its own."""
        import pikepdf  # noqa: PLC0415 - as above

        if depth > DEEPEST:
            raise ValueError("its drawings are nested too deep")
        letters: Mapping[bytes, str] = {}
        kept: list[Mapping[bytes, str]] = []
        outside = len(marks)
        for step in pikepdf.parse_content_stream(source, WANTED):
            operands, name = step.operands, str(step.operator)
            if name in ("BDC", "BMC", "EMC"):
                _mark(name, operands, marks, outside, numbers)
            elif name == "q":
                kept.append(letters)
            elif name == "Q":
                letters = kept.pop()
            elif name == "Tf":
                letters = self._face(resources.Font[str(operands[0])])
            elif name == "Do":
                thing = resources.XObject[str(operands[0])]
                if thing.get("/Subtype") == "/Form":
                    own = thing.objgen if "/StructParents" in thing else numbers
                    self._draw(thing, thing.get("/Resources", resources), found, marks, depth + 1, own)
            else:
                tag = next((mark for mark in reversed(marks) if mark is not None), None)
                found.setdefault(tag, []).extend(_glyphs(operands[-1], letters))
        del marks[outside:]

    def _face(self, font: Any) -> Mapping[bytes, str]:
        """Code of a glyph -> its letters, as the document itself tells for those who search and copy in it."""
        if font.objgen not in self._letters:
            table = font.ToUnicode.read_bytes() if "/ToUnicode" in font else b""
            pairs = (pair for block in SINGLE.findall(table) for pair in PAIR.findall(block))
            self._letters[font.objgen] = {
                bytes.fromhex(code.decode()): bytes.fromhex(letters.decode()).decode("utf-16-be", "replace")
                for code, letters in pairs
            }
        return self._letters[font.objgen]


def _places(pdf: Any) -> Iterator[tuple[str, int]]:
    import pikepdf  # noqa: PLC0415 - as above

    names = pdf.Root.get("/Names", {})
    labels = {page.obj.objgen: str(page.label) for page in pdf.pages}
    for label, page in zip(labels.values(), pdf.pages, strict=True):
        part, _, number = label.rpartition("-")
        if part.isdecimal() and number.isdecimal() and "/StructParents" in page.obj:  # else it only fills a leaf
            yield f"{LAST_PAGE}{CHAPTER}{part}", int(number)
    if "/Dests" not in names:
        return
    for name, place in pikepdf.NameTree(names.Dests).items():
        target = place if isinstance(place, pikepdf.Array) else place.D
        number = labels[target[0].objgen].rpartition("-")[2]
        if number.isdecimal():
            yield str(name), int(number)


def _mark(name: str, operands: Any, marks: list[Tag | None], outside: int, numbers: tuple[int, int] | None) -> None:
    """Open or close a tag; those opened before a drawing are not closed inside it."""
    if name == "EMC":
        if len(marks) > outside:
            marks.pop()
    else:
        numbered = name == "BDC" and "/MCID" in operands[1]
        marks.append((numbers, int(operands[1]["/MCID"])) if numbered else None)


def _glyphs(shown: Any, letters: Mapping[bytes, str]) -> list[str]:
    """The letters of each glyph that an operator shows."""
    import pikepdf  # noqa: PLC0415 - as above

    parts = shown if isinstance(shown, pikepdf.Array) else (shown,)
    drawn = [bytes(part) for part in parts if isinstance(part, pikepdf.String)]
    return [letters.get(codes[at : at + 2], UNKNOWN) for codes in drawn for at in range(0, len(codes), 2)]
