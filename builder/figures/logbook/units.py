"""The history of one unit, read once from the first record to the last."""

from bisect import bisect_left
from collections.abc import Callable, Mapping, Sequence
from dataclasses import field
from datetime import date, datetime, time, timedelta

from builder.base.record import dataclass
from builder.figures.logbook.verdicts import Verdict
from builder.program.checks import WITH_GAS
from builder.program.inventory import Unit
from builder.program.records import Record

RANK = {"bump-test": 1, "calibration-check": 2, "calibration": 3}
"""What a kind of check with gas proves; a later one of the same or a higher rank clears a failure."""
NIGHT = time(5)
Entry = tuple[Record, Verdict]


@dataclass(slots=True, kw_only=True)
class Episode:
    """A sensor, or a whole unit, from a failed check until a check that clears it."""

    sensor: str | None
    kind: str
    first: Entry
    pending: set[str]
    """Sensors still to be checked before a failure of the whole unit is cleared."""
    cleared: Record | None = None
    uses: list[Record] = field(default_factory=list)
    """Uses meanwhile; each stands in the oldest open episode only."""

    def open_for(self, what: str) -> bool:
        """Whether a check of that kind surely failed, and nothing put it right."""
        return self.cleared is None and self.kind == what and self.first[1].sure


@dataclass(frozen=True, slots=True, kw_only=True)
class LookBack:
    """A reading found outside, and the days of use it throws doubt on."""

    entry: Entry
    since: date | None
    """Day of the last good check of that rank, or ``None`` when records show none."""
    again: bool
    """Whether it failed before without a good check between; the days from then on are listed here."""
    days: tuple[date, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitLog:
    """What the records of one unit say."""

    entries: Sequence[Entry]
    """By time; none is later than the handbook's day."""
    fitted: frozenset[str]
    """Sensors of its model."""
    last: Mapping[str, date]
    """Day on which every sensor was last shown good, by what the check is of (``Check.what``); left out without one."""
    failed: Mapping[str, date]
    """Day of the last failed check, by kind."""
    changed: Mapping[str, date]
    """Day of the last change, by sensor, of records or inventory."""
    good_at: Mapping[tuple[str, str | None], datetime]
    """The last good check, by kind and sensor, or ``None`` for a whole unit."""
    good_days: Mapping[str, Sequence[date]]
    """Days with a good check, by kind."""
    use_days: Sequence[date]
    episodes: Sequence[Episode]
    look_backs: Sequence[LookBack]

    def shows_all(self, since: datetime | None, in_time: Callable[[datetime], bool]) -> bool:
        """Whether good checks with gas, from a moment on where one is told, show every sensor in time."""
        good = [(record.time.value, one) for record, one in self.entries if one.good and record.kind.value in WITH_GAS]
        then = [one for moment, one in good if (not since or since <= moment) and in_time(moment)]
        return self.fitted <= {sensor for one in then for sensor in one.sensors}

    def puts_right(self, record: Record) -> bool:
        """Whether good checks after a record, of its kind or one that proves more, show every sensor it is about."""
        since, kinds = record.time.value, {kind for kind, _ in self.good_at if clears(kind, record.what)}
        return all(
            any(self.good_at.get((kind, part), since) > since for kind in kinds for part in (sensor, None))
            for sensor in ((record.sensor.value,) if record.sensor else self.fitted)
        )


class _Reader:
    """Takes the records of one unit in their order."""

    def __init__(self, sensors: frozenset[str]) -> None:
        self.fitted = self.sensors = sensors
        self.good: dict[tuple[str, str | None], datetime] = {}
        self.mark: dict[tuple[str, str | None], datetime] = {}
        self.seen: dict[str, dict[str, date | None]] = {}
        self.whole: dict[str, date] = {}
        self.failed: dict[str, date] = {}
        self.changed: dict[str, date] = {}
        self.good_days: dict[str, list[date]] = {}
        self.use_days: list[date] = []
        self.used_at: list[datetime] = []
        self.open: dict[tuple[str, str | None], Episode] = {}
        self.episodes: list[Episode] = []
        self.look_backs: list[LookBack] = []

    def take(self, entry: Entry) -> None:
        record, verdict = entry
        kind = record.what
        sensor = record.sensor.value if record.sensor else None
        if kind == "use":
            self._use(record)
        elif kind == "sensor-change" and sensor is not None:
            self.change(record.day, sensor)
        else:
            partly = sensors_apart(entry, len(self.fitted))
            for part in sorted(self.fitted) if partly and sensor is None else partly:
                self.seen.setdefault(kind, {}).setdefault(part, self.whole.get(kind))
            if verdict.found_out:
                self._look_back(entry, kind, sensor)
            if verdict.good is False:
                self._fail(entry, kind, sensor)
            for shown in partly or (None,) if verdict.good else ():
                self._pass(record, kind, shown)

    def _use(self, record: Record) -> None:
        moment = record.time.value
        if moment.time() == time.min:  # a day without an hour: it may have been used until its end
            moment = moment.replace(hour=23, minute=59, second=59)
        if self.use_days and self.use_days[-1] == record.day:
            self.used_at[-1] = max(self.used_at[-1], moment)
        else:
            self.use_days.append(record.day)
            self.used_at.append(moment)
        oldest = next(iter(self.open.values()), None)
        if oldest is not None:
            oldest.uses.append(record)

    def change(self, day: date, sensor: str) -> None:
        """A new sensor was never shown good with gas, whatever was shown of the one before."""
        self.changed[sensor] = day
        for kind in WITH_GAS:
            if kind in self.whole or kind in self.seen:
                self.seen.setdefault(kind, {})[sensor] = None

    def _fail(self, entry: Entry, kind: str, sensor: str | None) -> None:
        self.failed[kind] = entry[0].day
        self.mark[kind, sensor] = entry[0].time.value
        if (kind, sensor) not in self.open:
            pending = set(self.sensors) if sensor is None else set()
            episode = Episode(sensor=sensor, kind=kind, first=entry, pending=pending)
            self.open[kind, sensor] = episode
            self.episodes.append(episode)

    def _pass(self, record: Record, kind: str, sensor: str | None) -> None:
        self.good[kind, sensor] = record.time.value
        days = self.good_days.setdefault(kind, [])
        if not days or days[-1] != record.day:
            days.append(record.day)
        seen = self.seen.setdefault(kind, {})
        if sensor is None:
            self.whole[kind] = record.day
            seen.update(dict.fromkeys(seen, record.day))
        else:
            seen[sensor] = record.day
        for key, episode in list(self.open.items()):
            at_once = kind == episode.kind and record.time.value == episode.first[0].time.value
            both = at_once and record.time.value.time() != time.min  # it cannot have passed and failed at one moment
            if not both and clears(kind, episode.kind) and self._covers(episode, sensor):
                episode.cleared = record
                del self.open[key]

    @staticmethod
    def _covers(episode: Episode, sensor: str | None) -> bool:
        if sensor is None or episode.sensor == sensor:
            return True
        if episode.sensor is not None:
            return False
        episode.pending.discard(sensor)
        return not episode.pending

    def _look_back(self, entry: Entry, kind: str, sensor: str | None) -> None:
        since, failed = self._last_good(kind, sensor), self.mark.get((kind, sensor))
        again = failed is not None and (since is None or failed > since)
        start = failed if again else since
        days = self.use_days[bisect_left(self.used_at, start) if start else 0 :]
        if again and failed and failed.date() == entry[0].day and not days:
            return  # adjusted or tested again at once: what is in doubt is told of its first failure
        self.look_backs.append(
            LookBack(entry=entry, since=since.date() if since else None, again=again, days=tuple(days))
        )

    def _last_good(self, kind: str, sensor: str | None) -> datetime | None:
        """When the sensor was last shown good by a check of that kind or of a higher rank."""
        kinds = [other for other in sorted(self.seen.keys() | {kind}) if clears(other, kind)]
        if sensor is not None:
            times = [self.good.get((other, part)) for other in kinds for part in (sensor, None)]
            return max((moment for moment in times if moment is not None), default=None)
        whole = [self.good[other, None] for other in kinds if (other, None) in self.good]
        parts = [moment for (other, part), moment in self.good.items() if other in kinds and part is not None]
        return max(whole, default=None) or min(parts, default=None)

    def last(self) -> dict[str, date]:
        """The day on which a kind of check was last good for every sensor it was ever recorded for."""
        made: dict[str, date] = {}
        for kind in sorted(self.seen.keys() | self.whole.keys()):
            days = [day for sensor, day in self.seen.get(kind, {}).items() if sensor in self.sensors]
            known = [day for day in days or [self.whole.get(kind)] if day is not None]
            if known and len(known) == len(days or [None]):
                made[kind] = min(known)
        return made


def clears(later: str, failed: str) -> bool:
    """Whether a good check of one kind clears a failure of another."""
    return later == failed or (later in RANK and failed in RANK and RANK[later] >= RANK[failed])


def counts_from(log: UnitLog, use: Record, turn: timedelta) -> datetime:
    """From when on a check is one before a use: its day, or its turn where that began the evening before.

    The use is then at night, until five (Directive 2003/88/EC, Article 2 (3)); the turn began at most its length
    earlier, and nobody else used the unit in it.
    """
    moment = use.time.value
    midnight = moment.replace(hour=0, minute=0, second=0, microsecond=0)
    if moment == midnight or moment.time() > NIGHT:  # at midnight sharp its hour is not told
        return midnight
    first, end = (bisect_left(log.entries, at, key=lambda entry: entry[0].time.value) for at in (moment - turn, moment))
    by = use.by.value if use.by else None
    others = [
        record.time.value
        for record, _ in log.entries[first:end]
        if record.kind.value == "use" and (by is None or record.by is None or record.by.value != by)
    ]
    return min(midnight, max([moment - turn, *others]))


def fitted_since(unit: Unit, sensor: str, log: UnitLog | None) -> date | None:
    """Since when a unit has its sensor: the later of the inventory's day and the last change on record."""
    days = (unit.fitted_on.get(sensor), log.changed.get(sensor) if log else None)
    return max((day for day in days if day), default=None)


def sensors_apart(entry: Entry, fitted: int) -> tuple[str, ...]:
    """The sensors that a row is about, or none by name where it is about all of so many."""
    record, verdict = entry
    if record.sensor:
        return (record.sensor.value,)
    return verdict.sensors if len(verdict.sensors) < fitted else ()


def read_unit(entries: Sequence[Entry], sensors: frozenset[str], fitted_on: Mapping[str, date]) -> UnitLog:
    """The history of one unit; ``sensors`` are those of its model, ``fitted_on`` the days that the inventory tells."""
    with_gas = (entry for entry in entries if entry[0].kind.value in WITH_GAS)
    recorded = {sensor for entry in with_gas for sensor in sensors_apart(entry, len(sensors))}
    reader = _Reader(sensors)
    reader.sensors = frozenset(recorded & sensors)
    fitted = sorted((day, sensor) for sensor, day in fitted_on.items())
    for entry in entries:
        while fitted and fitted[0][0] <= entry[0].day:
            reader.change(*fitted.pop(0))
        reader.take(entry)
    for day, sensor in fitted:
        reader.change(day, sensor)
    reader.sensors = sensors
    return UnitLog(
        entries=entries,
        fitted=sensors,
        last=reader.last(),
        failed=reader.failed,
        changed=reader.changed,
        good_at=reader.good,
        good_days=reader.good_days,
        use_days=reader.use_days,
        episodes=reader.episodes,
        look_backs=reader.look_backs,
    )
