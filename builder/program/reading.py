"""Small typed readers over loaded nodes.

A reader that meets a fault notes it and hands back a harmless stand-in, so one run finds every fault. No stand-in
ever leaves this layer: ``Faults.settle`` raises when anything was noted.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import date
from fractions import Fraction
from typing import Protocol, TypeVar

from builder.base.quantity import Quantity, quantity
from builder.base.where import Given
from builder.load.nodes import Entries, Items, Node, Scalar, kind_of
from builder.program.asked_keys import AskedKeys
from builder.program.asking import asking
from builder.program.faults import Faults
from builder.program.interval import Interval, interval_of
from builder.program.markings import MARKING, made_id
from builder.program.values import ID, blank, check_id, choice_of, day_of, given_of, number_of, quantity_of, whole_of

T = TypeVar("T")
PLAIN_ID = "lower-case letters, digits and single hyphens"


class Fields(AskedKeys):
    """A mapping whose values are read as what they are to be."""

    # ---- scalars -----------------------------------------------------------

    def _scalar(self, key: str, *, required: bool) -> Scalar | None:
        node = self.need(key) if required else self.take(key)
        if node is None or blank(node):
            return None
        if not isinstance(node, Scalar):
            self.faults.shape(node.where, f"{kind_of(node)} for {key!r}", "a single value")
            return None
        return node

    @asking
    def text(self, key: str) -> Given[str]:
        """Required text."""
        scalar = self._scalar(key, required=True)
        return given_of(scalar) if scalar else Given("", self.where_of(key), "")

    @asking
    def maybe_text(self, key: str) -> Given[str] | None:
        """Optional text."""
        scalar = self._scalar(key, required=False)
        return given_of(scalar) if scalar else None

    def marking(self, kind: str) -> Given[str]:
        """The required id of a thing or person that bears it, as it is written there; noted as defined."""
        return self.identity(kind, MARKING, "letters, digits, single hyphens and underscores")

    @asking
    def _borne(self, key: str, _form: str) -> Given[str]:
        return self.text(key)

    def identity(self, kind: str, form: re.Pattern[str] = ID, allowed: str = PLAIN_ID) -> Given[str]:
        """The required id of a record, noted as defined."""
        given = self._borne("id", form.pattern)
        check_id(given, form, allowed, self.faults)
        if given.value:
            self.faults.define(kind, given)
            self.faults.allow(kind, made_id(given.value).lower())
        return given

    @asking
    def choice(self, key: str, allowed: Iterable[str], default: str | None = None) -> Given[str]:
        """Text that is one of ``allowed``; required unless there is a default."""
        scalar = self._scalar(key, required=default is None)
        if scalar is None:
            return Given(default or "", self.where_of(key), default or "")
        return choice_of(scalar, allowed, self.faults, key)

    @asking
    def reference(self, key: str, kind: str) -> Given[str]:
        """Required id of another record."""
        return self.faults.refer(kind, self.text(key))

    @asking
    def maybe_reference(self, key: str, kind: str) -> Given[str] | None:
        """Optional id of another record."""
        given = self.maybe_text(key)
        return self.faults.refer(kind, given) if given else None

    @asking
    def yes(self, key: str) -> bool:
        """An optional true or false; false when missing."""
        return self.choice(key, ("true", "false"), "false").value == "true"

    @asking
    def whole(self, key: str, least: int = 0) -> Given[int]:
        """A required whole number of at least ``least``."""
        scalar = self._scalar(key, required=True)
        return whole_of(scalar, least, self.faults, key) if scalar else Given(least, self.where_of(key), "")

    @asking
    def maybe_whole(self, key: str, least: int = 0) -> Given[int] | None:
        """An optional whole number."""
        scalar = self._scalar(key, required=False)
        return whole_of(scalar, least, self.faults, key) if scalar else None

    @asking
    def number(self, key: str) -> Given[Fraction]:
        """A required number without unit, above zero."""
        scalar = self._scalar(key, required=True)
        return number_of(scalar, self.faults, key) if scalar else Given(Fraction(1), self.where_of(key), "")

    @asking
    def day(self, key: str) -> Given[date]:
        """A required date."""
        scalar = self._scalar(key, required=True)
        return day_of(scalar, self.faults, key) if scalar else Given(date.min, self.where_of(key), "")

    @asking
    def maybe_day(self, key: str) -> Given[date] | None:
        """An optional date."""
        scalar = self._scalar(key, required=False)
        return day_of(scalar, self.faults, key) if scalar else None

    def interval(self, key: str, *, use_days: bool = False) -> Given[Interval]:
        """A required interval; where days of use and working days count too, it is one of a check."""
        return interval_of(self.text(key), self.faults, use_days=use_days)

    def maybe_interval(self, key: str) -> Given[Interval] | None:
        """An optional interval of the calendar."""
        given = self.maybe_text(key)
        return interval_of(given, self.faults, use_days=False) if given else None

    @asking
    def quantity(self, key: str, *units: str, least: int | None = 0, above: bool = False) -> Given[Quantity]:
        """A required quantity with the dimension of one of ``units``."""
        scalar = self._scalar(key, required=True)
        if scalar is None:
            return Given(quantity(1, units[0]), self.where_of(key), "")
        return quantity_of(scalar, units, self.faults, key, least=least, above=above)

    @asking
    def maybe_quantity(
        self, key: str, *units: str, least: int | None = 0, above: bool = False
    ) -> Given[Quantity] | None:
        """An optional quantity."""
        scalar = self._scalar(key, required=False)
        if scalar is None:
            return None
        return quantity_of(scalar, units, self.faults, key, least=least, above=above)

    # ---- collections -------------------------------------------------------

    @asking
    def scalars(self, key: str, *, required: bool = False) -> tuple[Scalar, ...]:
        """A list of single values."""
        node = self.need(key) if required else self.take(key)
        if node is None or blank(node):
            return ()
        if not isinstance(node, Items):
            self.faults.shape(node.where, f"{kind_of(node)} for {key!r}", "a list, such as [a, b]")
            return ()
        made: list[Scalar] = []
        for item in node.items:
            if isinstance(item, Scalar) and not blank(item):
                made.append(item)
            else:
                self.faults.shape(item.where, f"{kind_of(item)} in {key!r}", "single values")
        if required and not node.items:
            self.faults.lacks(node.where, f"an empty list for {key!r}", "at least one")
        return tuple(made)

    @asking
    def texts(self, key: str, *, required: bool = False) -> tuple[Given[str], ...]:
        """A list of texts."""
        return tuple(given_of(scalar) for scalar in self.scalars(key, required=required))

    @asking
    def choices(self, key: str, allowed: Iterable[str], *, required: bool = False) -> tuple[Given[str], ...]:
        """A list of texts, each one of ``allowed``."""
        options = tuple(allowed)
        return tuple(choice_of(scalar, options, self.faults, key) for scalar in self.scalars(key, required=required))

    @asking
    def references(self, key: str, kind: str, *, required: bool = False) -> tuple[Given[str], ...]:
        """A list of ids of other records, each once."""
        made = self.texts(key, required=required)
        self.faults.refuse_twins(made, f"{{!r}} stands twice in {key!r}", "each once")
        return tuple(self.faults.refer(kind, given) for given in made)

    def records(self, key: str, what: str, *, required: bool = True) -> Iterator[Fields]:
        """The mappings of a list, closed after use by the caller; see ``parts``."""
        yield from records_of(self._listed(key, required=required), self.faults, key, what)

    @asking
    def _listed(self, key: str, *, required: bool) -> Node | None:
        return self.need(key) if required else self.take(key)

    @asking
    def pairs(self, key: str, *, required: bool = False) -> tuple[tuple[Scalar, Node], ...]:
        """The entries of a mapping whose keys are data."""
        node = self.need(key) if required else self.take(key)
        if node is None:
            return ()
        if not isinstance(node, Entries):
            self.faults.shape(node.where, f"{kind_of(node)} for {key!r}", "a mapping of key: value")
            return ()
        for name, _ in node.entries:
            if blank(name):
                self.faults.shape(name.where, f"an empty key in {key!r}", "a key before each value")
        return node.entries

    def by_reference(self, key: str, kind: str, *, required: bool = False) -> Iterator[tuple[Scalar, Node]]:
        """The entries of a mapping whose keys are ids of other records."""
        for name, node in self.pairs(key, required=required):
            self.faults.refer(kind, given_of(name))
            yield name, node

    def filled(self, key: str, allowed: str) -> tuple[Node, ...]:
        """The entries of a required list that is not empty; none where it is something else, which is noted."""
        node = self.need(key)
        if isinstance(node, Items) and node.items:
            return node.items
        if node is not None:
            found = "an empty list" if isinstance(node, Items) else kind_of(node)
            self.faults.shape(node.where, f"{found} for {key!r}", allowed)
        return ()

    @asking
    def inner(self, key: str, what: str) -> Fields:
        """A required mapping under a key."""
        return Fields(self.need(key), self.faults, what, self.where_of(key))

    @asking
    def maybe_inner(self, key: str, what: str) -> Fields | None:
        """An optional mapping under a key."""
        node = self.take(key)
        return None if node is None else Fields(node, self.faults, what)

    # ---- whole parts -------------------------------------------------------

    def wholly(self, read: Callable[[Fields], T]) -> T:
        """What this mapping is read as; a key that ``read`` did not ask for is a fault."""
        made = read(self)
        self.close()
        return made

    def part(self, key: str, read: Callable[[Fields], T], what: str = "") -> T:
        """What the required mapping under a key is read as."""
        return self.inner(key, what or key).wholly(read)

    def maybe_part(self, key: str, read: Callable[[Fields], T], what: str = "") -> T | None:
        """What the optional mapping under a key is read as."""
        fields = self.maybe_inner(key, what or key)
        return None if fields is None else fields.wholly(read)

    def parts(self, key: str, what: str, read: Callable[[Fields], T], *, required: bool = True) -> tuple[T, ...]:
        """What each mapping of a list is read as."""
        return tuple(fields.wholly(read) for fields in self.records(key, what, required=required))


def records_of(node: Node | None, faults: Faults, key: str, what: str) -> Iterator[Fields]:
    """The mappings of a list node; anything else is noted and passed over."""
    if node is None:
        return
    if not isinstance(node, Items):
        faults.shape(node.where, f"{kind_of(node)} for {key!r}", f"a list of {what} entries, each starting with '- '")
        return
    for item in node.items:
        fields = Fields(item, faults, what)
        if isinstance(item, Entries):
            yield fields


class Named(Protocol):
    """A record that has an id."""

    @property
    def id(self) -> str:
        """As content writes it."""


N = TypeVar("N", bound=Named)


def each(
    files: Mapping[str, Node], faults: Faults, key: str, what: str, read: Callable[[Fields], T], file: str = ""
) -> tuple[T, ...]:
    """Read every record of the list under ``key`` in the root mapping of a file of that name, which every site has."""
    root = Fields(files.get(f"{file or key}.yaml"), faults, f"a file with a list of {key}")
    if key not in root:
        faults.overlook(what)
    return root.wholly(lambda fields: fields.parts(key, what, read))


def maybe_each(
    files: Mapping[str, Node], faults: Faults, key: str, what: str, read: Callable[[Fields], T], file: str = ""
) -> tuple[T, ...] | None:
    """The same of a file that a site may have; ``None`` where it has none."""
    return each(files, faults, key, what, read, file) if f"{file or key}.yaml" in files else None


def by_id(every: Iterable[N | None]) -> dict[str, N]:
    """Records by their id, in the author's order."""
    return {one.id: one for one in every if one is not None}


def whole_file(files: Mapping[str, Node], faults: Faults, name: str, read: Callable[[Fields], T]) -> T | None:
    """What the root mapping of a file is read as; ``None`` where the site has no such file."""
    return Fields(files[name], faults, name).wholly(read) if name in files else None
