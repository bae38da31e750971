"""Sheets of labels as they are bought: paper, size of a label and the grid it stands in."""

from builder.base.quantity import Quantity, magnitude, quantity
from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.load.nodes import Scalar
from builder.program.declared import asked, here, record, under, usual
from builder.program.faults import Faults
from builder.program.reading import Fields
from builder.program.site import PAPERS
from builder.program.values import quantity_of

SIZES = {"A4": ("210", "297"), "Letter": ("215.9", "279.4")}
"""Width and height of the papers, in mm."""
KINDS = ("units", "cylinders", "hoses")
"""What labels can be of."""
TIMES = "×"
MOST_COPIES = 100


def _first(fields: Fields, key: str) -> int:
    """A whole number, one where it is not said."""
    given = fields.maybe_whole(key, least=1)
    return given.value if given else 1


def _language(fields: Fields, key: str) -> Given[str]:
    return fields.choice(key, fields.faults.languages, fields.faults.languages[0])


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelSheet:
    """One kind of sheet; lengths run from the left and top edge of the paper held upright."""

    id: str
    paper: Given[str] = asked(Fields.choice, PAPERS)
    width: Given[Quantity]
    height: Given[Quantity]
    columns: Given[int] = asked(Fields.whole, least=1)
    rows: Given[int] = asked(Fields.whole, least=1)
    left: Given[Quantity] = asked(Fields.quantity, "mm")
    top: Given[Quantity] = asked(Fields.quantity, "mm")
    gap_x: Given[Quantity] = asked(Fields.quantity, "mm")
    gap_y: Given[Quantity] = asked(Fields.quantity, "mm")
    where: Where = here("id")
    copies: int = usual(1, asked(_first))
    """Of each label."""
    start: int = usual(1, under("start-at", _first))
    """Place of the first label on the first sheet, counted row by row: those before it are used up."""
    kind: Given[str] | None = usual(None, asked(Fields.choice, KINDS, KINDS[0]))
    """Of what: a choice of ``KINDS``; ``None`` for units."""
    language: Given[str] | None = usual(None, asked(_language))
    """What its labels speak; ``None`` for the site's first language."""


def read_label_sheet(fields: Fields) -> LabelSheet:
    """An entry of ``labels.yaml``."""
    id_ = fields.identity("label sheet").value
    before = len(fields.faults.problems)
    width, height = _size(fields)
    sheet = record(LabelSheet, id=id_, width=width, height=height)(fields)
    if len(fields.faults.problems) == before:  # else a stand-in would be judged
        _judge(sheet, fields.faults)
    return sheet


def _size(fields: Fields) -> tuple[Given[Quantity], Given[Quantity]]:
    """``63.5 mm × 38.1 mm``; an x between the two will do."""
    given = fields.text("label")
    parts = given.value.replace(" x ", TIMES).split(TIMES)
    if len(parts) != 2:  # noqa: PLR2004 - width and height
        if given.value:
            fields.faults.number(
                given.where, f"{given.value!r} for 'label'", "width × height, such as 63.5 mm × 38.1 mm"
            )
        stand_in = Given(quantity(1, "mm"), given.where, given.value)
        return stand_in, stand_in
    read = [
        quantity_of(Scalar(part.strip(), given.where), ("mm",), fields.faults, "label", above=True) for part in parts
    ]
    return read[0], read[1]


def _judge(sheet: LabelSheet, faults: Faults) -> None:
    places = sheet.columns.value * sheet.rows.value
    if sheet.start > places:
        faults.range(
            sheet.where, f"label sheet {sheet.id!r} starts at place {sheet.start}", f"1 to {places}, its places"
        )
    if sheet.copies > MOST_COPIES:
        faults.range(sheet.where, f"{sheet.copies} copies", f"1 to {MOST_COPIES}; the printer makes more")
    sides = zip(
        ("width", "height"),
        SIZES[sheet.paper.value],
        ((sheet.left, sheet.width, sheet.columns, sheet.gap_x), (sheet.top, sheet.height, sheet.rows, sheet.gap_y)),
        strict=True,
    )
    for name, paper, (start, size, count, gap) in sides:
        one, between = magnitude(size.value, "mm"), magnitude(gap.value, "mm")
        needed = magnitude(start.value, "mm") + count.value * one + (count.value - 1) * between
        room = magnitude(quantity(paper, "mm"), "mm")
        if needed > room:
            found = f"label sheet {sheet.id!r} needs a {name} of {float(needed):g} mm"
            faults.range(sheet.where, found, f"at most the {name} of {sheet.paper.value} paper, {paper} mm")
