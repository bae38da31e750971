"""Numbers that rules and guidance name, by place and activity, with their relation sign.

Relation and value describe the hazardous or forbidden side, as the rule states it: ``> 10 %LEL`` is not ``≥ 10 %LEL``.
Rules that nobody has read in their own words are returned like the others and say so (``read``).
"""

from collections.abc import Iterable
from fractions import Fraction
from functools import cache
from typing import Final

from builder.base.nearest import nearest
from builder.base.record import dataclass
from builder.reference.errors import UnknownNameError
from builder.reference.sources import Source
from builder.reference.tables import parts, read_table

ACTIVITIES: Final = ("confined-space-entry", "hot-work", "inspection", "cold-work", "sewer-entry")
"""What people do in an area. A rule may instead hold for ``ANY`` of them."""

ANY: Final = "any"

NO_LIST: Final = "none"
"""Written in the table of places where no list of that place ships."""

QUANTITIES: Final = ("oxygen-low", "oxygen-high", "flammable", "methane", "hydrogen-sulfide", "carbon-monoxide")
"""What a rule limits; methane by volume, as mines do, and flammable gas by its share of the explosive limit."""

STAY_OUT: Final = "stay-out"
ENTER: Final = "enter"
OF_ALARMS: Final = (STAY_OUT, "alarm", "act")
"""Kinds whose numbers an alarm has to keep."""
KINDS: Final = (*OF_ALARMS, "test", ENTER)
"""What a rule asks at its number: nobody goes in or stays; an alarm sounds; something is done while people may stay;
the air is tested or watched; nobody goes in by what is read before. Numbers of different kinds do not bear on one
another."""

RELATIONS: Final = ("<", "≤", ">", "≥")
"""How a true value must stand to a number for the rule to ask what it asks."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where a set of rules holds."""

    id: str
    """Id as a site writes it."""
    name: str
    """Name as printed."""
    lists: tuple[str, ...]
    """Ids of the lists of exposure limits that are law there; none where its own do not ship, which the note says."""
    note: str
    """Which rules these are, and what they say without a number."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """One number of one rule."""

    id: str
    """Stable id."""
    place: str
    """Place it holds in."""
    activity: str
    """Activity it holds for, or ``any``."""
    quantity: str
    """What it limits, one of ``QUANTITIES``."""
    relation: str
    """Sign of the hazardous or forbidden side, one of ``RELATIONS``."""
    value: Fraction
    """Exact value of the printed decimal text."""
    text: str
    """The number as printed."""
    unit: str
    """Unit as spelled in ``builder.base.quantity.UNITS``."""
    kind: str
    """What is asked there, one of ``KINDS``."""
    says: str
    """What the rule asks on that side, in short."""
    citation: str
    """The rule or guidance."""
    paragraph: str
    """Paragraph within it."""
    edition: str
    """Edition or date, as far as known."""
    binding: bool
    """Whether it binds; otherwise it advises."""
    read: bool
    """Whether the rule's own words were read; otherwise another's account or memory."""
    note: str
    """Remarks."""
    source: Source
    """The table of rules: how and when it was collected."""

    def cited(self) -> str:
        """Citation and paragraph in one line."""
        return f"{self.citation} {self.paragraph}"


def places() -> tuple[str, ...]:
    """Ids of every place, in the order of the table; some have no rule with a number."""
    return tuple(read_table("places").rows)


def place(place_id: str) -> Place:
    """The place with this id.

    :raises UnknownNameError: with the nearest ids.
    """
    row = read_table("places").rows.get(place_id)
    if row is None:
        raise UnknownNameError("place", place_id, nearest(place_id, places()))
    lists = () if row["lists"] == NO_LIST else parts(row["lists"])
    return Place(id=place_id, name=row["name"], lists=lists, note=row["note"])


@cache
def law_elsewhere(place_id: str) -> frozenset[str]:
    """Ids of lists that are law in other places and not in this one; a list that is law in none holds everywhere.

    :raises UnknownNameError: when the place is unknown.
    """
    here = place(place_id).lists
    return frozenset(listed for other in places() for listed in place(other).lists if listed not in here)


AS_PRINTED: Final = (
    *("id", "place", "activity", "quantity", "relation", "unit", "kind", "says", "citation", "paragraph", "edition"),
    "note",
)
"""Columns of the table that a rule has under the same name."""


@cache
def all_rules() -> tuple[Rule, ...]:
    """Every rule, in the order of the table."""
    table = read_table("rules")
    return tuple(
        Rule(
            **{column: row[column] for column in AS_PRINTED},
            value=Fraction(row["value"]),
            text=row["value"],
            binding=row["force"] == "binding",
            read=row["read"] == "yes",
            source=table.source,
        )
        for row in table.rows.values()
    )


def rules_for(place_id: str, activity_ids: Iterable[str]) -> tuple[Rule, ...]:
    """Rules of the place that hold for at least one of the activities, in the order of the table.

    :raises UnknownNameError: when the place or an activity is unknown.
    """
    place(place_id)
    wanted = set(activity_ids)
    for name in sorted(wanted):
        if name not in ACTIVITIES:
            raise UnknownNameError("activity", name, nearest(name, ACTIVITIES))
    return tuple(rule for rule in all_rules() if rule.place == place_id and rule.activity in {ANY, *wanted})


def strictest(rules: Iterable[Rule], quantity: str, kind: str) -> Rule | None:
    """The rule of one kind that leaves the least room for this quantity, read or not, binding or not.

    ``None`` if there is none: a duty to test at 5 ppm says nothing about the ppm at which an alarm has to sound.

    The highest value for low oxygen, the lowest for everything else. At equal value the sign that takes the value
    itself away is stricter; between equals a binding rule comes first, then one that was read.

    :raises UnknownNameError: when the quantity is none of ``QUANTITIES``, or the kind none of ``KINDS``.
    """
    if quantity not in QUANTITIES:
        raise UnknownNameError("limited quantity", quantity, nearest(quantity, QUANTITIES))
    if kind not in KINDS:
        raise UnknownNameError("kind of rule", kind, nearest(kind, KINDS))

    def room(rule: Rule) -> tuple[Fraction, bool, bool, bool]:
        value = -rule.value if quantity == "oxygen-low" else rule.value
        return value, rule.relation not in ("≤", "≥"), not rule.binding, not rule.read

    same = (rule for rule in rules if rule.quantity == quantity and rule.kind == kind)
    return min(same, key=room, default=None)
