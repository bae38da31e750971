"""Findings: what the computation proved wrong or worth telling, the gravest first."""

from collections.abc import Iterable, Iterator
from itertools import groupby
from typing import Final

from builder.base.finding import Finding, Severity
from builder.base.grouping import grouped
from builder.pages.blocks import Block, Code, Inlines, Link
from builder.pages.compositions import Page
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext, index_page
from builder.pages.handbook.labels import SEVERITIES, capital
from builder.pages.handbook.parts import code, facts, head, inlines, listed, para, subhead

SAYS: Final = {Severity.STOP: "findings.stop", Severity.WARN: "findings.warn", Severity.NOTE: "findings.note"}
"""What a severity asks for, as a text of its own."""
LISTED: Final = 60
"""Pages that a finding names; of more it says how many, and each of them says it itself."""


def finding_pages(book: HandbookContext) -> Iterator[Page]:
    """The one page of findings."""
    blocks: list[Block] = []
    for severity in Severity:
        found = [finding for finding in book.findings if finding.severity is severity]
        blocks += [head(SEVERITIES[severity.value], severity.value), para(fixed(SAYS[severity]))]
        # with one cause beside each other, each cause where its first stood
        causes = grouped(found, lambda finding: finding.rule).values()
        blocks += [block for together in causes for block in _together(book, together)] or [para("None.")]
    yield index_page("findings", fixed("findings.lead"), blocks)


def _together(book: HandbookContext, found: list[Finding]) -> Iterator[Block]:
    """Findings of one rule: what they have in common is told once, below the last."""
    first, *others = found
    mends, sources = {one.mend for one in found}, {one.source for one in found}
    about = () if others else (": ", *_about(book, first))
    common = (
        ("To correct it", inlines(first.mend) if first.mend and len(mends) == 1 else None),
        ("Rule behind it", inlines(first.source) if first.source and len(sources) == 1 else None),
        ("Name of the rule", code(first.rule)),
    )
    yield subhead(capital(first.rule.replace("-", " ").replace(" lel ", " LEL ")), *about)
    for finding in found:
        yield para(finding.message)
        touched = [inlines(book.reference(reference)) for reference in finding.touches[:LISTED]]
        if len(finding.touches) > LISTED:
            touched.append(inlines(f"and {len(finding.touches) - LISTED} more, each of which says so on its own page"))
        shown = [_shown(book, key) for key in finding.figures]
        yield facts(
            ("To correct it", finding.mend if finding.mend and len(mends) > 1 else None),
            ("About", _about(book, finding) if others and finding.subject != "page:findings" else None),
            ("Holds for", listed(touched) if touched else None),
            ("Shown by", listed(shown) if shown else None),
            ("Rule behind it", finding.source if finding.source and len(sources) > 1 else None),
            ("Line to correct", code(finding.where)),
            ("All its lines", _lines(finding) if {*finding.lines} - {finding.where} else None),
            *(() if others else common),
        )
    if others:
        yield facts(*common)


def _about(book: HandbookContext, finding: Finding) -> Inlines:
    return (book.reference(finding.subject),) if finding.subject else inlines("The program")


def _lines(finding: Finding) -> Inlines:
    """Every line behind one cause, file by file: ``records/rounds.csv: 4, 7–9``."""
    files = grouped(finding.lines, lambda where: where.file)
    told = [inlines(Code(name), ": ", ", ".join(_runs(where.line for where in found))) for name, found in files.items()]
    return listed(told) if told else ()


def _runs(numbers: Iterable[int]) -> Iterator[str]:
    """Numbers in order, those that follow each other as one: ``4``, ``7–9``."""
    for _, run in groupby(enumerate(sorted(set(numbers))), lambda at: at[1] - at[0]):
        first, *others = (number for _, number in run)
        yield f"{first}–{others[-1]}" if others else f"{first}"


def _shown(book: HandbookContext, key: str) -> Inlines:
    real = book.ledger.resolve(key)
    if real is None:
        return code(key)
    return inlines(Link(f"figure:{real}", (Code(real),)), " ", *book.fig(real))
