"""What a rule is: a function of ``rules`` that bears its name, its weights, its words and its source."""

import inspect
from collections.abc import Callable, Iterator
from functools import wraps

from builder.base.finding import Finding, Severity
from builder.base.record import dataclass
from builder.base.where import Where
from builder.figures.computed import Computed
from builder.findings.wording import COMMON_PRACTICE


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


def rule(*severities: Severity, acceptable: bool = False) -> Callable[[Callable[..., Iterator[Finding]]], Rule]:
    """Make a rule of a function, whose name gives the id and whose docstring says what is wrong and who says so.

    Its parameters are named as the fields of ``Computed`` that it looks at.
    """

    def made(ask: Callable[..., Iterator[Finding]]) -> Rule:
        wanted = inspect.signature(ask).parameters

        @wraps(ask)
        def asked(computed: Computed) -> Iterator[Finding]:
            return ask(**{name: getattr(computed, name) for name in wanted})

        return Rule(
            id=ask.__name__.replace("_", "-"),
            severities=severities,
            words=inspect.getdoc(ask) or "",
            acceptable=acceptable,
            ask=asked,
        )

    return made
