"""The training and authorisation register."""

from builder.load.nodes import Node
from builder.program.faults import Faults
from builder.program.reading import Fields, each
from builder.program.records import RECORD_KINDS, Person


def read_people(node: Node | None, faults: Faults) -> dict[str, Person] | None:
    """All people by id, or ``None`` where the site keeps no register here."""
    if node is None:
        return None
    return {person.id: person for person in each(node, faults, "people", "person", _person)}


def _person(fields: Fields) -> Person:
    identity = fields.marking("person")
    before = len(fields.faults.problems)
    start, until = fields.day("from"), fields.day("until")
    if len(fields.faults.problems) == before and until.value < start.value:
        found = f"{identity.value!r} authorised until {until.text}, before {start.text}"
        fields.faults.add(until.where, found, "a last day on or after the first")
    return Person(
        id=identity.value,
        name=fields.text("name").value,
        role=fields.text("role"),
        kinds=fields.choices("may", RECORD_KINDS, required=True),
        start=start,
        until=until,
        assessed_by=fields.text("assessed-by"),
        where=identity.where,
    )
