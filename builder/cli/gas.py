"""``handbook gas``: one gas of the reference library, every value with its source."""

from collections.abc import Iterator
from pathlib import Path

import click

from builder.base.errors import UsageError
from builder.base.rounding import Direction, Rounding, plain, printed_text
from builder.cli.options import FOLDER
from builder.cli.telling import say
from builder.reference.asked_gases import ENTER, AskedGas, asked_gas
from builder.reference.formula import ATOMIC_WEIGHTS
from builder.reference.library import IGNITION_SOURCES, IONISATION_ENERGY_SOURCES, LEL_BASES, GasEntry, Library, library
from builder.reference.limits import KINDS_BY_ID, column_of
from builder.reference.published import Published
from builder.reference.sources import Source
from builder.reference.vapour import vapour_fit

ABSENT = "no published value in the library"
UNREAD = "not read in its source"
READ_ONCE = "read in one copy only"
DIGITS = 4
WIDTH = 34


@click.command()
@click.argument("gas", metavar="NAME|FORMULA|CAS", nargs=-1)
@click.option(
    "--content",
    type=FOLDER,
    help="Folder with a site's data, to print the lists of limits that the site brought as well.",
)
def gas(gas: tuple[str, ...], content: Path | None) -> int:
    r"""Print what the reference library holds of a gas: every value with unit and source, and what is absent.

    Without a name it lists every gas that the library has.

    \b
    Examples:
      handbook gas
      handbook gas toluene
      handbook gas H2S
      handbook gas 74-98-6
      handbook gas methyl ethyl ketone
    """
    if not gas:
        for entry in library().gases():
            say(f"{entry.name} ({', '.join(filter(None, (entry.formula, entry.cas, entry.id)))})")
        return 0
    words = " ".join(gas).strip()
    if not words:
        raise UsageError("an empty name; allowed: a name, formula or CAS number")
    asked = asked_gas(words)
    if asked is not None:
        for line in _to_be_entered(asked):
            say(line)
        return 1
    entry = library().find(words)
    for line in _lines_of(_with_lists_of(content) if content else library(), entry):
        say(line)
    return 0


def _to_be_entered(asked: AskedGas) -> Iterator[str]:
    """What a site enters of a gas that no table here has."""
    yield f"The library has no {asked.id.replace('-', ' ')}. {asked.why}"
    mixture = asked.entry.startswith("    mixtures:")
    where = "Name its parts in gases.yaml, and under its area in areas.yaml write" if mixture else "In gases.yaml write"
    yield f"{where}, with your own for {ENTER}:"
    yield ""
    yield from asked.entry.rstrip("\n").split("\n")


def _with_lists_of(content: Path) -> Library:
    """The library with the lists of limits of a site.

    :raises ContentError: when the content is wrong.
    """
    from builder.load.content import load_content  # noqa: PLC0415 - not needed without a site
    from builder.program.read import read_program  # noqa: PLC0415

    documents, problems = load_content(content)
    return read_program(documents, problems, library()).library


def _lines_of(library: Library, entry: GasEntry) -> Iterator[str]:
    used: dict[str, Source] = {}
    yield from _identity(entry)
    yield ""
    yield from _explosive(library, entry, used)
    yield from _properties(library, entry, used)
    yield from _vapour(entry, used)
    yield ""
    yield from _limits(library, entry, used)
    yield ""
    yield "Sources, by the short name printed above:"
    for name, source in used.items():
        yield f"  {name}: {source.cited()}"
        yield f"    how it was read: {source.how_read}"
        if source.caution:
            yield f"    bear in mind: {source.caution}"


def _identity(entry: GasEntry) -> Iterator[str]:
    rounding = Rounding(direction=Direction.NEAREST, digits=DIGITS, why="a molar mass, to nearest")
    yield entry.name
    yield _row("id", entry.id)
    yield _row("other names", "; ".join(entry.synonyms) or "none in the library")
    yield _row("formula", entry.formula)
    yield _row("CAS number", entry.cas)
    mass = f"{printed_text(entry.molar_mass, rounding)} g/mol, exactly {plain(entry.molar_mass)}"
    yield _row("molar mass", f"{mass}  [computed from the formula, {ATOMIC_WEIGHTS}]")


def _explosive(library: Library, entry: GasEntry, used: dict[str, Source]) -> Iterator[str]:
    """Both bases under each other, and the third source that has such values."""
    yield "Explosive limits, by volume (100 %LEL is the LEL of the basis a site chose):"
    for prop, name in (("lel", "LEL"), ("uel", "UEL")):
        for source in LEL_BASES:
            yield from _value(name + " on " + source, library.published(entry.id, prop, (source,)), used)
    guide = "niosh-pocket-guide-2005"
    for prop, name in (("lel", "LEL"), ("uel", "UEL")):
        value = library.published(entry.id, prop, (guide,))
        if value is not None:
            yield from _value(f"{name}, for comparison", value, used)


def _properties(library: Library, entry: GasEntry, used: dict[str, Source]) -> Iterator[str]:
    yield ""
    yield "Properties:"
    for prop, name in (("autoignition", "autoignition"), ("flash-point", "flash point")):
        yield from _each(name, [library.published(entry.id, prop, (source,)) for source in IGNITION_SOURCES], used)
    energies = [library.published(entry.id, "ionisation-energy", (source,)) for source in IONISATION_ENERGY_SOURCES]
    yield from _each("ionisation energy", energies, used)


def _each(name: str, values: list[Published | None], used: dict[str, Source]) -> Iterator[str]:
    found = [value for value in values if value is not None]
    if not found:
        yield from _value(name, None, used)
    for value in found:
        yield from _value(name, value, used)


def _vapour(entry: GasEntry, used: dict[str, Source]) -> Iterator[str]:
    fit = vapour_fit(entry.id)
    if fit is None:
        yield _row("vapour pressure", ABSENT)
        return
    used.setdefault(fit.source.id, fit.source)
    numbers = ", ".join(f"{name} = {text}" for name, text in zip("abcde", fit.texts, strict=True))
    reach = f"{plain(fit.coldest)} to {plain(fit.hottest)} K"
    unread = "" if fit.read else f"; {UNREAD}"
    yield _row("vapour pressure", f"p in Pa = exp(a + b/T + c ln T + d T^e), T in K, {reach}")
    yield _row("", f"{numbers}  [{fit.source.id}, {fit.locator}{unread}]")


def _limits(library: Library, entry: GasEntry, used: dict[str, Source]) -> Iterator[str]:
    yield "Exposure limits, by list (a kind that a list never has is left out):"
    for list_id, listed in library.limit_lists().items():
        for kind in listed.kinds:
            name = f"{listed.short} {KINDS_BY_ID[kind].short}"
            revised = [table for table in listed.tables if table.revised(entry.id, column_of(kind))]
            yield from _values(name, library.limit_history(entry.id, list_id, kind), used, revised=bool(revised))


def _values(name: str, history: tuple[Published, ...], used: dict[str, Source], *, revised: bool) -> Iterator[str]:
    """Every value that counted, counts or will count, with its days."""
    if not history:
        yield from _value(name, None, used)
    for at, value in enumerate(history):
        newer = history[at + 1 :]
        words = [f"from {value.since.isoformat()}"] if value.since else []
        words += [f"superseded from {value.until.isoformat()} on"] if value.until else []
        if revised or (newer and newer[-1].source is not value.source):
            words.append("superseded by a newer edition" + (", whose number was not read" if revised else ""))
        yield from _value(" ".join([name, *([f"({', '.join(words)})"] if words else [])]), value, used)


def _value(name: str, value: Published | None, used: dict[str, Source]) -> Iterator[str]:
    """A value with its unit, the short name and place of its source, its remark, and whether it was read."""
    if value is None:
        yield _row(name, ABSENT)
        return
    used.setdefault(value.source.id, value.source)
    read = UNREAD if not value.read else READ_ONCE if value.read_once else ""
    marks = [value.source.id, value.locator, read]
    note = f"; {value.note}" if value.note else ""
    yield _row(name, f"{value.text} {value.unit}{note}  [{', '.join(mark for mark in marks if mark)}]")


def _row(name: str, text: str) -> str:
    return f"  {name.ljust(WIDTH)}  {text}"
