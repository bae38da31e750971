"""What became of findings: which stood in an earlier release, and in which edition each was gone."""

import json
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

from builder.base.errors import ArchiveError
from builder.base.finding import Finding
from builder.base.plain_file import plain_bytes
from builder.base.record import dataclass
from builder.history.archive import revision_folders

NOW = "now"


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """One finding from its first release to its last."""

    rule: str
    subject: str
    severity: str
    message: str
    """As the last edition that had it words it."""
    first: str
    """Edition in which it first stood."""
    closed: str
    """Edition in which it was gone, or empty while it stands."""


def courses(site: Path, present: Iterable[Finding]) -> tuple[Course, ...]:
    """The course of every finding through the releases of a site, to what is found now.

    :raises ArchiveError: when the findings of a release cannot be read.
    """
    editions = [(f"revision {number}", _findings(folder)) for number, folder in revision_folders(site).items()]
    now = {(f.rule, f.subject, str(f.where.file)): (f.severity.value, f.message) for f in present}
    editions.append((NOW, now))
    made: dict[tuple[str, str, str], Course] = {}
    for name, found in editions:
        for key, (severity, message) in found.items():
            known = made.get(key)
            first = known.first if known and not known.closed else name
            made[key] = Course(rule=key[0], subject=key[1], severity=severity, message=message, first=first, closed="")
        for key, course in made.items():
            if key not in found and not course.closed:
                made[key] = replace(course, closed=name)
    return tuple(made[key] for key in sorted(made))


def _findings(folder: Path) -> dict[tuple[str, str, str], tuple[str, str]]:
    try:
        found = json.loads(plain_bytes(folder / "findings.json"))["findings"]
        return {
            (entry["rule"], entry["subject"], entry["where"].rpartition(":")[0]): (entry["severity"], entry["message"])
            for entry in found
        }
    except (OSError, ValueError, KeyError, TypeError, RecursionError) as fault:
        raise ArchiveError(f"{folder.name}/findings.json cannot be read: {fault}") from fault
