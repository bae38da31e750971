"""What a rule is: a function of ``rules`` that bears its name, its weights, its words and its source."""

import inspect
from collections.abc import Callable, Hashable, Iterator
from functools import wraps
from typing import Any, TypeAlias

from builder.base.finding import Finding, Severity
from builder.base.record import dataclass
from builder.base.where import Where
from builder.figures.computed import Computed
from builder.findings.record_findings import by_cause, first_and_count
from builder.findings.wording import COMMON_PRACTICE

Caused: TypeAlias = tuple[Hashable, Finding]
"""What a finding has in common with others, and the finding."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """Something that can be wrong with a program, and the function that finds it."""

    id: str
    """As its findings bear it: the name of the function, with hyphens."""
    severities: tuple[Severity, ...]
    """What its findings can weigh, the gravest first."""
    words: str
    """What is wrong and, after ``Source:``, who says so."""
    acceptable: bool
    """Whether a site may answer for it: a guard rail, where no law names the number."""
    ask: Callable[[Computed], Iterator[Finding]]
    """Yields what it proves wrong."""

    def found(
        self,
        *,
        message: str,
        where: Where,
        mend: str = "",
        source: str = COMMON_PRACTICE,
        severity: Severity | None = None,
        figures: tuple[str, ...] = (),
        subject: str = "",
        touches: tuple[str, ...] = (),
        lines: tuple[Where, ...] = (),
    ) -> Finding:
        """A finding under its id; its weight needs to be told only where the rule has more than one.

        What touches its subject alone touches nothing besides. Where no source is told, nobody published one: then
        the rule's own words say so too.

        :raises ValueError: when it has more than one and none is told.
        """
        if severity is None:
            (severity,) = self.severities
        return Finding(
            rule=self.id,
            severity=severity,
            message=message,
            where=where,
            figures=figures,
            source=source,
            mend=mend,
            subject=subject,
            touches=touches if touches != (subject,) else (),
            lines=lines,
        )


def rule(
    *severities: Severity, acceptable: bool = False, many: bool = False, counted: str = ""
) -> Callable[[Callable[..., Iterator[Any]]], Rule]:
    """Make a rule of a function, whose name gives the id and whose docstring says what is wrong and who says so.

    Its parameters are named as the fields of ``Computed`` that it looks at.

    :param many: whether there can be so many findings that those beyond the first are only counted.
    :param counted: where the function yields ``Caused``: what is counted when findings of one cause become one.
    """

    def made(ask: Callable[..., Iterator[Any]]) -> Rule:
        wanted = inspect.signature(ask).parameters

        @wraps(ask)
        def asked(computed: Computed) -> Iterator[Finding]:
            found = ask(**{name: getattr(computed, name) for name in wanted})
            return by_cause(found, counted) if counted else first_and_count(found) if many else found

        return Rule(
            id=ask.__name__.replace("_", "-"),
            severities=severities,
            words=inspect.getdoc(ask) or "",
            acceptable=acceptable,
            ask=asked,
        )

    return made
