"""Findings: what the computation proved wrong or worth telling, the gravest first."""

from collections.abc import Iterator
from typing import Final

from builder.base.finding import Finding, Severity
from builder.pages.blocks import Block, Code, Inlines, Link, Page
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.labels import SEVERITIES, capital
from builder.pages.handbook.parts import code, facts, head, inlines, listed, page, para, subhead
from builder.pages.handbook.sections import path_of

SAYS: Final = {Severity.STOP: "findings.stop", Severity.WARN: "findings.warn", Severity.NOTE: "findings.note"}
"""What a severity asks for, as a text of its own."""


def finding_pages(book: HandbookContext) -> Iterator[Page]:
    """The one page of findings."""
    blocks: list[Block] = []
    for severity in Severity:
        found = [finding for finding in book.findings if finding.severity is severity]
        blocks += [head(SEVERITIES[severity.value], severity.value), para(fixed(SAYS[severity]))]
        blocks += [block for finding in found for block in _finding(book, finding)] or [para("None.")]
    yield page(
        id="page:findings",
        path=path_of("page:findings"),
        title="Findings",
        section="findings",
        lead=fixed("findings.lead"),
        blocks=blocks,
    )


def _finding(book: HandbookContext, finding: Finding) -> tuple[Block, ...]:
    about: Inlines = (book.reference(finding.subject),) if finding.subject else inlines("The program")
    touched = [(book.reference(reference),) for reference in finding.touches]
    shown = [_shown(book, key) for key in finding.figures]
    return (
        subhead(capital(finding.rule.replace("-", " ")), ": ", *about),
        para(finding.message),
        facts(
            ("To correct it", inlines(finding.mend) if finding.mend else None),
            ("Holds for", listed(touched) if touched else None),
            ("Shown by", listed(shown) if shown else None),
            ("Rule behind it", inlines(finding.source) if finding.source else None),
            ("Line to correct", code(finding.where)),
            ("All its lines", _lines(finding) or None),
            ("Name of the rule", code(finding.rule)),
        ),
    )


def _lines(finding: Finding) -> Inlines:
    """Every line behind one cause, file by file: ``records/rounds.csv: 4, 7, 9``."""
    files: dict[str, list[int]] = {}
    for where in finding.lines:
        files.setdefault(where.file, []).append(where.line)
    told = [inlines(Code(name), ": ", ", ".join(map(str, sorted(lines)))) for name, lines in files.items()]
    return listed(told) if told else ()


def _shown(book: HandbookContext, key: str) -> Inlines:
    real = book.ledger.resolve(key)
    if real is None:
        return code(key)
    return inlines(Link(f"figure:{real}", (Code(real),)), " ", *book.fig(real))
