"""What a site changes of the folder that it extends."""

from collections.abc import Iterator
from fnmatch import fnmatchcase
from fractions import Fraction

from builder.base.finding import Finding, Severity
from builder.base.quantity import QuantityError, magnitude, parse_quantity, same_dimension
from builder.base.where import Given, Where
from builder.findings.rule import rule
from builder.load.overlay import Override
from builder.program.faults import Faults
from builder.program.interval import interval_of
from builder.program.program import Program
from builder.program.sensors import OXYGEN
from builder.program.setpoints import Alarm, Setpoint


@rule(Severity.NOTE)
def taken_out(program: Program) -> Iterator[Finding]:
    """Something that the site's company or region has in its content and the site does without, and why.

    What is left out is told, so that nobody reads the company's content and takes it for what holds here. Source:
    common practice, no published source.
    """
    # A note for each entry and file that is taken out, and for each that stands whole in place of another
    for one in program.overrides:
        if one.said or one.before:
            continue
        what = " ".join((one.file, *one.path))
        told = f"it is taken out: {one.removed.rstrip('.')}" if one.removed else "another stands whole in its place"
        yield taken_out.found(
            message=f"{what} of {one.inherited} does not hold here; {told}.", where=one.own, subject="page:findings"
        )


HIGHER, LOWER, ANY = "higher", "lower", "other"
LESS_SAFE = (
    ("setpoints.yaml/setpoints/oxygen in */low/*", LOWER),
    ("setpoints.yaml/setpoints/*/*/set", HIGHER),
    ("setpoints.yaml/setpoints/*/*/true", HIGHER),
    ("setpoints.yaml/review-every", HIGHER),
    ("checks.yaml/checks/*/interval", HIGHER),
    ("checks.yaml/checks/*/intervals/*/every", HIGHER),
    ("checks.yaml/checks/*/adjust/most", HIGHER),
    ("checks.yaml/checks/*/window/*/*", HIGHER),
    ("checks.yaml/checks/*/alarms-within", HIGHER),
    ("checks.yaml/checks/*/gas-time", LOWER),
    ("checks.yaml/checks/*/ratio/from", LOWER),
    ("checks.yaml/checks/*/guard-band", ANY),
    ("site.yaml/entry/accept/oxygen/from", LOWER),
    ("site.yaml/entry/accept/*/to", HIGHER),
    ("site.yaml/hot-work/start/oxygen/from", LOWER),
    ("site.yaml/hot-work/start/*/to", HIGHER),
    ("site.yaml/hot-work/stop/*", HIGHER),
    ("site.yaml/*/retest-every", HIGHER),
    ("site.yaml/hot-work/watch", LOWER),
    ("site.yaml/document/review-every", HIGHER),
    ("site.yaml/document/cards-valid-for", HIGHER),
    ("site.yaml/settings-read-every", HIGHER),
    ("site.yaml/gas-lead-time", LOWER),
    ("sensors.yaml/sensors/*/life", HIGHER),
    ("areas.yaml/areas/*/hazards/*/gas", ANY),
    ("areas.yaml/areas/*/activities/*", ANY),
    ("areas.yaml/areas/*/rescue-within", HIGHER),
    ("retention.yaml/retention/*/keep", LOWER),
)
"""Where a value stands, and which way it becomes less safe; the first that fits counts."""


@rule(Severity.WARN, acceptable=True)
def less_safe_than_extended(program: Program) -> Iterator[Finding]:
    """A value on the less safe side of what the company or region says whose content the site extends.

    An alarm that sounds later, a check that comes more rarely, a window that lets more pass, a hazard taken out:
    whoever set it for all sites had a reason, so the site gives its own. Source: common practice, no published
    source.
    """
    # A warn for each value that is less safe, or cannot be compared, and for each such value that is left out
    for one in program.overrides:
        told = _worse(one)
        if told:
            yield _finding(told, one.own, one.inherited, _subject(program, one))
    for setpoint in program.setpoints:
        for wide in program.setpoints:
            yield from _narrower(program, setpoint, wide)


def _worse(one: Override) -> str:
    """What is less safe about an override, or nothing."""
    what = " ".join(one.path) or one.file
    if one.said or one.before:
        way = _way(one, one.path)
        less = less_safe(way, one.said, one.before) if way else ""
        return f"{what} is {one.said}, {less} {one.before}" if less else ""
    lost = [(path, text) for path, text in one.gone if _way(one, path)]
    if not lost:
        return ""
    named = ", ".join(f"{' '.join(path[len(one.path) :])} {text}".strip() for path, text in lost[:3])
    more = f" and {len(lost) - 3} more" if len(lost) > 3 else ""  # noqa: PLR2004 - as many as are named
    if one.removed:
        return f"{what} is taken out ({one.removed.rstrip('.')}), and with it {named}{more}"
    return f"{what} stands whole in place of another, and nothing of that holds any longer: {named}{more}"


def _way(one: Override, path: tuple[str, ...]) -> str:
    place = "/".join((one.file, *path))
    steps = place.count("/")
    return next((way for form, way in LESS_SAFE if form.count("/") == steps and fnmatchcase(place, form)), "")


def less_safe(way: str, said: str, before: str) -> str:
    """How one value compares with the one it replaces, where that is on the less safe side or cannot be told.

    >>> less_safe(HIGHER, "6 ppm", "5 ppm"), less_safe(HIGHER, "4 ppm", "5 ppm")
    ('higher than', '')
    >>> less_safe(LOWER, "19 %vol", "19.5 %vol")
    'lower than'
    """
    if way == ANY:
        return "in place of"
    own, other = _size(said, before)
    if own is None or other is None:
        return "which cannot be compared with"
    worse = own > other if way == HIGHER else own < other
    return f"{way} than" if worse else ""


def _size(said: str, before: str) -> tuple[Fraction | None, Fraction | None]:
    """Two texts as numbers of one unit."""
    faults, nowhere = Faults(), Where("", 1)
    days = [interval_of(Given(text, nowhere, text), faults).value.nominal_days for text in (said, before)]
    if not faults.problems:
        return days[0], days[1]
    try:
        (own, _), (other, unit) = parse_quantity(said), parse_quantity(before)
    except QuantityError:
        return None, None
    return (magnitude(own, unit), magnitude(other, unit)) if same_dimension(own, unit) else (None, None)


def _narrower(program: Program, own: Setpoint, wide: Setpoint) -> Iterator[Finding]:
    """An entry for single areas that takes the place of one for all areas of a folder that is extended."""
    if own.areas is None or wide.areas is not None or own.channel.value != wide.channel.value:
        return
    if _far(program, own.where) >= _far(program, wide.where):
        return
    subject = f"area:{own.areas[0].value}"
    for name, alarm in wide.alarms.items():
        told = _compared(own, name, alarm)
        if told:
            yield _finding(f"{own.channel.value} {name} {told}", own.where, alarm.value.where, subject)


def _compared(own: Setpoint, name: str, other: Alarm) -> str:
    mine = own.alarm(name)
    if mine is None:
        return f"is not set, where all areas have {other.value.text}"
    if mine.true_value != other.true_value:
        return f"is {mine.value.text}, which cannot be compared with {other.value.text}"
    way = LOWER if own.channel.value == OXYGEN and name == "low" else HIGHER
    less = less_safe(way, mine.value.text, other.value.text)
    return f"is {mine.value.text}, {less} {other.value.text} of all areas" if less else ""


def _far(program: Program, where: Where) -> int:
    """How many folders lie between a line and the site's own content."""
    steps = enumerate(program.extended, start=1)
    return next((number for number, name in steps if where.file.startswith(f"{name}/")), 0)


def _subject(program: Program, one: Override) -> str:
    """The page that shows it; an answer for it is an answer for what that page is about."""
    if len(one.path) > 1 and one.file == "areas.yaml" and one.path[1] in program.areas:
        return f"area:{one.path[1]}"
    if len(one.path) > 1 and one.file == "checks.yaml" and one.path[1] in program.checks:
        return f"check:{one.path[1]}"
    return {"setpoints.yaml": "page:setpoints", "checks.yaml": "page:checks"}.get(one.file, "page:program")


def _finding(told: str, where: Where, inherited: Where, subject: str) -> Finding:
    return less_safe_than_extended.found(
        message=f"Less safe than {inherited} asks: {told}.",
        where=where,
        mend="keep what is extended, or say in accepted.yaml who answers for it here, why and until when",
        subject=subject,
    )
