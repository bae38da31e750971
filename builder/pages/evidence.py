"""The evidence pack: which pages an auditor is given, in which order, and the pages made for it alone."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import Final

from builder.history.resolved_findings import NOW, Course
from builder.pages.blocks import Block
from builder.pages.compositions import Page
from builder.pages.handbook.labels import ROLES, word
from builder.pages.handbook.parts import inlines, page, table
from builder.pages.tables import TableFile
from builder.program.program import Program

SECTIONS: Final[tuple[tuple[str, str, tuple[str, ...]], ...]] = (
    (
        "approval",
        "The program and its approval",
        ("page:program", "page:revisions", "page:differences", "differences:"),
    ),
    ("hazards", "Hazards and the sensors that see them", ("page:areas", "area:")),
    ("setpoints", "Setpoints and what they rest on", ("page:setpoints",)),
    ("plan", "The check plan and its reasons", ("page:checks", "check:", "due:")),
    (
        "records",
        "Units, records and their judgement",
        ("page:detectors", "page:fitted", "page:read-back", "page:station-log", "page:records", "record:", "unit:"),
    ),
    ("gas", "Calibration gas", ("page:calibration-gas", "cylinder:")),
    ("people", "Training and authorisation", ("evidence:people", "page:copies")),
    ("findings", "Findings, and how they were closed", ("page:findings", "evidence:closed")),
    ("retention", "How long records are kept", ("page:retention",)),
    ("sources", "Figures and sources", ("page:figures", "page:cautions")),
)
"""(id, title, references of its pages; one that ends in a colon stands for all of its kind)."""
COURSE_COLUMNS = ("Finding", "About", "Gravity", "In its words", "First in", "Gone in")
PEOPLE_COLUMNS = ("Name", "Role", "May", "From", "Until", "Assessed by")


def evidence_pages(pages: Iterable[Page], program: Program, courses: Sequence[Course]) -> tuple[Page, ...]:
    """The pages of the pack, each in the section that it has there."""
    every = (*pages, _closed(courses), *_people(program))
    made: list[Page] = []
    for section, _, references in SECTIONS:
        for reference in references:
            made += [replace(one, section=section) for one in every if _is(one.id, reference)]
    return tuple(made)


def evidence_tables(program: Program, courses: Sequence[Course]) -> tuple[TableFile, ...]:
    """The tables made for the pack alone, beside those of the site."""
    revisions = tuple(
        (
            str(revision.number.value),
            revision.effective.value.isoformat(),
            revision.reason.value,
            revision.prepared.value,
            revision.reviewed.value,
            revision.approved.value,
            *(day.value.isoformat() if day else "" for day in (revision.reviewed_on, revision.approved_on)),
        )
        for revision in program.revisions
    )
    columns = ("revision", "effective", "reason", "prepared", "reviewed", "approved", "reviewed on", "approved on")
    return (
        TableFile(path="revisions.csv", title="Revisions", columns=columns, rows=revisions),
        TableFile(path="findings.csv", title="Findings", columns=COURSE_COLUMNS, rows=tuple(map(_course, courses))),
        TableFile(path="people.csv", title="People", columns=PEOPLE_COLUMNS, rows=tuple(_rows(program))),
    )


def _is(name: str, reference: str) -> bool:
    return name.startswith(reference) if reference.endswith(":") else name == reference


def _closed(courses: Sequence[Course]) -> Page:
    rows = (tuple(inlines(cell) for cell in _course(course)) for course in courses)
    blocks: tuple[Block, ...] = (table(COURSE_COLUMNS, rows, empty="nothing was found in any edition"),)
    return page(
        "evidence:closed",
        "The course of every finding",
        "findings",
        inlines("Each finding of a released edition or of today: where it first stood, and where it was gone."),
        blocks,
        path="evidence/closed.html",
    )


def _course(course: Course) -> tuple[str, ...]:
    first = "today" if course.first == NOW else course.first
    gone = {"": "it stands", NOW: "since the last release"}.get(course.closed, course.closed)
    return (course.rule, course.subject, course.severity, course.message, first, gone)


def _people(program: Program) -> Iterator[Page]:
    if program.people is None:
        return
    rows = (tuple(inlines(cell) for cell in row) for row in _rows(program))
    yield page(
        "evidence:people",
        "Training and authorisation register",
        "people",
        inlines("Who may make which kinds of record, from when until when, and who assessed it."),
        (table(PEOPLE_COLUMNS, rows, empty="nobody is listed"),),
        path="evidence/people.html",
    )


def _rows(program: Program) -> Iterator[tuple[str, ...]]:
    for person in (program.people or {}).values():
        yield (
            person.name,
            word(ROLES, person.role.value),
            ", ".join(kind.value for kind in person.kinds),
            person.start.value.isoformat(),
            person.until.value.isoformat(),
            person.assessed_by.value,
        )
