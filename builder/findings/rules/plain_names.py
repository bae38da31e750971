"""Names that people go by."""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.grouping import grouped
from builder.base.where import Where
from builder.findings.rule import rule
from builder.program.program import Program


@rule(Severity.STOP)
def name_of_two(program: Program) -> Iterator[Finding]:
    """Two gases, areas or models under one name: whoever reads a card or page takes one for the other.

    Most often a line that was copied and whose name stayed. Source: common practice, no published source.
    """
    # A stop for each thing that bears the name of one before it
    named: list[tuple[str, str, Where, str]] = []
    named += [("gas", gas.name, gas.where, f"gas:{gas.id}") for gas in program.gases.values()]
    named += [("area", area.name, area.where, f"area:{area.id}") for area in program.areas.values()]
    named += [("model", model.name, model.where, f"model:{model.id}") for model in program.models.values()]
    for group in grouped(named, lambda one: (one[0], " ".join(one[1].split()).casefold())).values():
        for kind, name, where, subject in group[1:]:
            yield name_of_two.found(
                message=f"This {kind} is called {name}, and so is the one of {group[0][2]}.",
                where=where,
                mend="give each the name that people there know it by",
                subject=subject,
            )
