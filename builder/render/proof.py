"""One card to look at alone, also when it does not fit: what leaves its place is framed on a page that shows it."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from io import BytesIO

from builder.base.record import dataclass
from builder.figures.figure import Figure
from builder.pages.compositions import Card, figures_in
from builder.render.cards import MS_A_SIDE, fitted, legible, written
from builder.render.documents import figures_as_printed
from builder.render.fit import room_of, stray_items
from builder.render.jobs import Job, job
from builder.render.laid_out import Side
from builder.render.pdf import PdfEngine
from builder.render.shapes import PT_A_MM, Rect

AROUND_MM = 4.0
"""Of desk left around a card that does not fit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """A card as it would be printed, or marked with what is wrong with it."""

    path: str
    """Where it would stand in the site."""
    pdf: bytes
    faults: tuple[str, ...]
    """Why it would be refused; none for a good card."""


def proof_job(card: Card, figures: Mapping[str, Figure]) -> Job[Proof]:
    """The proof of a card as a job."""
    return job("cards", MS_A_SIDE * len(card.sides), _proof, card, figures_as_printed(figures, figures_in(card)))


def _proof(engine: PdfEngine, card: Card, figures: Mapping[str, Figure]) -> Proof:
    found = fitted(engine, card, figures)
    pdf = written(engine, found)
    marked = _marked(pdf, found.sides, legible(card).margin) if found.faults else pdf
    return Proof(path=card.path, pdf=marked, faults=found.faults)


def _marked(pdf: bytes, sides: Sequence[Side], margin: float) -> bytes:
    """The same pages, each with a frame around what leaves its place, a dashed one around the room that there is."""
    from pikepdf import Array, Pdf  # noqa: PLC0415 - heavy, and most cards fit

    out = BytesIO()
    with Pdf.open(BytesIO(pdf)) as opened:
        for number, page in enumerate(opened.pages, start=1):
            here = [side for side in sides if side.page == number]
            height = float(page.mediabox[3])
            page.contents_add(b"q", prepend=True)  # whatever the engine leaves set ends before the frames
            page.contents_add(_drawn(_frames(here, margin), height).encode("ascii"))
            for name in ("/CropBox", "/TrimBox", "/BleedBox", "/ArtBox"):
                if name in page.obj:
                    del page.obj[name]
            page.mediabox = Array(_desk(here, height, margin))
        opened.save(out)
    return out.getvalue()


def _frames(sides: Iterable[Side], margin: float) -> Iterator[tuple[Rect, bool]]:
    """(where, whether it is dashed) of each frame."""
    for side in sides:
        yield room_of(side, margin), True
        yield from ((rect, False) for rect in dict.fromkeys(ink.rect for ink, _, _ in stray_items(side, margin)))


def _drawn(frames: Iterable[tuple[Rect, bool]], height: float) -> str:
    """PDF operators that draw frames on a page of ``height`` points."""
    parts = ["Q q 0 0 0 RG"]
    for rect, dashed in frames:
        style = "0.5 w [2 2] 0 d" if dashed else "1.2 w [] 0 d"
        left, bottom = rect.left * PT_A_MM, height - rect.bottom * PT_A_MM
        wide, high = (rect.right - rect.left) * PT_A_MM, (rect.bottom - rect.top) * PT_A_MM
        parts.append(f"{style} {left:.2f} {bottom:.2f} {wide:.2f} {high:.2f} re S")
    return "\n".join([*parts, "Q"])


def _desk(sides: Sequence[Side], height: float, margin: float) -> list[float]:
    """The media box, in points, that shows the cards of a page and all that runs off them."""
    seen = [rect for side in sides for rect in (side.area, *(ink.rect for ink, _, _ in stray_items(side, margin)))]
    left, right = min(rect.left for rect in seen) - AROUND_MM, max(rect.right for rect in seen) + AROUND_MM
    top, bottom = min(rect.top for rect in seen) - AROUND_MM, max(rect.bottom for rect in seen) + AROUND_MM
    return [left * PT_A_MM, height - bottom * PT_A_MM, right * PT_A_MM, height - top * PT_A_MM]
