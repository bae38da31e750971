"""Labels on the sheets that a site buys: of units, cylinders or hoses."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from builder.base.quantity import magnitude
from builder.base.record import dataclass
from builder.base.where import Given
from builder.figures.computed import Computed
from builder.pages.fixed_words import ON_LABELS, fixed_words
from builder.pages.label_kinds import Label, cylinder_labels, hose_labels, unit_labels
from builder.pages.translator import Composition, PaperTexts, Translator, paper_texts, wording_of
from builder.pages.wording import Wording
from builder.program.labels import LabelSheet
from builder.program.program import Program

SMALL_MM = (55.0, 28.0)
"""Width or height under which a label's lines run on, and its square code holds the code alone."""
SHEETS_A_FILE = 10
"""More sheets than this are parted into several files: a printer is fed such a pile at once, each laid out alone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelGrid:
    """Where labels lie on their sheet, in millimetres from the upper left corner of the paper held upright."""

    id: str
    paper: str
    width: float
    height: float
    columns: int
    rows: int
    left: float
    top: float
    gap_x: float
    gap_y: float

    @property
    def places(self) -> int:
        """How many labels lie on a sheet."""
        return self.columns * self.rows

    @property
    def small(self) -> bool:
        """Whether its lines run on, and its square code holds the code alone."""
        return self.width < SMALL_MM[0] or self.height < SMALL_MM[1]


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelPages:
    """All labels on one kind of sheet."""

    grid: LabelGrid
    labels: tuple[Label, ...]
    language: str
    draft: bool
    kind: str = "units"
    """Of what: ``units``, ``cylinders`` or ``hoses``."""
    copies: int = 1
    """Of each label, one beside the other."""
    start: int = 1
    """Place of the first label on the first sheet, counted row by row from 1."""
    day: float = 0
    """Points of the day on each label; 0 until it is known what they have room for."""
    part: int = 0
    """Which of several files it is, counted from 1; 0 where there is one."""
    before: int = 0
    """Sheets in the files before it."""
    after: int = 0
    """Sheets in the files after it."""

    @property
    def name(self) -> str:
        """What it is called: the id of its sheet, and which part of the labels it is."""
        return f"{self.grid.id}_{self.part}" if self.part else self.grid.id

    @property
    def sheets(self) -> int:
        """How many sheets it takes."""
        return -(-(self.start - 1 + len(self.labels) * self.copies) // self.grid.places)

    @property
    def path(self) -> str:
        """Where its PDF lies."""
        return f"labels/{self.name}.pdf"

    @property
    def words(self) -> dict[str, str]:
        """``ON_LABELS`` in its language."""
        return fixed_words(ON_LABELS, Wording(language=self.language))

    @property
    def left_out(self) -> Mapping[str, int]:
        """Names in ``ON_LABELS`` of the lines that some of its labels have no room for -> how many of them."""
        return Counter(name for label in self.labels for name in label.left_out)

    @property
    def figures(self) -> tuple[str, ...]:
        """Keys of the figures it prints, in reading order, each once."""
        return tuple(dict.fromkeys(key for label in self.labels for key in label.figures))


def label_pages(computed: Computed, *, draft: bool) -> Composition[LabelPages]:
    """The labels on each kind of sheet that the site names; none when it names none."""
    made = [_pages(computed, sheet, draft=draft) for sheet in computed.program.labels]
    return Composition(
        papers=tuple(part for pages, _ in made for part in parts(pages)), texts=tuple(texts for _, texts in made)
    )


def _pages(computed: Computed, sheet: LabelSheet, *, draft: bool) -> tuple[LabelPages, PaperTexts]:
    program, language = computed.program, language_of(computed.program, sheet)
    translator = Translator(program=program, wording=wording_of(program, language.value))
    kind = sheet.kind.value if sheet.kind else "units"
    if kind == "units":
        made = unit_labels(computed, draft=draft, translator=translator)
    else:
        made = (cylinder_labels if kind == "cylinders" else hose_labels)(computed, translator, draft=draft)
    grid = grid_of(sheet)
    pages = LabelPages(
        grid=grid,
        labels=tuple(made.values()),
        kind=kind,
        language=language.value,
        draft=draft,
        copies=sheet.copies,
        start=sheet.start,
    )
    name = f"labels {sheet.id}"
    return pages, paper_texts(name, language, translator, ON_LABELS.values(), pages.figures, computed.ledger)


def parts(pages: LabelPages) -> Sequence[LabelPages]:
    """The labels in files of at most ``SHEETS_A_FILE`` sheets, none of which begins on a sheet of the one before."""
    runs = tuple(_runs(pages))
    if len(runs) <= 1:
        return runs
    found: list[LabelPages] = []
    after = sum(run.sheets for run in runs)
    for part, run in enumerate(runs, start=1):
        after -= run.sheets
        found.append(replace(run, part=part, before=sum(one.sheets for one in found), after=after))
    return found


def _runs(pages: LabelPages) -> Iterator[LabelPages]:
    rest, start = pages.labels, pages.start
    while rest:
        count = max(1, (SHEETS_A_FILE * pages.grid.places - (start - 1)) // pages.copies)
        yield replace(pages, labels=rest[:count], start=start)
        rest, start = rest[count:], 1


def language_of(program: Program, sheet: LabelSheet) -> Given[str]:
    """What the labels on a sheet speak."""
    return sheet.language or program.site.languages[0]


def grid_of(sheet: LabelSheet) -> LabelGrid:
    """The grid of a sheet as plain millimetres."""
    lengths = (sheet.width, sheet.height, sheet.left, sheet.top, sheet.gap_x, sheet.gap_y)
    width, height, left, top, gap_x, gap_y = (float(magnitude(given.value, "mm")) for given in lengths)
    return LabelGrid(
        id=sheet.id,
        paper=sheet.paper.value,
        width=width,
        height=height,
        columns=sheet.columns.value,
        rows=sheet.rows.value,
        left=left,
        top=top,
        gap_x=gap_x,
        gap_y=gap_y,
    )
