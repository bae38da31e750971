"""What stands on a label of a unit, a cylinder or a hose, and the code that its page shows too."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from functools import partial

from builder.base.grouping import grouped
from builder.base.record import dataclass
from builder.figures.computed import Computed
from builder.figures.due_checks import DueCheck, State
from builder.figures.ledger import Ledger
from builder.pages.blocks import BETWEEN, Fig, Inline, Inlines, Strong, Text
from builder.pages.compositions import figures_in
from builder.pages.handbook.labels import STATES, capital, word
from builder.pages.handbook.sections import path_of
from builder.pages.plain import Words
from builder.pages.seen_text import Seen, seen_code
from builder.pages.translator import Translator
from builder.program.areas import Area
from builder.program.cylinders import Cylinder
from builder.program.inventory import Unit
from builder.program.keys.families import AREA_HOSE, CYLINDER_EXPIRES, CYLINDER_GAS, HOSE_WAIT
from builder.program.program import Program
from builder.program.test_order import in_test_order

GONE = "retired"
CALIBRATION, INSPECTION = "calibration", "inspection"
ABOUT = ("model", "gases", "kept")
"""What is told of a unit beside its day, in this order on every label."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """One label, in the order in which it is read: what is due first."""

    name: str
    """Id of the unit, the cylinder or the hose's area."""
    head: str
    """What the large line is; may be empty."""
    large: Inlines
    """The day, the wait, or the state of what is not in use: on a line of its own."""
    lines: tuple[Inlines, ...]
    """The rest, what is wanted most first."""
    spare: tuple[str, ...] = ()
    """Names in ``ON_LABELS`` of the last lines that may be left out where there is no room, the last one first."""
    left_out: tuple[str, ...] = ()
    """Those of them that it has no room for; found when its words are measured."""
    runs_on: bool = False
    """Whether its lines run on, for want of room; found when they are set."""
    serial: str = ""
    page: str = ""
    """Address of its page, in front of the code in its square code; empty where the site is not published."""
    signed: bool = False
    """Whether whoever made the check writes initials on it."""
    code: str = ""
    draft: bool = False

    @property
    def printed(self) -> tuple[Inlines, ...]:
        """The lines that it has room for."""
        return self.lines[: len(self.lines) - len(self.left_out)]

    @property
    def figures(self) -> tuple[str, ...]:
        """Keys of the figures it prints, in reading order, each once."""
        return tuple(dict.fromkeys(figures_in((self.large, self.printed))))


def unit_labels(computed: Computed, *, draft: bool, translator: Translator | None = None) -> dict[str, Label]:
    """The label of each unit that is not retired, by its id; its code is the same in every language."""
    # Changing a part is the bench's work: see the unit's page and log sheet
    asked = grouped((due for due in computed.due_checks if due.check.part is None), lambda due: due.unit.id)
    units = (unit for unit in computed.program.units.values() if unit.state.value != GONE)
    made = ((unit.id, partial(_of_unit, unit=unit, asked=asked.get(unit.id, ()), draft=draft)) for unit in units)
    return _coded(computed, translator, made)


def cylinder_labels(computed: Computed, translator: Translator, *, draft: bool) -> dict[str, Label]:
    """The label of each cylinder: what it holds, its last day, the checks it serves."""
    bottles = computed.program.bottles
    return _coded(computed, translator, ((one.id, partial(_of_cylinder, bottle=one, draft=draft)) for one in bottles))


def hose_labels(computed: Computed, translator: Translator, *, draft: bool) -> dict[str, Label]:
    """The label of the hose of each area that has one: how long to wait with which detector, and its length."""
    ledger = computed.ledger
    areas = (area for area in computed.program.areas.values() if AREA_HOSE(area=area.id) in ledger)
    made = ((area.id, partial(_of_hose, ledger=ledger, area=area, draft=draft)) for area in areas)
    return _coded(computed, translator, made)


def _coded(
    computed: Computed, translator: Translator | None, made: Iterable[tuple[str, Callable[[Translator], Label]]]
) -> dict[str, Label]:
    """Labels by name in a language, each with the code of what it says in the first."""
    first = Translator(program=computed.program)
    return {
        name: replace(of(translator or first), code=_code(computed.program, computed.ledger, of(first)))
        for name, of in made
    }


def _code(program: Program, ledger: Ledger, label: Label) -> str:
    """A short code of everything that a label says."""
    words = Words(ledger.figures)
    lines: list[Seen] = [words.inline(line) for line in label.lines]
    seen: list[Seen] = [label.name, label.head, words.inline(label.large), lines, label.serial, label.draft]
    return seen_code(program.site.short.value, seen)


def _page(program: Program, reference: str) -> str:
    at = program.site.published_at
    return f"{at.value.rstrip('/')}/{path_of(reference)}#" if at else ""


# ---- units ---------------------------------------------------------------------------


def _of_unit(speaker: Translator, unit: Unit, asked: Sequence[DueCheck], *, draft: bool) -> Label:
    program = speaker.program
    label = Label(
        name=unit.id,
        head="",
        large=(),
        lines=tuple(_about(speaker, unit)),
        spare=ABOUT,
        serial=unit.serial.value,
        page=_page(program, f"unit:{unit.id}"),
        draft=draft,
    )
    if not unit.checked:
        return replace(label, large=speaker.words(capital(word(STATES, unit.state.value))))
    dated = [due for due in asked if due.state is not State.DAILY]
    dated.sort(key=lambda due: due.check.kind != CALIBRATION)  # the plan's order otherwise, on every label alike
    if not dated:
        return label
    first, *others = dated
    return replace(
        label,
        head=_due_head(speaker, first),
        large=_day(speaker, first, "Before use"),
        lines=(*label.lines, *(_due_line(speaker, due) for due in others)),
        spare=(*ABOUT, *("others" for _ in others)),
        signed=True,
    )


def _due_head(speaker: Translator, due: DueCheck) -> str:
    if due.check.kind == CALIBRATION:
        return speaker.text("Calibration due")
    return speaker.text("{check}: due", check=speaker.named(due.check))


def _due_line(speaker: Translator, due: DueCheck) -> Inlines:
    if due.check.kind == INSPECTION:
        return speaker.sentence("Inspection due {day}", day=_day(speaker, due, "before use"))
    named = speaker.named(due.check)
    return speaker.sentence("{check}: due {day}", check=named, day=_day(speaker, due, "before use"))


def _day(speaker: Translator, due: DueCheck, otherwise: str) -> Inlines:
    """``otherwise`` is what is said of a check that was never passed, or that failed since."""
    return (Fig(due.key),) if due.key else speaker.words(otherwise)


def _about(speaker: Translator, unit: Unit) -> Iterator[Inlines]:
    """What ``ABOUT`` names."""
    program = speaker.program
    model = program.models[unit.model.value]
    at = speaker.named(program.areas[unit.area.value]) if unit.area else unit.place
    channels = in_test_order(sensor.channel.value for _, sensor in program.fitted(model))
    yield (Text(speaker.named(model)),)
    yield (Text(speaker.wording.comma.join(map(speaker.channel, channels))),)
    yield (Text(at),)


# ---- cylinders and hoses ---------------------------------------------------------------


def _of_cylinder(speaker: Translator, bottle: Cylinder, *, draft: bool) -> Label:
    program = speaker.program
    parts: list[Inline] = []
    for component in bottle.components:
        share = Fig(CYLINDER_GAS(cylinder=bottle.id, gas=component.gas.value))
        parts += [Text(f"{speaker.wording.comma if parts else ''}{speaker.gas(component.gas.value)} "), share]
    checks = speaker.wording.comma.join(speaker.named(program.checks[given.value]) for given in bottle.checks)
    return Label(
        name=bottle.id,
        head=speaker.text("Last day of use"),
        large=(Fig(CYLINDER_EXPIRES(cylinder=bottle.id)),),
        lines=(
            tuple(parts),
            (
                *speaker.words("Balance: {gas}", gas=speaker.text(bottle.balance.value)),
                BETWEEN,
                *speaker.words("Lot {lot}", lot=bottle.lot.value),
            ),
            speaker.words("For: {checks}", checks=checks),
        ),
        page=_page(program, f"cylinder:{bottle.id}"),
        draft=draft,
    )


def _of_hose(speaker: Translator, ledger: Ledger, area: Area, *, draft: bool) -> Label:
    program = speaker.program
    waits = [
        (model, key) for model in program.models_in(area) if (key := HOSE_WAIT(area=area.id, model=model.id)) in ledger
    ]
    waits.sort(key=lambda wait: ledger[wait[1]].amount, reverse=True)  # the longest is safe with every model
    lines = [
        speaker.sentence("{model}: wait {wait}", model=speaker.named(model), wait=(Strong((Fig(key),)),))
        for model, key in waits
    ]
    length = speaker.sentence("Hose {length}", length=(Fig(AREA_HOSE(area=area.id)),))
    return Label(
        name=area.id,
        head=speaker.text("Wait at least") if waits else speaker.text("Hose"),
        large=(Fig(waits[0][1]),) if waits else (Fig(AREA_HOSE(area=area.id)),),
        lines=((Text(speaker.named(area)),), *((length,) if waits else ()), *(lines if len(waits) > 1 else ())),
        page=_page(program, f"area:{area.id}"),
        draft=draft,
    )
