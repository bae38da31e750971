"""``handbook trace``: the derivation of a figure as a tree."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from builder.base.errors import ContentError
from builder.base.rounding import plain
from builder.cli.options import as_of_option, content_option
from builder.cli.telling import show_problems
from builder.cli.work import opened_store

if TYPE_CHECKING:
    from rich.tree import Tree

    from builder.figures.figure import Figure
    from builder.figures.ledger import Ledger
    from builder.figures.trace import Step

WHOLE_LINES = 100_000


@click.command()
@click.argument("key")
@content_option
@as_of_option
def trace(key: str, content: Path, as_of: date) -> int:
    r"""Show where a figure comes from: formula, inputs, content lines, published sources, rounding.

    \b
    Examples:
      handbook trace gas.methane.lel
      handbook trace setpoint.wet-well.h2s.low
    """
    from rich.console import Console  # noqa: PLC0415 - `--help` needs none of it
    from rich.tree import Tree  # noqa: PLC0415

    from builder.figures.trace import derivation  # noqa: PLC0415

    try:
        ledger = _ledger(content, as_of)
    except ContentError as error:
        show_problems(error, content)
        return 1
    step = derivation(ledger, key)
    tree = Tree("", hide_root=True)
    _grow(tree, step)
    # A terminal's lines are folded; what is read by a program or put in a file keeps whole lines.
    width = None if sys.stdout.isatty() else WHOLE_LINES
    Console(highlight=False, markup=False, emoji=False, width=width).print(tree)
    return 0


def _ledger(content: Path, as_of: date) -> Ledger:
    """All figures: computed, or as they were when somebody last asked of the same content on the same day.

    :raises ContentError: when the content is wrong.
    """
    from builder.base.plain_pickle import packed, unpacked  # noqa: PLC0415 - `--help` needs none of it
    from builder.figures.ledger import Ledger  # noqa: PLC0415 - as above
    from builder.publish.unchanged import content_key  # noqa: PLC0415 - as above

    store, key = opened_store(), content_key(content, as_of)
    kept = unpacked(store.get(key)) if key else None
    if kept is None:
        from builder.figures.of_content import computed_of  # noqa: PLC0415 - not needed where figures are kept

        made = computed_of(content, as_of).ledger
        kept = (dict(made.figures), dict(made.aliases), dict(made.names))
        if key:
            store.put(key, packed(kept))
    figures, aliases, names = kept
    return Ledger(figures=figures, aliases=aliases, names=names)


def _grow(tree: Tree, step: Step) -> None:
    if step.figure is None:
        tree.add(_input_text(step))
        return
    branch = tree.add(_headline(step, step.figure))
    for line in _reasons(step.figure):
        branch.add(line)
    for part in step.parts:
        _grow(branch, part)


def _headline(step: Step, figure: Figure) -> str:
    label = step.label if step.given is None or step.label == figure.label else f"{step.label} ({figure.label})"
    return f"{figure.key} = {figure.printed}   {label}"


def _reasons(figure: Figure) -> list[str]:
    from builder.figures.formulas.registry import formula_of  # noqa: PLC0415 - `--help` needs none of it

    formula = formula_of(figure.formula)
    lines = [f"formula {formula.id}: {formula.expression}"]
    if figure.rounding is not None and not isinstance(figure.exact, date):
        lines.append(f"exact {plain(figure.exact)}; {figure.rounding.describe()}")
    lines.append(f"source: {figure.source}")
    if figure.note:
        lines.append(f"note: {figure.note}")
    if not figure.read:
        lines.append("rests on a value or formula that was not read in its source")
    return lines


def _input_text(step: Step) -> str:
    if step.given is None:
        return step.label
    place = f"  [{step.given.where}]" if step.given.where else ""
    source = f"  source: {step.given.source}" if step.given.source else ""
    unread = "  (not read in its source)" if not step.given.read else ""
    return f"{step.label}: {step.given.text}{place}{source}{unread}"
