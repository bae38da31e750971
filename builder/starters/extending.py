"""The files of a site that extends a company's content: its own place, units and bottles, and nothing twice."""

import json
from datetime import date
from typing import Any

from builder.base.record import dataclass
from builder.load.overlay import REMOVE
from builder.starters.files import SCHEMAS, editor_line, schemas, short
from builder.starters.writing import CONFIRM, INVENTED, quoted


@dataclass(frozen=True, slots=True, kw_only=True)
class WantedSite:
    """What was asked for."""

    extends: str
    """The way to the company's folder, as in ``../company``."""
    name: str
    day: date
    inventory: str = ""


def extending_files(wanted: WantedSite) -> dict[str, str]:
    """Path below the new folder -> text."""
    files = {"site.yaml": _site(wanted), "cylinders.yaml": _CYLINDERS, "confirm.yaml": _CONFIRMED}
    if wanted.inventory:
        files["inventory.csv"] = wanted.inventory
    else:
        files["inventory.yaml"] = _UNITS
    partly = {f"{SCHEMAS}/{name}": _in_part(text) for name, text in schemas().items()}
    return {path: editor_line(path) + text for path, text in files.items()} | partly


def _site(wanted: WantedSite) -> str:
    return f"""{INVENTED}# What is not said here holds as {wanted.extends} says it. A file of the same name
# says what is otherwise: only that, by the same ids. What does not hold here at all: {{id: that, {REMOVE}: why}}.
extends: {wanted.extends}
name: {quoted(wanted.name)}
short: {short(wanted.name)}
ambient: {{altitude: 100 m, temperature: 15 °C}}      {CONFIRM}
document: {{reviewed: {wanted.day.isoformat()}}}
"""


_CYLINDERS = "# The bottles that stand here; they are never taken from the folder that is extended.\ncylinders: []\n"
_UNITS = """# The units of this site. Or a table: inventory.csv or inventory.xlsx; maps.yaml says what its heads mean.
units: []
"""


_CONFIRMED = """confirm:
  - what: altitude and temperature of this site
    against: the site itself
"""


def _in_part(schema: str) -> str:
    """The schema of a file that says only what is otherwise: nothing must be there, and anything can be taken out."""
    return json.dumps(_loose(json.loads(schema)), ensure_ascii=False, indent=1) + "\n"


def _loose(node: Any) -> Any:
    if isinstance(node, list):
        return [_loose(part) for part in node]
    if not isinstance(node, dict):
        return node
    made = {key: _loose(part) for key, part in node.items() if key != "required"}
    if isinstance(made.get("properties"), dict):
        made["properties"][REMOVE] = {"type": "string", "description": "Why what is extended does not hold here."}
    return made
