"""What a rule is: a function of ``rules`` that bears its name, its weights, its words and its source."""

import inspect
from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import wraps
from typing import Any, TypeAlias

from builder.base.finding import Finding, Severity
from builder.base.record import dataclass
from builder.base.where import Where
from builder.figures.computed import Computed
from builder.figures.figure import Figure
from builder.findings.alarms import PlacedAlarm
from builder.findings.limit_comparisons import area_references, places
from builder.findings.record_findings import by_cause, first_and_count, row_text
from builder.findings.record_findings import subject as subject_of
from builder.findings.wording import COMMON_PRACTICE, keys, severity_allowed
from builder.program.program import Program
from builder.program.records import Record

Caused: TypeAlias = tuple[Hashable, Finding]
"""What a finding has in common with others, and the finding."""
THINGS: Mapping[str, Callable[[Program], Iterable[Any]]] = {
    "area": lambda program: program.areas.values(),
    "card": lambda program: program.cards.values(),
    "check": lambda program: program.checks.values(),
    "cylinder": lambda program: program.bottles,
    "model": lambda program: program.models.values(),
    "sensor": lambda program: program.sensors.values(),
    "unit": lambda program: program.units.values(),
}
"""What a rule can be asked of, one by one."""


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
    about: str = ""
    """What its findings are about where they do not say."""
    source: str = COMMON_PRACTICE
    """Who says so, in short, where they do not."""

    def found(
        self,
        *,
        message: str,
        where: Where,
        mend: str = "",
        source: str | None = None,
        severity: Severity | None = None,
        rests_on: Iterable[Figure | None] = (),
        figures: tuple[str, ...] = (),
        subject: str = "",
        touches: tuple[str, ...] = (),
        lines: tuple[Where, ...] = (),
    ) -> Finding:
        """A finding under its id; its weight needs to be told only where the rule has more than one.

        Without a subject it is about what the rule says, else about the first thing that it touches; what touches its
        subject alone touches nothing besides. Where nobody told a source, nobody published one: then the rule's own
        words say so too.

        :param rests_on: figures of which one that nobody read in its source makes a stop a warn, which then says so.
        :raises ValueError: when it has more than one and none is told.
        """
        if severity is None:
            (severity,) = self.severities
        severity, caveat = severity_allowed(severity, *rests_on)
        subject = subject or self.about or next(iter(touches), "")
        return Finding(
            rule=self.id,
            severity=severity,
            message=message + caveat,
            where=where,
            figures=figures,
            source=self.source if source is None else source,
            mend=mend,
            subject=subject,
            touches=touches if touches != (subject,) else (),
            lines=lines,
        )

    def of_alarms(self, alarms: Sequence[PlacedAlarm], told: str, *others: Figure | None, **more: Any) -> Finding:
        """A finding of one alarm that is the same in several areas, with its figures and others."""
        figures = keys(*(placed.figure for placed in alarms), *others)
        usual: dict[str, Any] = {
            "where": alarms[0].alarm.value.where,
            "figures": figures,
            "touches": area_references(alarms),
        }
        return self.found(message=f"{places(alarms)}: {told}", **(usual | more))

    def of_row(self, program: Program, record: Record, told: str, **more: Any) -> Finding:
        """A finding of one row of the records, told behind its unit, kind, sensor and day."""
        message = f"{row_text(program, record)}: {told}"
        return self.found(message=message, where=record.where, subject=subject_of(program, record), **more)


def rule(
    *severities: Severity,
    about: str = "",
    source: str = COMMON_PRACTICE,
    acceptable: bool = False,
    many: bool = False,
    counted: str = "",
) -> Callable[[Callable[..., Iterator[Any]]], Rule]:
    """Make a rule of a function, whose name gives the id and whose docstring says what is wrong and who says so.

    Its parameters are named as the fields of ``Computed`` that it looks at. One that is named as something of the
    content, such as ``area``, is asked of each there is, and its findings are about that one.

    :param about: what a finding is about that does not say so itself.
    :param source: who says so, for a finding that does not tell it; the docstring may say more.
    :param many: whether there can be so many findings that those beyond the first are only counted.
    :param counted: where the function yields ``Caused``: what is counted when findings of one cause become one.
    """

    def made(ask: Callable[..., Iterator[Any]]) -> Rule:
        wanted = inspect.signature(ask).parameters

        thing = next((name for name in wanted if name in THINGS), "")

        def of_each(computed: Computed, **given: Any) -> Iterator[Finding]:
            for one in THINGS[thing](computed.program):
                for found in ask(**given, **{thing: one}):
                    yield found if found.subject else replace(found, subject=f"{thing}:{one.id}")

        @wraps(ask)
        def asked(computed: Computed) -> Iterator[Finding]:
            given = {name: getattr(computed, name) for name in wanted if name != thing}
            found: Iterator[Any] = of_each(computed, **given) if thing else ask(**given)
            return by_cause(found, counted) if counted else first_and_count(found) if many else found

        return Rule(
            id=ask.__name__.replace("_", "-"),
            severities=severities,
            words=inspect.getdoc(ask) or "",
            acceptable=acceptable,
            ask=asked,
            about=about,
            source=source,
        )

    return made
