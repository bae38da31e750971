"""A program with all that is made of it once and asked for again and again, by rules, pages and papers."""

from collections.abc import Mapping

from builder.base.record import dataclass
from builder.figures.due_checks import DueCheck, due_checks
from builder.figures.ledger import Ledger
from builder.figures.logbook.book import Logbook
from builder.figures.settings_read import SettingDifference, differences
from builder.program.program import Program


@dataclass(frozen=True, slots=True, kw_only=True)
class Computed:
    """A program as it stands on one day; nothing of it is remembered anywhere else."""

    program: Program
    ledger: Ledger
    logbook: Logbook
    """Its records, judged by the windows of the ledger."""
    due_checks: tuple[DueCheck, ...]
    """Where every check of every unit stands."""
    settings_off: Mapping[str, tuple[SettingDifference, ...]]
    """By unit, the settings that were last read back otherwise than they are to be."""


def computed_of(program: Program, ledger: Ledger, logbook: Logbook) -> Computed:
    """The same three, and the checks and settings that follow from them."""
    off: dict[str, tuple[SettingDifference, ...]] = {}
    for found in differences(program, ledger):
        unit = found.setting.unit.value
        off[unit] = (*off.get(unit, ()), found)
    return Computed(
        program=program, ledger=ledger, logbook=logbook, due_checks=due_checks(program, ledger), settings_off=off
    )
