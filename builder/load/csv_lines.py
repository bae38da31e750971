"""CSV read into rows that know their line."""

from __future__ import annotations

import csv
import io

from builder.base.errors import ContentError, Problem
from builder.base.where import Where
from builder.load.nodes import Entries, Items, Scalar


def read_csv(text: str, file: str) -> Items:
    """A CSV text as a list of mappings from column head to text; empty cells are left out.

    Dots in a column head make nested mappings: ``last.bump-test`` becomes ``last: {bump-test: ...}``.

    :raises ContentError: for a missing or doubled head, or a row with another number of cells than the head.
    """
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    problems: list[Problem] = []
    rows: list[Entries] = []
    try:
        head = [name.strip() for name in next(reader, [])]
        if not any(head):
            raise ContentError([Problem(Where(file, 1), "no column heads", "a first row with the column heads")])
        problems += [
            Problem(Where(file, 1), f"column head {n!r} stands twice", "each head once") for n in _doubled(head)
        ]
        start = reader.line_num + 1
        for cells in reader:
            where = Where(file, start)
            start = reader.line_num + 1
            if not any(cell.strip() for cell in cells):
                continue
            if len(cells) != len(head):
                problems.append(Problem(where, f"{len(cells)} cells", f"{len(head)} cells, one a column head"))
                continue
            rows.append(_row(head, cells, where))
    except csv.Error as error:
        line = Where(file, reader.line_num)
        raise ContentError([*problems, Problem(line, f"not valid CSV: {error}", "RFC 4180 text")]) from error
    if problems:
        raise ContentError(problems)
    return Items(tuple(rows), Where(file, 1))


def _doubled(head: list[str]) -> list[str]:
    return sorted({name for name in head if head.count(name) > 1})


def _row(head: list[str], cells: list[str], where: Where) -> Entries:
    flat: list[tuple[Scalar, Scalar | Entries]] = []
    nested: dict[str, list[tuple[Scalar, Scalar]]] = {}
    for name, cell in zip(head, cells, strict=True):
        if not cell.strip():
            continue
        outer, dot, inner = name.partition(".")
        value = Scalar(cell.strip(), where)
        if dot:
            nested.setdefault(outer, []).append((Scalar(inner, where), value))
        else:
            flat.append((Scalar(name, where), value))
    flat += [(Scalar(outer, where), Entries(tuple(parts), where)) for outer, parts in nested.items()]
    return Entries(tuple(flat), where)
