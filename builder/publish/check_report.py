"""What a check of the content found, for programs: as JSON of our own, or as SARIF, which editors and pipelines read.

SARIF is the Static Analysis Results Interchange Format, version 2.1.0, an OASIS standard of 27 March 2020.
"""

import json
import re
from collections.abc import Iterable, Mapping, Sequence
from pathlib import PurePath
from typing import Any
from urllib.parse import quote

from builder import __version__
from builder.base.errors import Problem
from builder.base.fault_kinds import Kind
from builder.base.finding import Finding, Severity
from builder.base.where import Where
from builder.load.excerpt import Excerpt
from builder.publish.ledger_json import finding_entry

FORMAT = "1"
SHEET = re.compile(r"(\.xlsx)#.*", re.DOTALL)
"""The file of a place in one of several sheets, and the sheet."""
MISFIT = "card-does-not-fit"
SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
LEVELS = {Severity.STOP: "error", Severity.WARN: "warning", Severity.NOTE: "note"}
"""SARIF 2.1.0, 3.27.10: ``error`` is a serious problem, ``warning`` a problem, ``note`` a minor one."""


def as_json(
    problems: Sequence[Problem], findings: Iterable[Finding], misfits: Iterable[str], shown: Mapping[Problem, Excerpt]
) -> str:
    """Faults of the content, or where there are none its findings and the cards that do not fit.

    :param shown: the line of each fault that has one.
    """
    return _dump(
        {
            "format": FORMAT,
            "builder": __version__,
            "faults": [
                {
                    **_place(problem.where),
                    "found": problem.found,
                    "allowed": problem.allowed,
                    "nearest": list(problem.nearest),
                    "kind": problem.kind,
                    "cause": problem.kind.cause,
                    "cure": problem.kind.cure,
                    "column": problem.where.column,
                    "excerpt": shown[problem].text if problem in shown else "",
                    "caret": shown[problem].caret if problem in shown else "",
                    "stands_for": problem.stands_for,
                }
                for problem in problems
            ],
            "findings": [finding_entry(finding) | _place(finding.where) for finding in findings],
            "misfits": list(misfits),
        }
    )


def as_sarif(
    problems: Sequence[Problem], findings: Iterable[Finding], misfits: Iterable[str], content: PurePath
) -> str:
    """The same as a SARIF log with one run; ``content`` is the folder, as a path from where the log is read."""
    results = [_result(problem.kind, "error", _told(problem), content, problem.where) for problem in problems]
    for finding in findings:
        said = ". ".join(part.rstrip(".") for part in (finding.message, finding.mend, finding.source) if part) + "."
        results.append(_result(finding.rule, LEVELS[finding.severity], said, content, finding.where))
    results += [_result(MISFIT, "error", misfit, content) for misfit in misfits]
    rules = [_rule(name) for name in dict.fromkeys(str(result["ruleId"]) for result in results)]
    driver = {"name": "detector-handbook", "semanticVersion": __version__, "rules": rules}
    return _dump({"$schema": SCHEMA, "version": "2.1.0", "runs": [{"tool": {"driver": driver}, "results": results}]})


def _rule(name: str) -> dict[str, Any]:
    """A rule of the log (3.49): a kind of fault with its cause and, as help, its cure."""
    kind = next((kind for kind in Kind if kind == name), None)
    return {"id": name} | ({"fullDescription": {"text": kind.cause}, "help": {"text": kind.cure}} if kind else {})


def _told(problem: Problem) -> str:
    parts = [problem.found]
    parts += [f"allowed: {problem.allowed}"] if problem.allowed else []
    parts += [f"nearest: {', '.join(problem.nearest)}"] if problem.nearest else []
    return "; ".join(parts)


def _result(rule: str, level: str, text: str, content: PurePath, where: Where | None = None) -> dict[str, Any]:
    made: dict[str, Any] = {"ruleId": rule, "level": level, "message": {"text": text}}
    if where is not None:
        file = SHEET.sub(r"\1", where.file)
        artifact = {"uri": quote((content / file).as_posix())}
        region = {"startLine": where.line} | ({"startColumn": where.column} if where.column else {})
        made["locations"] = [{"physicalLocation": {"artifactLocation": artifact, "region": region}}]
    return made


def _place(where: Where) -> dict[str, Any]:
    return {"file": where.file, "line": where.line}


def _dump(value: object) -> str:
    return json.dumps(value, indent=1)  # ASCII, so that nothing in a text can steer a terminal
