"""``handbook trace``: the derivation of a figure as a tree."""

from __future__ import annotations

import sys
from contextlib import suppress
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from builder.base.gc_pause import gc_paused
from builder.base.rounding import plain
from builder.cli.options import as_of_option, content_option
from builder.cli.telling import faults_told
from builder.cli.work import opened_store

if TYPE_CHECKING:
    from rich.tree import Tree

    from builder.figures.figure import Figure
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

    with faults_told(content):
        step = _derivation(key, content, as_of)
    tree = Tree("", hide_root=True)
    _grow(tree, step)
    # A terminal's lines are folded; what is read by a program or put in a file keeps whole lines.
    width = None if sys.stdout.isatty() else WHOLE_LINES
    Console(highlight=False, markup=False, emoji=False, width=width).print(tree)
    return 0


@gc_paused()
def _derivation(key: str, content: Path, as_of: date) -> Step:
    """How a figure is made, of figures computed now or kept when somebody last asked of the same content and day.

    :raises ContentError: when the content is wrong.
    :raises UnknownKeyError: when no figure has the key.
    """
    from builder.figures.trace import (  # noqa: PLC0415 - `--help` needs none
        PartLostError,
        derivation,
        keep,
        kept_ledger,
    )
    from builder.publish.unchanged import content_key  # noqa: PLC0415 - as above

    store, name = opened_store(), content_key(content, as_of)
    kept = kept_ledger(store, name) if name else None
    if kept is not None:
        ledger, whole = kept
        with suppress(PartLostError):
            if whole or key in ledger:
                return derivation(ledger, key)
    from builder.figures.of_content import ledger_of  # noqa: PLC0415 - not needed where figures are kept

    ledger, whole = ledger_of(content, as_of, key)
    if name:
        keep(store, name, ledger, whole=whole)
    return derivation(ledger, key)


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
    return f"{figure.key} = {figure.printed}{step.given.rounded if step.given else ''}   {label}"


def _reasons(figure: Figure) -> list[str]:
    from builder.figures.formulas.registry import formula_of  # noqa: PLC0415 - `--help` needs none of it

    formula = formula_of(figure.formula)
    lines = [f"formula {formula.id}: {formula.expression}"]
    if figure.rounding is not None and not isinstance(figure.exact, date):
        lines.append(f"exact {plain(figure.exact)}; {figure.rounding.words}")
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
