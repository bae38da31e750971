"""Labels as PDF: each at the millimetres of its sheet, what is on it measured, and a page to try the printer with."""

from collections import Counter
from collections.abc import Container, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial

from builder.base.record import dataclass
from builder.figures.figure import Figure
from builder.pages.fixed_words import ON_LABELS
from builder.pages.label_kinds import Label
from builder.pages.labels import LabelPages
from builder.program.languages import is_right_to_left
from builder.render.card_pages import page_css, turned_css, turned_family
from builder.render.direction import turned_document
from builder.render.documents import Document, Judgement, Laid, Made, figures_as_printed, make
from builder.render.fit import contrasts, crossings, losses, sizes, strays
from builder.render.formats import SheetPlace, paper
from builder.render.imposition import Sheet, die_cut
from builder.render.jobs import Job, job
from builder.render.label_room import BOX_MM, NEXT_MM, SAFE_MM, WORDS_LINE, beside_width, told, type_of
from builder.render.laid_out import Side
from builder.render.lines import codes
from builder.render.markup import sheet_marker
from builder.render.pdf import PdfEngine
from builder.render.qr import qr_mark
from builder.render.sheet_marks import EDGE, Bar, Marks, Note, outlines, sheet_numbers
from builder.render.templates import fill, stylesheet

MS_A_LABEL = 20.0
"""Estimate of the time that a label takes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _PlacedLabels:
    cells: tuple[tuple[Label, SheetPlace], ...]
    marks: Marks


@dataclass(frozen=True, slots=True)
class LabelRules:
    """Every label is there as often as asked for, whole, on its label and legible."""

    pages: LabelPages

    def judge(self, laid: Laid) -> Judgement:
        """What is wrong with laid-out sheets."""
        return Judgement(faults=tuple(label_faults(self.pages, laid.sides)))


def label_job(pages: LabelPages, figures: Mapping[str, Figure]) -> Job[Made]:
    """The sheets of one kind as a job, once it is known what its labels have room for (``fitted_labels``)."""
    cost = MS_A_LABEL * len(pages.labels) * pages.copies
    return job("label sheets", cost, _render, pages, figures_as_printed(figures, pages.figures))


def _render(engine: PdfEngine, pages: LabelPages, figures: Mapping[str, Figure]) -> Made:
    made = make(engine, labels_document(pages, figures, drawn=engine.lays_out))
    return replace(made, notes=(*told(pages), *made.notes))


def labels_document(pages: LabelPages, figures: Mapping[str, Figure], *, drawn: bool = True) -> Document:
    """The sheets of one kind, ready to be laid out.

    :param drawn: whether it has places and square codes, which who only reads does not need.
    :raises RenderError: for an unknown figure or paper, or a grid that leaves the paper.
    """
    sheet = _sheet(pages)
    return Document(
        name=f"labels on sheet {pages.name} ({pages.language})",
        html=labels_html(pages, figures, drawn=drawn),
        css=(
            stylesheet("labels.css"),
            page_css(sheet.width, sheet.height),
            *turned_css(pages.language, "labels-rtl.css"),
            _sheet_css(sheet, pages),
        ),
        title=_title(pages, pages.words),
        language=pages.language,
        second=turned_family(pages.language),
        rules=LabelRules(pages),
    )


def label_faults(pages: LabelPages, laid: Sequence[Side]) -> Iterator[str]:
    """Every label that is missing, and what on a label is lost, outside it, too small, too pale or overprinted."""
    count = Counter({label.name: 0 for label in pages.labels})
    met: dict[str, list[str]] = {}
    for side in laid:
        count[side.card] += 1
        squares = (f"block {block}: {fault}" for block, fault in codes(side))
        rules = (losses(side), strays(side, SAFE_MM), sizes(side), contrasts(side), crossings(side), squares)
        for fault in dict.fromkeys(fault for rule in rules for fault in rule):
            met.setdefault(fault, []).append(side.card)
    for fault, units in met.items():
        others = f" and {len(units) - 1} more" if len(units) > 1 else ""
        yield f"{_label_name(units[0], pages)}{others}: {fault}"
    for unit, times in count.items():
        if times != pages.copies:
            yield f"{_label_name(unit, pages)}: laid out {times} times, to be laid out {pages.copies} times"


def _label_name(unit: str, pages: LabelPages) -> str:
    """How faults name a label: unit, sheet and language."""
    return f"label {unit} on sheet {pages.name} ({pages.language})"


def labels_html(pages: LabelPages, figures: Mapping[str, Figure], *, drawn: bool = True) -> str:
    """The document of all sheets.

    :param drawn: as above.
    :raises RenderError: for an unknown figure or paper, or a grid that leaves the paper.
    """
    says = pages.words
    made = fill(
        "labels/sheet.html",
        language=pages.language,
        turned=is_right_to_left(pages.language),
        title=_title(pages, says),
        pages=tuple(_pages(pages, says)),
        drawn=drawn,
        qr=qr_mark,
        beside=partial(beside_width, pages=pages),
        small=pages.grid.small,
        at=sheet_marker(figures, pages.language, f"label sheet {pages.name}"),
        words=says,
    )
    return turned_document(made, pages.language)


def _pages(pages: LabelPages, says: Mapping[str, str]) -> Iterator[_PlacedLabels]:
    """The sheets of labels, then the page to try the printer with."""
    sheet = _sheet(pages)
    dealt = tuple(sheet.dealt(pages.labels, pages.copies, pages.start))
    of_all = pages.before + len(dealt) + pages.after
    for number, cells in enumerate(dealt, start=pages.before + 1):
        at = f"right: {EDGE}mm; {sheet.bar.beside}" if sheet.bar else ""
        count = sheet_numbers(says["sheet_of"], number, of_all, at) if at else ()
        yield _PlacedLabels(cells=cells, marks=sheet.marks("", says["gauge"], *count))
    yield _PlacedLabels(cells=(), marks=_trial(sheet, pages.left_out, says))


def _trial(sheet: Sheet, lost: Container[str], says: Mapping[str, str]) -> Marks:
    """The outlines of all places, and the bar across them where no margin holds it."""
    bar = sheet.bar or Bar(top=sheet.height / 2)
    first = sheet.fronts[0]  # its text stays on it: outlines are what is looked at
    at = f"left: {first.left + 2}mm; top: {first.top + 2}mm; width: {first.width - 4}mm; white-space: normal"
    barred = Sheet(width=sheet.width, height=sheet.height, fronts=sheet.fronts, bar=bar)
    lacking = ", ".join(says[name] for name in ON_LABELS if name in lost)
    text = f"{says['trial']} {says['left_out'].format(what=lacking)}" if lacking else says["trial"]
    return barred.marks(outlines(sheet.fronts), says["gauge"], Note(kind="trial", text=text, style=at))


def _sheet(pages: LabelPages) -> Sheet:
    return die_cut(pages.grid, paper(pages.grid.paper))


def _title(pages: LabelPages, says: Mapping[str, str]) -> str:
    draft = f" ({says['draft']})" if pages.draft else ""
    return says["labels"].format(name=pages.name) + draft


def _sheet_css(sheet: Sheet, pages: LabelPages) -> str:
    """What ``label_room`` counts with."""
    size = f"width: {sheet.width}mm; height: {sheet.height}mm"
    kind, after = type_of(pages), "left" if is_right_to_left(pages.language) else "right"
    rules = (
        f".sheet, .marks {{ {size} }}",
        f".label {{ font-size: {kind.text}pt }}",
        f".label {{ padding-top: {kind.top}mm }}",
        f".head {{ line-height: {kind.head_line} }}",
        f".lines {{ line-height: {kind.line} }}",
        f".who {{ line-height: {kind.who_line} }}",
        f".large {{ font-size: {pages.day}pt; line-height: {kind.large_line} }}",
        f".large.words {{ font-size: {kind.words}pt; line-height: {WORDS_LINE} }}",
        f".code, .who h1, .serial span {{ font-size: {kind.latin}pt }}",
        f".sign {{ height: {BOX_MM}mm }}",
        f".who :not(:last-child) {{ margin-{after}: {NEXT_MM}mm }}",
    )
    return " ".join(rules)
