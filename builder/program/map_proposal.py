"""A column map proposed for a table of which nothing is known: what is plain to see, and every doubt beside it."""

import re
from collections.abc import Callable, Mapping, Sequence

from builder.load.shape import Shape, heads_at
from builder.load.unmapped import UnmappedTable
from builder.program import clock_times
from builder.program.clock_times import DAY_ALONE, PLAIN
from builder.program.column_maps import OF_ONE_SENSOR, WORDS
from builder.program.configuration_readback import SETTINGS
from builder.program.known_words import KnownWords, builders_words
from builder.program.markings import MARKING
from builder.program.proposal import Answers, Proposal
from builder.program.table_guesses import READINGS, Row, doubt, footers_of, head_row, of_sensor, unit_doubt
from builder.program.table_kinds import INVENTORY, READBACK, RECORDS, TableKind
from builder.program.trade_words import DAY, HOUR, IGNORED, TO_COME, has_word_of, is_head_of, meaning_of

NUMBERS = (*READINGS, "seconds")
NUMBER = re.compile(r"[-−+]?\d+(?:[.,]\d+)?(?:\s*[^\s\d.,:/-].*)?")
"""A number, and a unit where one is written."""
POINT, COMMA = re.compile(r"\d\.\d"), re.compile(r"\d,\d")
THOUSANDS = re.compile(r"[-−+]?[1-9]\d{0,2}[.,]\d{3}(?!\d)")
"""A number whose mark may part thousands as well as decimals."""
MOST_NAMED = 8
"""Words of which one may be meant that are named."""
MOST_SHOWN = 3
"""Values of a column that are shown."""


def proposed_map(table: UnmappedTable, kind: TableKind, known: KnownWords, answers: Answers) -> Proposal:
    """The map of a table that is to be read as one of this kind."""
    at, head, two = head_row(table.rows, _understood(kind, known, answers))
    body = table.rows[at + 1 :]
    made = Proposal(kind, table.rows[at][0] if table.rows else 1, head, {}, constants=dict(answers.constants))
    made.settings |= {"head-rows": "2"} if two else {}
    _take_columns(made, _below(head, body), known, answers)
    column = _below(head, _without_footers(made, body, answers))
    made.samples = {name: tuple(texts[:MOST_SHOWN]) for name, texts in column.items()}
    _take_times(made, column, answers.time_format, answers.zone or known.zone)
    _take_numbers(made, column, answers.decimal, from_workbook=bool(table.sheets))
    _take_words(made, column, known, answers)
    _ask_units(made, column, known, answers)
    _take_shape(made, table)
    for name in kind.needed:
        if name not in made.columns and name not in made.constants:
            made.unsure.append(f"no column for {name}, which every row needs: name its head, or a constant")
    return made


def most_understood(
    tables: Sequence[UnmappedTable], kind: TableKind, known: KnownWords, answers: Answers
) -> UnmappedTable:
    """Of several sheets the one with most heads that are understood, the first of those alike."""
    understood = _understood(kind, known, answers)

    def weight(table: UnmappedTable) -> int:
        _, head, _ = head_row(table.rows, understood)
        return sum(map(understood, head))

    return max(tables, key=weight)


def _understood(kind: TableKind, known: KnownWords, answers: Answers) -> Callable[[str], bool]:
    return lambda name: bool(_meanings(name, (), kind, known, answers))


def _below(head: Sequence[str], body: Sequence[Row]) -> dict[str, list[str]]:
    """What stands under each head."""
    return {name: [row[n] for _, row in body if n < len(row) and row[n]] for n, name in enumerate(head) if name}


def _without_footers(made: Proposal, body: Sequence[Row], answers: Answers) -> Sequence[Row]:
    """The rows without totals and signatures at the end; what is neither is asked."""
    needed = [name for name in made.kind.needed if name in made.columns]
    places = {name: tuple(made.head.index(head) for head in made.columns[name]) for name in needed}
    found, odd = footers_of(body, places) if places else ({}, [])
    for line, cells in odd:
        first = next(filter(None, cells))
        said = next((text for text in answers.footers if first.casefold().startswith(text.casefold())), "")
        found |= {line: said} if said else {}
        if not said:
            made.unsure.append(f"row {line} ({first!r}) lacks {' or '.join(needed)}: --footer TEXT if it is no row")
    made.footers = {line: found[line] for line in sorted(found)}
    return [row for row in body if row[0] not in found]


def _meanings(
    head: str, texts: Sequence[str], kind: TableKind, known: KnownWords, answers: Answers, *, is_test: bool = False
) -> tuple[str, ...]:
    """Every field that a head may stand for by its words."""
    if head in answers.fields:
        return (answers.fields[head],)
    if head in answers.ignore:
        return (IGNORED,)
    if kind.has(head):
        return (head,)
    found = [name for name in kind.fields if is_head_of(name, head) or (name == "id" and is_head_of("unit", head))]
    if kind is INVENTORY:
        for check, ids in known.checks.items():
            found += [f"last.{name}" for name in ids if is_head_of(f"last.{check}", head)]
    if "time" in kind.times:
        found += [name for name in (DAY, HOUR) if is_head_of(name, head)]
    if kind is RECORDS:
        found = found or list(of_sensor(head, texts, known, is_test=is_test))
    return tuple(found) or ((IGNORED,) if is_head_of(IGNORED, head) else ())


def _meant(
    made: Proposal, column: Mapping[str, list[str]], known: KnownWords, answers: Answers
) -> dict[str, list[str]]:
    """The heads of each field; whatever may be of another is asked."""
    meant: dict[str, list[str]] = {}
    is_test = _are_tests(made, column, known, answers)
    for head in filter(None, dict.fromkeys(made.head)):
        if made.head.count(head) > 1:
            made.unsure.append(f"head {head!r} stands twice")
            continue
        found = _meanings(head, column[head], made.kind, known, answers, is_test=is_test)
        sure = head in answers.fields or made.kind.has(head)
        why = doubt(head, found[0], known) if len(found) == 1 and not sure else ""
        if len(found) == 1 and not why:
            meant.setdefault(found[0], []).append(head)
        else:
            made.unsure.append(_asked(made, head, column[head], found, why))
    return meant


def _take_columns(made: Proposal, column: Mapping[str, list[str]], known: KnownWords, answers: Answers) -> None:
    meant = _meant(made, column, known, answers)
    made.ignore += meant.pop(IGNORED, [])
    day = meant.pop(DAY, [])
    hour = meant.pop(HOUR, []) or (meant.pop("time", []) if day else [])
    if "time" in made.kind.times and "time" not in meant and (day or hour):
        meant["time"] = [*day, *hour]
        if len(day) <= 1 and len(hour) <= 1:
            made.columns["time"] = tuple(meant.pop("time"))
    for name, heads in meant.items():
        answered = [head for head in answers.fields if head in heads and name in made.kind.times]
        if (len(heads) == 1 or len(answered) == len(heads)) and name not in made.constants:
            made.columns[name] = tuple(answered or heads)
        else:
            made.unsure += [_asked(made, head, column[head], (name,)) for head in heads]
    wide = next((head for name, (head, *_) in made.columns.items() if "." in name), "")
    whole = next((made.columns[name][0] for name in OF_ONE_SENSOR if name in made.columns), "")
    if made.kind is RECORDS and wide and whole:
        made.unsure.append(f"column {wide!r} is of one gas and {whole!r} of all: ignore one, or a file for each")


def _are_tests(made: Proposal, column: Mapping[str, list[str]], known: KnownWords, answers: Answers) -> bool:
    """Whether every row is of a test that adjusts nothing."""
    heads = [head for head in column if _meanings(head, (), made.kind, known, answers) == ("kind",)]
    words = [made.constants["kind"]] if "kind" in made.constants else [text for head in heads for text in column[head]]
    return bool(words) and all(
        (meaning_of("kind", word) or word) in ("bump-test", "calibration-check") for word in words
    )


def _asked(made: Proposal, head: str, texts: list[str], found: Sequence[str], why: str = "") -> str:
    """The question about a column, with what its values look like."""
    shown = ", ".join(texts[:MOST_SHOWN]) or "empty"
    if made.kind in (INVENTORY, RECORDS) and has_word_of(TO_COME, head):
        return f"column {head!r} ({shown}) seems to say when something falls due, which is worked out here: ignore it"
    guesses = found if why else [*found, *_looks(made.kind, texts)]
    told = "; perhaps " + " or ".join(dict.fromkeys(guesses)) if guesses else ""
    return f"column {head!r} ({shown}){told}{why and f', but {why}'}: name its field, or ignore it"


def _looks(kind: TableKind, texts: list[str]) -> tuple[str, ...]:
    """Fields whose values look like these."""
    if not texts:
        return ()
    for name, words in WORDS.items():
        if name in kind.fields and all(text in words or meaning_of(name, text) for text in texts):
            return (name,)
    if all(NUMBER.fullmatch(text) for text in texts):
        return NUMBERS if kind is RECORDS else tuple(name for name in ("value",) if name in kind.fields)
    if clock_times.forms_of_times(texts) or clock_times.forms_of_days(texts) or clock_times.are_hours(texts):
        return (
            *kind.times,
            *(("read-on",) if kind is READBACK else ()),
            *(("last.CHECK", "fitted.SENSOR") if kind is INVENTORY else ()),
        )
    return ()


def _take_times(made: Proposal, column: Mapping[str, list[str]], said: str, zone: str) -> None:
    """The form and zone of times and days."""
    forms: dict[str, tuple[str, ...]] = {}
    zoned = False
    for name, heads in made.columns.items():
        is_time = name in made.kind.times
        if not is_time and name != "read-on" and not name.startswith(("last.", "fitted.")):
            continue
        texts = [" ".join(parts) for parts in zip(*(column[head] for head in heads), strict=False)]
        found = times = clock_times.forms_of_times(texts, said) if is_time else ()
        if not times:  # a time may be a day alone where its map says so
            found = tuple(form or (DAY_ALONE if is_time else PLAIN) for form in clock_times.forms_of_days(texts, said))
        if texts and not found:
            some = any(clock_times.forms_of_days([text[:10]]) == (PLAIN,) for text in texts)
            swapped = "; where a spreadsheet took texts for days, days and months may be swapped" if some else ""
            told = f"{clock_times.first_apart(texts)!r} and those before it have no one form of a time{swapped}"
            told += "; write them alike, or --time-format with what all of them have, such as '%d.%m.%Y'"
            made.unsure.append(f"{name} in {', '.join(heads)}: {told}")
        forms |= {" ".join(heads): found} if texts else {}
        zoned = zoned or (is_time and bool(found) and clock_times.without_offset(texts, found[0]))
        zoned = zoned or (is_time and not times)
    common = [form for form in next(iter(forms.values()), ()) if all(form in other for other in forms.values())]
    common = [said] if said in common else common
    if len(common) == 1 and common[0] != PLAIN:
        made.settings["time-format"] = common[0]
    elif len(common) > 1:
        made.unsure.append(
            f"time-format: days, months or years can be swapped: --time-format {' or '.join(map(repr, common))}"
        )
    elif forms and not common and all(forms.values()):
        made.unsure.append(f"time-format: days have to be written alike in {', '.join(forms)}")
    if zoned and zone:
        made.settings["zone"] = zone
    elif zoned:
        made.unsure.append("zone: --zone, the time zone of these times, such as Europe/Berlin")


def _take_numbers(made: Proposal, column: Mapping[str, list[str]], decimal: str | None, *, from_workbook: bool) -> None:
    numbers = [name for name in made.columns if name.rpartition(".")[2] in NUMBERS]
    for name in numbers:
        odd = [text for head in made.columns[name] for text in column[head] if not NUMBER.fullmatch(text)]
        if odd:
            made.unsure.append(f"{name}: {odd[0]!r} is no number; units belong into the head, or behind numbers")
    numbers += ["value"] if "value" in made.columns else []
    texts = [text for name in numbers for head in made.columns[name] for text in column[head]]
    points = [text for text in texts if POINT.search(text) and not from_workbook]
    commas = [text for text in texts if COMMA.search(text)]
    marked = [*commas, *points]
    if not decimal and commas and points:
        made.unsure.append("decimal: numbers with a comma and numbers with a point: --decimal comma, or point")
    elif not decimal and marked and all(map(THOUSANDS.match, marked)):
        made.unsure.append(
            f"decimal: {marked[0]!r} may be thousands, or have decimals: --decimal {'comma' if commas else 'point'} "
            "where it has; save thousands without a mark"
        )
        for name in numbers:  # left out, so that no row is read before it is answered
            del made.columns[name]
    elif decimal == "comma" or (commas and not decimal):
        made.settings["decimal"] = "comma"


def _ask_units(made: Proposal, column: Mapping[str, list[str]], known: KnownWords, answers: Answers) -> None:
    """Ask for readings of all sensors whose head names a unit that one of them does not show."""
    words = [word for head in made.columns.get("sensor", ()) for word in column[head]]
    ids = {made.values.get("sensor", {}).get(word, word) for word in (*words, made.constants.get("sensor", ""))}
    for name, (head, *_) in [pair for pair in made.columns.items() if pair[0] in READINGS]:
        why = next(filter(None, (unit_doubt(head, sensor, known) for sensor in sorted(ids & known.units.keys()))), "")
        if why and head not in answers.fields:
            made.unsure.append(_asked(made, head, column[head], (name,), why))
            del made.columns[name]


def _take_words(made: Proposal, column: Mapping[str, list[str]], known: KnownWords, answers: Answers) -> None:
    """What words in a column stand for, where the builder or the site has words of its own."""
    own = {name: words for name, words in WORDS.items() if name in made.kind.fields} | dict(known.ids)
    own |= {"name": SETTINGS} if made.kind is READBACK else {}
    for name, words in own.items():
        for head in (one for key, heads in made.columns.items() if key.rpartition(".")[2] == name for one in heads):
            for word in dict.fromkeys(column[head]):
                said = answers.values.get(f"{name}:{word}")
                found = (said,) if said else builders_words(name, word, words, known) if words else (word,)
                if len(found) == 1 and found[0] != word:
                    made.values.setdefault(name, {})[word] = found[0]
                elif len(found) != 1 and name != "name":  # a setting by another name is kept as it is
                    one_of = ", ".join((found or tuple(words))[:MOST_NAMED])
                    answer = f'--value "{name}:{word}=..." with one of {one_of}'
                    made.unsure.append(f"{name}: what {word!r} in {head!r} stands for: {answer}")
    if made.kind is INVENTORY:
        ids = [text for head in made.columns.get("id", ()) for text in column[head]]
        if any(not MARKING.fullmatch(text) for text in ids):
            made.settings["ids"] = "made"


def _take_shape(made: Proposal, table: UnmappedTable) -> None:
    if table.sheet:
        made.settings["sheet"] = table.sheet
    if len(table.sheets) > 1 and not table.sheet_is_sure:
        made.unsure.append(
            f"sheet: which of {', '.join(table.sheets)}? {table.sheet!r} is shown, of whose heads most are known: "
            f'--sheet "{table.sheet}"'
        )
    if table.encoding and table.encoding_is_sure:
        made.settings["encoding"] = table.encoding
    elif table.encoding:
        made.unsure.append(f"encoding: {table.encoding}, or another of one byte a letter, such as windows-1250")
    if table.separator:
        made.settings["separator"] = table.separator
    wanted = frozenset(head for heads in made.columns.values() for head in heads)
    if "head-rows" in made.settings or heads_at(table.rows, Shape(wanted=wanted))[0] != made.line:
        made.settings["heads"] = str(made.line)
    if table.merged > made.line:
        made.settings["merged"] = "each"
