"""Which detectors one person carries at the same time, since what matters is what they see together."""

from collections.abc import Iterable

from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.load.nodes import Entries, Items, Node, Scalar, kind_of
from builder.program.faults import Faults
from builder.program.reading import Fields
from builder.program.values import blank, given_of

ROLES = ("entrant", "attendant", "tester", "hot-work-watch", "rescue", "contractor", "lone-worker")
"""Who carries detectors; roles of 29 CFR 1910.146 (h) to (k), and those of other work."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CarriedSet:
    """Detectors that one person carries together; any one set of an area is enough for whom it is meant."""

    models: tuple[Given[str], ...]
    activities: tuple[Given[str], ...] = ()
    """Activities of the area that it is meant for; empty for all of them."""
    roles: tuple[Given[str], ...] = ()
    """Who carries it; empty for everybody."""
    where: Where

    @property
    def id(self) -> str:
        """Its models joined, as in ``two-pumped-and-vapour-pumped``: part of the keys of its figures."""
        return "-and-".join(given.value for given in self.models)

    def serves(self, activity: str, role: str = "") -> bool:
        """Whether it is meant for an activity and, where one is named, for a role."""
        fits = not self.activities or any(given.value == activity for given in self.activities)
        return fits and (not role or not self.roles or any(given.value == role for given in self.roles))


def read_carried(fields: Fields, activities: tuple[Given[str], ...]) -> tuple[CarriedSet, ...]:
    """The sets under ``carry``: a model alone, a list of models carried together, or a mapping that says for whom.

    :param activities: those of the area, of which a set may name some.
    """
    listed = fields.filled("carry", "a list, such as [a, [b, c]]: a alone, or b and c together")
    allowed = tuple(given.value for given in activities)
    made = tuple(_set(item, fields.faults, allowed) for item in listed)
    _refuse_twins(made, fields.faults)
    return made


def _set(item: Node, faults: Faults, activities: tuple[str, ...]) -> CarriedSet:
    if isinstance(item, Scalar) and not blank(item):
        return CarriedSet(models=_models([item], faults), where=item.where)
    if isinstance(item, Items) and item.items:
        return CarriedSet(models=_models(item.items, faults), where=item.where)
    if not isinstance(item, Entries):
        allowed = "a model, a list of models carried together, or {together: [a, b], activities: [...], roles: [...]}"
        faults.shape(item.where, f"{kind_of(item)} in 'carry'", allowed)
        return CarriedSet(models=(), where=item.where)
    fields = Fields(item, faults, "what is carried together")
    made = CarriedSet(
        models=_models(fields.scalars("together", required=True), faults),
        activities=fields.choices("activities", activities),
        roles=fields.choices("roles", ROLES),
        where=item.where,
    )
    fields.close()
    return made


def _models(items: Iterable[Node], faults: Faults) -> tuple[Given[str], ...]:
    made: list[Given[str]] = []
    for item in items:
        if not isinstance(item, Scalar) or blank(item):
            faults.shape(item.where, f"{kind_of(item)} in 'carry'", "the id of a model")
            continue
        made.append(faults.refer("model", given_of(item)))
    faults.refuse_twins(made, "{!r} stands twice in one set", "each model once")
    return tuple(made)


def _refuse_twins(made: tuple[CarriedSet, ...], faults: Faults) -> None:
    for number, one in enumerate(made):
        if one.models and one.id in {earlier.id for earlier in made[:number]}:
            faults.twice(one.where, f"the set {one.id!r} stands twice in 'carry'", "each set once")
