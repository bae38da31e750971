"""Cards that were laid out by themselves, drawn on sheets of paper as often as they are wanted, tags included.

What is cut out of a sheet is the card's own drawing, so nothing on it can differ from the card.
"""

from collections.abc import Iterator, Sequence
from io import BytesIO
from typing import Final

from pikepdf import Array, Dictionary, Name, Object, ObjectStreamMode, Pdf, String

from builder.base.errors import RenderError
from builder.base.record import dataclass
from builder.render.imposition import Copy, Placed
from builder.render.shapes import PT_A_MM

Matrix = tuple[float, float, float, float, float, float]
"""Points in a millimetre."""
COPIED: Final = ("/S", "/A", "/Alt", "/ActualText", "/E", "/Lang", "/T")
"""What a tag says itself, beside where it stands (ISO 32000-1, table 323)."""


def imposed(sheets: bytes, cards: Sequence[bytes], copies: Sequence[Copy], bleed: float) -> bytes:
    """Sheets with cards drawn under their marks.

    :param sheets: a PDF with all that stands around the cards.
    :param cards: the PDF of each card.
    :param bleed: millimetres that are drawn beyond the edge of each card.
    :raises RenderError: when a card has what cannot be drawn on a sheet.
    """
    with Pdf.open(BytesIO(sheets)) as book:
        _Imposing(book, cards, bleed).impose(copies)
        made = BytesIO()
        book.save(made, deterministic_id=True, object_stream_mode=ObjectStreamMode.generate)
    return made.getvalue()


@dataclass(frozen=True, slots=True)
class _Side:
    """What a printed side is drawn from."""

    drawing: bytes
    resources: Object
    """In the book, shared by all copies."""
    width: float
    height: float
    """In points."""


@dataclass(frozen=True, slots=True)
class _Card:
    source: Pdf
    sides: tuple[_Side, ...]


class _Imposing:
    """The sheets while they are made."""

    def __init__(self, book: Pdf, cards: Sequence[bytes], bleed: float) -> None:
        self._book, self._bleed = book, bleed * PT_A_MM
        self._pages = list(book.pages)
        self._cards = [self._opened(pdf) for pdf in cards]
        tree = book.Root.StructTreeRoot
        self._document, self._parents = tree.K[0], tree.ParentTree.Nums
        self._next = max((int(key) for key in list(self._parents)[::2]), default=-1) + 1
        self._drawn: list[list[bytes]] = [[] for _ in self._pages]

    def impose(self, copies: Sequence[Copy]) -> None:
        """Draw them all; the tags of a copy stand together, side after side."""
        for number, copy in enumerate(copies):
            self._impose(number, copy)
        for page, drawn in zip(self._pages, self._drawn, strict=True):
            page.contents_add(b"".join(drawn), prepend=True)
        self._book.Root.StructTreeRoot.ParentTreeNextKey = self._next

    def _opened(self, pdf: bytes) -> _Card:
        source = Pdf.open(BytesIO(pdf))
        return _Card(source, tuple(self._side(source, number) for number in range(len(source.pages))))

    def _side(self, source: Pdf, number: int) -> _Side:
        page = source.pages[number]
        if page.obj.get("/Annots"):
            raise RenderError("imposing: a card has links, which a sheet cannot have")
        page.contents_coalesce()
        held = source.make_indirect(Dictionary(Held=page.obj.Resources))
        width, height = (float(page.mediabox[at]) for at in (2, 3))
        return _Side(page.Contents.read_bytes(), self._book.copy_foreign(held).Held, width, height)

    def _impose(self, number: int, copy: Copy) -> None:
        card = self._cards[copy.card]
        tagged: dict[int, list[Object | None]] = {placed.side: [] for placed in copy.sides}
        drawn = {placed.side: (self._pages[placed.page].obj, self._draw(card, placed, number)) for placed in copy.sides}
        where = {card.source.pages[side].obj.objgen: side for side in drawn}

        def cloned(element: Object, parent: Object, side: int) -> Object:
            """A tag of the card as a tag of this copy."""
            side = where[element.Pg.objgen] if "/Pg" in element else side
            page, drawing = drawn[side]
            made = self._book.make_indirect(Dictionary(Type=Name.StructElem, P=parent, Pg=page, K=Array()))
            for key in COPIED:
                if key in element:
                    made[key] = Object.parse(element[key].unparse(resolved=True))
            _name_head(element, made, number)
            for kid in _kids(element):
                if isinstance(kid, Dictionary):
                    made.K.append(cloned(kid, made, side))
                else:
                    _at(tagged[side], int(kid), made)
                    made.K.append(Dictionary(Type=Name.MCR, Pg=page, Stm=drawing, MCID=int(kid)))
            return made

        for element in card.source.Root.StructTreeRoot.K[0].K:
            self._document.K.append(cloned(element, self._document, copy.sides[0].side))
        for side, (_, drawing) in drawn.items():
            drawing.StructParents = self._next
            self._parents.append(self._next)
            self._parents.append(self._book.make_indirect(Array(tagged[side])))
            self._next += 1

    def _draw(self, card: _Card, placed: Placed, number: int) -> Object:
        """The drawing of one side, called from its page."""
        side, page = card.sides[placed.side], self._pages[placed.page]
        drawing = self._book.make_stream(side.drawing)
        drawing.Type, drawing.Subtype = Name.XObject, Name.Form
        drawing.BBox = Array([-self._bleed, -self._bleed, side.width + self._bleed, side.height + self._bleed])
        drawing.Resources = side.resources
        name = page.add_resource(drawing, Name.XObject, Name(f"/Card{number}-{placed.side}"))
        matrix = _matrix(placed, side, float(page.mediabox[2]), float(page.mediabox[3]))
        numbers = " ".join(f"{value:.4f}" for value in matrix)
        # A mark without a number ties it to no tag: the drawing numbers its own pieces.
        self._drawn[placed.page].append(f"/NonStruct BMC q {numbers} cm {name} Do Q EMC\n".encode())
        return drawing


def _matrix(placed: Placed, side: _Side, width: float, height: float) -> Matrix:
    """From a card's points to those of its page."""
    x, y = placed.left * PT_A_MM, height - placed.top * PT_A_MM - side.height
    return (-1, 0, 0, -1, width - x, height - y) if placed.turned else (1, 0, 0, 1, x, y)


def _kids(element: Object) -> Iterator[Object | int]:
    found = element.get("/K", ())
    yield from found if isinstance(found, (Array, tuple)) else (found,)


def _at(tagged: list[Object | None], number: int, made: Object) -> None:
    """Note which tag holds a numbered piece of a drawing."""
    tagged += [None] * (number + 1 - len(tagged))
    tagged[number] = made


def _name_head(element: Object, made: Object, number: int) -> None:
    """Names of header cells made different from those of other copies."""
    if "/ID" in element:
        made.ID = String(f"{number}-{element.ID}")
    if "/A" in made and "/Headers" in made.A:
        made.A.Headers = Array([String(f"{number}-{head}") for head in made.A.Headers])
