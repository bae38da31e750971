"""What pages and the book have in common: who prints, and how figures, links, headings and tables become markup.

The templates ask a ``Marker`` for everything that needs a decision, so they decide nothing themselves.
"""

from collections.abc import Callable, Mapping
from dataclasses import field
from datetime import date
from typing import NoReturn

from builder.base.errors import RenderError
from builder.base.nearest import hint
from builder.base.quantity import printed_unit
from builder.base.record import dataclass
from builder.figures.figure import NO_BREAK_SPACE, Figure
from builder.pages.blocks import Chart, Drawing, Fig, Heading, Inlines, ItemList, Link, Notice, Strong, Table, Text
from builder.pages.numbers import spoken_figures
from builder.pages.reader_tools import Converter, Corrector
from builder.program.languages import ENGLISH, is_right_to_left
from builder.program.look import Look
from builder.render.no_break import cell_unbroken, id_unbroken
from builder.render.plan_svg import plan_svg
from builder.render.svg import BOOK, BOOK_LADDER, PAGE, PAPER, SCREEN, chart_svg
from builder.render.tools import Form, form_of
from builder.render.typeset import typeset

CAUTION = (
    "This handbook supports a competent person and replaces nobody. "
    "The instrument's own manual, local law and licensed practice prevail."
)
INVENTED = "Invented demonstration data: not for use at any place of work."
NOTICES = {"stop": "Stop", "warn": "Warning", "caution": "Caution", "note": "Note", "assumes": "What this assumes"}
"""Kind of notice -> the word that says how grave it is; a look alone never does."""
ITEM_KINDS = ("", "steps", "ticks", "columns")
SHALLOWEST, DEEPEST = 2, 3
WIDE = 4
"""From this many columns on a table may be wider than a phone: it scrolls, and its first column stays."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteFacts:
    """What every page says about the handbook it belongs to."""

    name: str
    """The site's name."""
    title: str
    """The handbook's title."""
    draft: bool
    revision: str
    """As in ``Revision 3``, or ``Draft after revision 3``."""
    as_of: str
    """Day the due dates were counted from, as printed."""
    invented: bool = False
    owner: str = ""
    language: str = "en"
    pages_in: tuple[str, ...] = ()
    """Other languages that workers can read pages in."""
    counted: date = date.min
    """The day the due dates were counted from."""
    look: Look = field(default_factory=Look)


@dataclass(frozen=True, slots=True)
class FigureMark:
    """A figure as it is set: number (with its relation sign), unit, what it is, and where its derivation is."""

    text: str
    unit: str
    label: str
    href: str
    """Empty when the derivation cannot be reached from here."""
    due: str = ""
    """The day in ISO 8601 that the reader's browser counts to, or empty."""


@dataclass(frozen=True, slots=True)
class TableMark:
    """How a table is set."""

    classes: str
    wide: bool
    head: bool
    """Whether any column has a name."""
    explained: Mapping[int, str]
    """Index of a column -> where its head is explained."""


class Marker:
    """Decides what the templates print; one for each page, since it watches heading order and anchors.

    ``resolve`` turns a reference into a link, empty when it cannot be reached from here.
    """

    unnamed = "Table"
    """What a table without caption is called where it can be scrolled."""

    def __init__(
        self,
        figures: Mapping[str, Figure],
        resolve: Callable[[str], str],
        *,
        page: str,
        shift: int = 0,
        prefix: str = "",
        reserved: tuple[str, ...] = (),
        paper: bool = False,
        unmarked: bool = False,
        language: str = ENGLISH,
    ) -> None:
        self.paper = paper
        """True for the PDF engine, which counts a list's start only by style."""
        self.unmarked = unmarked
        """True where figures are words of their sentence: nothing styles them, and elements are what paper costs."""
        self.book = False
        """True for the printed books, which need fewer elements, since their style sheet is one of few rules."""
        self.language = language
        self._figures = figures
        self._resolve = resolve
        self._page = page
        self._shift = shift
        self._prefix = prefix
        self._level = 1
        self._charts = 0
        self._anchors = set(reserved)

    def refuse(self, why: str) -> NoReturn:
        """Stop rendering, naming the page.

        :raises RenderError: always.
        """
        raise RenderError(f"{self._page}: {why}")

    def figure(self, node: Fig) -> FigureMark:
        """The parts of a figure; an unknown key is refused."""
        figure = self._figures.get(node.key)
        if figure is None:
            self.refuse(f"no figure has the key {node.key!r}" + hint(node.key, self._figures))
        text, unit = NO_BREAK_SPACE.join(filter(None, (figure.relation, figure.text))), printed_unit(figure.unit)
        return FigureMark(
            text, "" if node.bare else unit, figure.label, self._resolve(f"figure:{node.key}"), self._due(node, figure)
        )

    def _due(self, node: Fig, figure: Figure) -> str:
        """The day to count to; none on paper, and a number that is no day is refused."""
        if not node.due or self.paper:
            return ""
        if not isinstance(figure.exact, date):
            self.refuse(f"{node.key} is to be counted to, but is no day")
        return figure.exact.isoformat()

    def href(self, node: Link) -> str:
        """Where a link leads; an unknown target or a link without words is refused."""
        if not node.content:
            self.refuse(f"the link to {node.target!r} has no words")
        return "" if self.paper and node.quiet else self._resolve(node.target)

    def words(self, text: str) -> str:
        """Plain text as this medium sets it: on paper with true quotes and dashes, and subscripts in formulae."""
        return typeset(text, self.language) if self.paper else text

    def whole(self, mark: FigureMark) -> str:
        """A figure that no line end cuts from its unit."""
        return NO_BREAK_SPACE.join(filter(None, (mark.text, mark.unit)))

    def way(self, _mark: FigureMark) -> str:
        """The direction that a figure is read in, where that is not the direction of the page."""
        return ""

    def tongue(self, _target: str) -> str:
        """The language of what a link leads to, where that is not the language of this page."""
        return ""

    def section(self, _node: Link) -> str:
        """What follows a link, where it leads to a place that paper names."""
        return ""

    def link_class(self, node: Link) -> str:
        """The classes of a link; an id in a run of ids is not cut at its hyphen."""
        return " ".join(("term",) * node.quiet + ("one",) * id_unbroken(node.content))

    def strong_class(self, node: Strong) -> str:
        """The class of heavy words; a number to call is no more cut at its hyphen than an id."""
        return "one" if id_unbroken(node.content) else ""

    def link(self, target: str) -> str:
        """Where a reference of the frame (navigation, crumbs) leads."""
        return self._resolve(target)

    def level(self, node: Heading) -> int:
        """The level a heading is set at: never more than one below the last, so that the outline has no holes."""
        if not SHALLOWEST <= node.level <= DEEPEST:
            self.refuse(f"heading level {node.level}; allowed: 2 or 3")
        self._level = min(node.level, self._level + 1)
        return self._level + self._shift

    def anchor(self, node: Heading) -> str:
        """The id of a heading, empty when it has none; one that another element has is refused."""
        return self._claimed(node.anchor) if node.anchor else ""

    def row_anchor(self, node: Table, row: int) -> str:
        """The id of a table's row, under the same rules."""
        if len(node.row_ids) != len(node.rows):
            self.refuse(f"table {node.caption!r}: {len(node.row_ids)} anchors for {len(node.rows)} rows")
        return self._claimed(node.row_ids[row])

    def _claimed(self, name: str) -> str:
        anchor = self._prefix + name
        if any(character.isspace() for character in anchor):
            self.refuse(f"anchor {anchor!r} holds a space")
        if anchor in self._anchors:
            self.refuse(f"anchor {anchor!r} stands twice on one page")
        self._anchors.add(anchor)
        return anchor

    def chart(self, node: Chart) -> str:
        """The picture of a chart, to be printed as it is: its words are escaped."""
        self._charts += 1
        name = f"{self._prefix}chart-{self._charts}"
        taken = {f"{name}-title", f"{name}-desc"}
        if taken & self._anchors:
            self.refuse(f"anchor {name}-title or {name}-desc stands twice on one page")
        self._anchors |= taken
        try:
            return self.drawn(node, name)
        except RenderError as error:
            self.refuse(str(error))

    def drawn(self, node: Chart, name: str) -> str:
        """The picture as this medium has it."""
        size = (BOOK if node.x else BOOK_LADDER) if self.paper else PAGE
        return chart_svg(node, self._figures, size, PAPER if self.paper else SCREEN, name)

    def drawing(self, node: Drawing) -> str:
        """The plan of the areas, to be printed as it is: its words are escaped."""
        name = self._claimed("plan")
        return plan_svg(node, (lambda _: "") if self.paper else self._resolve, PAPER if self.paper else SCREEN, name)

    def table(self, node: Table) -> TableMark:
        """The classes of a table; one whose rows do not match its columns is refused."""
        count = len(node.columns)
        for number, row in enumerate(node.rows, start=1):
            if len(row) != count:
                self.refuse(f"table {node.caption!r}: row {number} has {len(row)} cells, the table {count} columns")
        if any(not 0 <= index < count for index in node.numeric):
            self.refuse(f"table {node.caption!r}: numeric columns {node.numeric}, the table has {count}")
        if node.kind not in {"", "facts", "matrix", "lookup", "alarms", "calls", "actions"}:
            self.refuse(f"unknown kind of table {node.kind!r}")
        wide = count >= WIDE
        classes = filter(None, (node.kind, "wide" if wide else ""))
        explained = {} if self.paper else {index: self._resolve(target) for index, target in node.explained}
        return TableMark(" ".join(classes), wide, any(node.columns), explained)

    def cell(self, node: Table, column: int, content: Inlines) -> str:
        """The classes of a cell: a number, and one short word (an id, a date) that no line end may cut."""
        names = ("num" if column in node.numeric else "", "one" if cell_unbroken(content) else "")
        return " ".join(filter(None, names))

    def heads_row(self, content: Inlines) -> bool:
        """Whether a first cell says something; an empty one heads nothing."""
        return any(not isinstance(part, Text) or part.text.strip() for part in content)

    def severity(self, node: Notice) -> str:
        """The word for a notice's kind."""
        if node.kind not in NOTICES:
            self.refuse(f"unknown kind of notice {node.kind!r}")
        return NOTICES[node.kind]

    def form(self, node: Corrector | Converter) -> Form:
        """A form that the reader's browser computes with."""
        return form_of(node, self._figures)

    def items(self, node: ItemList) -> str:
        """The class of a list."""
        if node.kind not in ITEM_KINDS:
            self.refuse(f"unknown kind of list {node.kind!r}")
        return node.kind


def sheet_marker(figures: Mapping[str, Figure], language: str, page: str) -> Marker:
    """For a log sheet or a sheet of labels, where nothing leads anywhere; from right to left figures are marked."""
    spoken, unmarked = spoken_figures(figures, language), not is_right_to_left(language)
    return Marker(spoken, lambda _target: "", page=page, paper=True, unmarked=unmarked, language=language)
