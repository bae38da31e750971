"""People: what they are trained for, who judged it, and what they hold."""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.day_margins import near, past
from builder.figures.figure import day_text
from builder.figures.ledger import Ledger
from builder.findings.rule import rule
from builder.findings.wording import keys, short_list
from builder.program.inventory import Unit
from builder.program.keys.families import AS_OF
from builder.program.program import Program
from builder.program.records import Person
from builder.program.revisions import Revision, who_is_meant


@rule(Severity.NOTE, about="page:checks", source="the site's own register")
def training_expires(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """A person whose authorisation ends within thirty days, or has ended.

    Source: the site's own register.
    """
    # A note for each
    now = ledger.today
    for person in (program.people or {}).values():
        last = person.until.value
        if near(last, now) or past(last, now):
            verb = "ended" if past(last, now) else "ends"
            yield training_expires.found(
                message=f"{_named(program, person)}, {person.role.value}: the authorisation {verb} on "
                f"{day_text(last)}.",
                where=person.until.where,
                figures=keys(ledger.get(AS_OF())),
                mend="train and assess again before that day, or take the person off the register",
            )


@rule(Severity.WARN)
def judged_by_oneself(program: Program) -> Iterator[Finding]:
    """One person in two roles of which one is to look at the work of the other.

    Nobody finds himself fit for a task, and of preparing, reviewing and approving a revision nobody does two. Looked
    at are the register of people and the newest revision. Source: common practice, no published source; 29 CFR
    1910.146 (g)(4) asks for the employer's certificate that training was done, ISO 9001:2015, 7.5.2 for review and
    approval of documents (not read).
    """
    # A warn for each person and for the revision
    for person in (program.people or {}).values():
        if who_is_meant(person.assessed_by.value) in (who_is_meant(person.id), who_is_meant(person.name)):
            yield judged_by_oneself.found(
                message=f"{_named(program, person)} is found fit by nobody but the same person.",
                where=person.assessed_by.where,
                source="29 CFR 1910.146 (g)(4); common practice",
                mend="have somebody else assess it, and name who did",
                subject="page:people",
            )
    newest = program.revision
    both = _two_roles(newest) if newest else ""
    if newest and both:
        yield judged_by_oneself.found(
            message=f"Revision {newest.number.value} was {both} by one person: nobody else looked at it.",
            where=newest.where,
            mend="have the next one reviewed and approved by others; different-persons in site.yaml asks for it",
            subject="page:revisions",
        )


def _two_roles(revision: Revision) -> str:
    """The roles that one person had in a revision, in words; empty where each had another."""
    roles = {"prepared": revision.prepared, "reviewed": revision.reviewed, "approved": revision.approved}
    for given in roles.values():
        same = [role for role, other in roles.items() if who_is_meant(other.value) == who_is_meant(given.value)]
        if len(same) > 1:
            return f"{', '.join(same[:-1])} and {same[-1]}"
    return ""


def _named(program: Program, person: Person) -> str:
    return f"{person.name} ({person.id})" if program.site.names_public else person.id


@rule(Severity.WARN)
def holder_of_two(program: Program) -> Iterator[Finding]:
    """A person of the register who holds two units of one model on the day: one of the two is with somebody else.

    Holders that are no persons of the register, such as a crew or a locker, may hold as many as they like. Source:
    common practice, no published source.
    """
    # A warn for each person and model
    known = {
        who_is_meant(key): person for person in (program.people or {}).values() for key in (person.id, person.name)
    }
    held: dict[tuple[str, str], list[Unit]] = {}
    for unit in program.units.values():
        if unit.in_use and unit.holder and who_is_meant(unit.holder.value) in known:
            person = known[who_is_meant(unit.holder.value)]
            held.setdefault((person.id, unit.model.value), []).append(unit)
    for (name, model), units in held.items():
        if len(units) > 1:
            yield holder_of_two.found(
                message=f"{name} holds {short_list([unit.id for unit in units])}, all {program.models[model].name}"
                ", at once: who has the others is not known, nor whom to ask when one of them fails a test.",
                where=units[1].holder.where if units[1].holder else units[1].where,
                mend="enter the return of those that came back, and who holds the others",
                touches=tuple(f"unit:{unit.id}" for unit in units),
            )
