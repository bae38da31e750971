"""What a table of unknown form has beside plain rows: columns for each gas, heads in two rows, totals at its end."""

import re
from collections.abc import Callable, Iterator, Mapping, Sequence

from builder.load.rows import under_groups
from builder.load.shape import FIRST_ROWS
from builder.program.known_words import KnownWords
from builder.program.table_kinds import RECORDS
from builder.program.trade_words import FOOTER, IGNORED, bare, begins_like, is_head_of, meaning_of, remarks

Row = tuple[int, tuple[str, ...]]
UNITS_IN_HEADS = frozenset({"ppm", "ppb", "vol", "mg", "m3", "m³", "reading", "sensor"})
"""Words of a head that do not tell which gas or which reading it is of."""

UNIT = re.compile(r"ppm|ppb|m?g */? *m[3³]|\bvol\b|\b(?:lel|ueg|lie|dgw)\b|%", re.IGNORECASE)
OF_LIMIT = ("lel", "ueg", "lie", "dgw")
READINGS = ("as-found", "as-left")
LETTERS = "[dmyhstjarg]{1,4}"
FORM_OF_TIME = re.compile(rf"{LETTERS}(?:[-./: ]+{LETTERS})+|local(?: time)?|ortszeit|hora local", re.IGNORECASE)
"""How heads say in which form days and hours are written: "dd.mm.yyyy", "TT.MM.JJJJ", "hh:mm", and whose they are."""
PLAIN_REMARKS = {"seconds": ("s", "sec", "seconds"), "result": ("pass/fail", "ok/nok", "i.o./n.i.o.")}
"""Remarks that say nothing new of a column, by its field."""


def head_row(rows: Sequence[Row], understood: Callable[[str], bool]) -> tuple[int, tuple[str, ...], bool]:
    """Place of the row with most heads that are understood, its heads, and whether those above belong to them.

    Of two alike the upper one, and a row of its own before two.
    """

    def weight(heads: Sequence[str]) -> tuple[int, int]:
        known = [head for head in heads if head and heads.count(head) == 1]
        return sum(map(understood, known)), len(known)

    best: tuple[tuple[int, int, int], int, tuple[str, ...], bool] = ((-1, 0, 0), 0, (), False)
    for n, (line, cells) in enumerate(rows):
        if line > FIRST_ROWS:
            break
        heads = _tidy(cells)
        best = max(best, ((*weight(heads), -n), n, heads, False), key=lambda one: one[0])
        if n and rows[n - 1][0] == line - 1:
            heads = _tidy(under_groups(rows[n - 1][1], cells))
            known, _ = weight(heads)
            if known > best[0][0]:
                best = ((known, 0, -n), n, heads, True)
    return best[1:]


def _tidy(cells: Sequence[str]) -> tuple[str, ...]:
    return tuple(" ".join(cell.split()) for cell in cells)


def of_sensor(head: str, texts: Sequence[str], known: KnownWords, *, is_test: bool) -> tuple[str, ...]:
    """The fields of sensors that a head such as "H2S as found" may stand for; none where it names no gas.

    :param texts: the values below it.
    :param is_test: whether all rows are of tests without adjustment, where a gas alone can only be what was found.
    """
    words = [word for word in bare(head).split() if word not in UNITS_IN_HEADS]
    for n in range(len(words), 0, -1):
        for gas, rest in ((words[:n], words[n:]), (words[-n:], words[:-n])):
            channel = meaning_of("sensor", " ".join(gas)) or _channel(" ".join(gas), known)
            reading = " ".join(word for word in rest if word not in OF_LIMIT)
            fields = list(_reading(reading, texts, is_test=is_test)) if channel else []
            if fields:
                return tuple(f"{sensor}.{name}" for sensor in known.of_channel(channel) for name in fields)
    return ()


def _channel(words: str, known: KnownWords) -> str:
    sensor = known.names.get("sensor", {}).get(words)
    return next((channel for channel, ids in known.sensors.items() if sensor in ids), "")


def _reading(rest: str, texts: Sequence[str], *, is_test: bool) -> Iterator[str]:
    if rest:
        yield from (name for name in RECORDS.per_sensor if is_head_of(name, rest))
    elif texts and all(meaning_of("result", text) for text in texts):
        yield "result"
    elif is_test:
        yield "as-found"
    else:
        yield from ("as-found", "as-left")


def units_in(head: str) -> frozenset[str]:
    """The units that a head names, as content writes them; a share that does not say of what is ``%``.

    >>> sorted(units_in("H2S mg/m³")), sorted(units_in("Ex (% UEG)")), sorted(units_in("O2 Vol.-%"))
    (['mg/m3'], ['%LEL'], ['%vol'])
    """
    marks = {mark.casefold().replace(" ", "").replace("³", "3") for mark in UNIT.findall(head)}
    units = {"%LEL" if mark in OF_LIMIT else "%vol" if mark == "vol" else mark for mark in marks}
    return frozenset(units - {"%"} if units & {"%LEL", "%vol"} else units)


def unit_doubt(head: str, sensor: str, known: KnownWords, *, alone: bool = False) -> str:
    """That a head names a unit, but not that of a sensor's display; ``%`` is taken for ``%vol``. Empty if all is well.

    :param alone: whether the head is of this sensor alone, so that it may name one unit only.
    """
    units, shown = units_in(head), known.units.get(sensor, frozenset())
    fits = shown and all(one in units or (one == "%vol" and "%" in units) for one in shown)
    if not units or (fits and not (alone and len(units) > 1)):
        return ""
    return f"{sensor} shows {' or '.join(sorted(shown)) or 'a unit that no model tells'}"


def doubt(head: str, name: str, known: KnownWords) -> str:
    """What may make a head that is understood mean something else: its unit, or a remark in brackets; else empty."""
    sensor, _, field = name.rpartition(".")
    odd = unit_doubt(head, sensor, known, alone=True) if sensor and field in READINGS else ""
    told = (f"what does ({remark}) say" for remark in remarks(head) if not _is_plain(remark, field))
    return odd or next(told, "")


def _is_plain(remark: str, field: str) -> bool:
    """Whether a remark in brackets leaves the meaning of a head as it is."""
    if field in (IGNORED, "note") or FORM_OF_TIME.fullmatch(remark) or is_head_of(field, remark):
        return True
    is_unit = field in READINGS and not re.search(r"[^\W\d_]", UNIT.sub("", remark))
    return is_unit or remark.casefold() in PLAIN_REMARKS.get(field, ())


def footers_of(rows: Sequence[Row], places: Mapping[str, tuple[int, ...]]) -> tuple[dict[int, str], list[Row]]:
    """Rows at the end that lack what each row has: how those begin that are totals or signatures, and the others.

    :param places: where the fields stand that each row has.
    """
    found: dict[int, str] = {}
    odd: list[Row] = []
    for line, cells in reversed(rows):
        if all(any(n < len(cells) and cells[n] for n in several) for several in places.values()):
            break
        start = begins_like(FOOTER, next(filter(None, cells), ""))
        if start:
            found[line] = start
        else:
            odd.append((line, cells))
    return found, odd[::-1]
