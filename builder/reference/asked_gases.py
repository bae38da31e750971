"""Gases and vapours that sites ask for and no table here has: what is entered instead, ready to be copied.

What stands as ``ENTER`` only the site's own source knows; content that still has it is refused. Explosive limits of
gasoline and kerosene vapour are those of IEC 60079-20-1:2010 and NFPA 497:2008, both through ``chemicals`` 1.5.2, which
gives the molar masses too.
"""

import re
from typing import Final

from builder.base.record import dataclass
from builder.reference.errors import AmbiguousGasError, UnknownGasError
from builder.reference.library import library

ENTER: Final = "ENTER"
BOTH: Final = "IEC 60079-20-1:2010 and NFPA 497:2008, through the library chemicals 1.5.2"
IEC: Final = "IEC 60079-20-1:2010, through the library chemicals 1.5.2"
NUMBERED: Final = re.compile(r"(?:r|hfc|hfo|hcfc|cfc|refrigerant)[0-9]{2,4}[a-z]{0,3}")
"""A refrigerant by its number, in small letters without blanks and hyphens."""
BURNS: Final = "It burns: without a lower explosive limit this handbook takes it for a gas that does not."


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedGas:
    """One of them."""

    id: str
    names: tuple[str, ...]
    """What it is asked for as, in small letters without blanks and hyphens."""
    why: str
    """Why no table here has it, and what to mind."""
    entry: str
    """What to write: a gas of gases.yaml, or mixtures of an area."""


def _own(gas: str, name: str, cas: str, lel: str = "", source: str = ENTER, *, molecule: str = "") -> str:
    """An entry of gases.yaml.

    :param molecule: of a pure one its formula and molar mass in g/mol, with a blank between.
    """
    formula, _, mass = molecule.partition(" ")
    written = f"\n      written: {formula}" if formula else ""
    burns = f"""    overrides:
      lel: {{value: {lel} %vol, reason: no table of this handbook has it, source: "{source}"}}
"""
    return f"""  - id: {gas}
    own:
      name: {name}{written}
      cas: {cas}
      molar-mass: {mass or ENTER} g/mol
      reason: the library has no row of it
      source: {ENTER}
{burns if lel else ""}"""


def _mixture(name: str, words: str, *gases: str) -> str:
    """A mixture of an area, with both ends of what is delivered."""
    parts = ", ".join(f"{gas}: {{from: {ENTER} %, to: {ENTER} %}}" for gas in gases)
    return f"    mixtures:\n      - {{id: {name}, name: {words}, parts: {{{parts}}}}}\n"


ASKED: Final = (
    AskedGas(
        id="gasoline-vapour",
        names=("gasoline", "gasolinevapour", "petrol", "petrolvapour", "motorfuel"),
        why="A mixture that changes with supplier and season. Benzene in it has limits of its own: enter benzene too.",
        entry=_own("gasoline-vapour", "Gasoline vapour", "8006-61-9", "1.4", BOTH),
    ),
    AskedGas(
        id="jet-fuel-vapour",
        names=("jetfuel", "jetfuelvapour", "kerosene", "kerosine", "paraffinoil", "jeta1", "jeta"),
        why="A mixture; it clings to tubes and filters. Mist burns below the flash point, and no sensor shows it.",
        entry=_own("jet-fuel-vapour", "Jet fuel vapour", "8008-20-6", "0.7", BOTH) + "    clings-to-tubes: true\n",
    ),
    AskedGas(
        id="diesel-vapour",
        names=("diesel", "dieselvapour", "dieselfuel", "gasoil", "heatingoil"),
        why="A mixture; it clings to tubes and filters, and gives little vapour cold and enough hot. " + BURNS,
        entry=_own("diesel-vapour", "Diesel vapour", "68334-30-5", ENTER) + "    clings-to-tubes: true\n",
    ),
    AskedGas(
        id="lpg",
        names=("lpg", "lpgas", "liquefiedpetroleumgas", "liquifiedpetroleumgas", "propanebutane", "autogas"),
        why="Propane and butane in shares that change with delivery; name both as hazards. Both ends are the "
        "supplier's: what is printed holds for the worst composition between them.",
        entry=_mixture("lpg", "Liquefied petroleum gas", "propane", "n-butane"),
    ),
    AskedGas(
        id="natural-gas",
        names=("naturalgas", "towngas", "lng", "cng", "gridgas", "mainsgas"),
        why="Mostly methane; ethane and propane in it lower the explosive limit. Both ends are the network's.",
        entry=_mixture("natural-gas", "Natural gas", "methane", "ethane", "propane", "nitrogen"),
    ),
    AskedGas(
        id="biogas",
        names=("biogas", "digestergas", "landfillgas", "sewagegas"),
        why="Methane and carbon dioxide, with hydrogen sulfide that is deadly long before the mixture burns: name each "
        "as a hazard of its own. Both ends are of your own analyses.",
        entry=_mixture("biogas", "Biogas", "methane", "carbon-dioxide"),
    ),
    AskedGas(
        id="bromine",
        names=("bromine", "br2"),
        why="No list of limits that ships has it: give its limits in lists/ID.yaml. It does not burn.",
        entry=_own("bromine", "Bromine", "7726-95-6", molecule="Br2 159.81"),
    ),
    AskedGas(
        id="methyl-bromide",
        names=("methylbromide", "bromomethane", "ch3br", "r40b1"),
        why="No list of limits that ships has it: give its limits in lists/ID.yaml. " + BURNS,
        entry=_own("methyl-bromide", "Methyl bromide", "74-83-9", ENTER, molecule="CH3Br 94.939"),
    ),
    AskedGas(
        id="sulfuryl-fluoride",
        names=("sulfurylfluoride", "sulphurylfluoride", "so2f2"),
        why="No list of limits that ships has it: give its limits in lists/ID.yaml. It does not burn.",
        entry=_own("sulfuryl-fluoride", "Sulfuryl fluoride", "2699-79-8", molecule="SO2F2 102.06"),
    ),
    AskedGas(
        id="silane",
        names=("silane", "sih4", "monosilane"),
        why="It takes fire by itself in air. " + BURNS,
        entry=_own("silane", "Silane", "7803-62-5", ENTER, molecule="SiH4 32.117"),
    ),
    AskedGas(
        id="dimethyl-ether",
        names=("dimethylether", "dme", "methoxymethane", "re170"),
        why="No ionisation energy of it was read, so it has no row. Its limit by NFPA 497:2008 is 3.4 %vol.",
        entry=_own("dimethyl-ether", "Dimethyl ether", "115-10-6", "2.7", IEC, molecule="C2H6O 46.068"),
    ),
    AskedGas(
        id="methyl-chloride",
        names=("methylchloride", "chloromethane", "r40"),
        why="No ionisation energy of it was read, so it has no row. Its limit by NFPA 497:2008 is 8.1 %vol.",
        entry=_own("methyl-chloride", "Methyl chloride", "74-87-3", "7.6", IEC, molecule="CH3Cl 50.488"),
    ),
    AskedGas(
        id="trifluoroethane",
        names=("r143a", "hfc143a", "trifluoroethane", "111trifluoroethane"),
        why="A refrigerant. No ionisation energy of it was read, so it has no row.",
        entry=_own(
            "trifluoroethane", '"1,1,1-Trifluoroethane (R-143a)"', "420-46-2", "6.8", IEC, molecule="C2H3F3 84.040"
        ),
    ),
    AskedGas(
        id="difluoromethane",
        names=("r32", "hfc32", "difluoromethane", "refrigerant32"),
        why="A refrigerant of which no table here has limits. " + BURNS,
        entry=_own("difluoromethane", "Difluoromethane (R-32)", "75-10-5", ENTER, molecule="CH2F2 52.023"),
    ),
    AskedGas(
        id="tetrafluoropropene",
        names=("r1234yf", "hfo1234yf", "tetrafluoropropene", "2333tetrafluoropropene"),
        why="A refrigerant of which no table here has limits. " + BURNS,
        entry=_own(
            "tetrafluoropropene", '"2,3,3,3-Tetrafluoropropene (R-1234yf)"', "754-12-1", ENTER, molecule="C3H2F4 114.04"
        ),
    ),
    AskedGas(
        id="tetrafluoroethane",
        names=("r134a", "hfc134a", "tetrafluoroethane", "1112tetrafluoroethane"),
        why="A refrigerant that smothers: name the oxygen channel for it. No table here has limits of it.",
        entry=_own("tetrafluoroethane", '"1,1,1,2-Tetrafluoroethane (R-134a)"', "811-97-2", molecule="C2H2F4 102.03"),
    ),
    AskedGas(
        id="difluoroethane",
        names=("r152a", "hfc152a", "difluoroethane", "11difluoroethane"),
        why="A refrigerant of which no table here has limits. " + BURNS,
        entry=_own("difluoroethane", '"1,1-Difluoroethane (R-152a)"', "75-37-6", ENTER, molecule="C2H4F2 66.050"),
    ),
    AskedGas(
        id="chlorodifluoromethane",
        names=("r22", "hcfc22", "chlorodifluoromethane"),
        why="A refrigerant that smothers: name the oxygen channel for it. No table here has limits of it.",
        entry=_own("chlorodifluoromethane", "Chlorodifluoromethane (R-22)", "75-45-6", molecule="CHClF2 86.468"),
    ),
    AskedGas(
        id="refrigerant",
        names=("refrigerantblend", "refrigerantgas"),
        why="No table here has anything of it. It smothers, and some burn: then say under overrides what its data "
        "sheet has as lel.",
        entry=_own("refrigerant", "Refrigerant", ENTER),
    ),
)


def asked_gas(text: str) -> AskedGas | None:
    """The one that a text asks for; case, blanks and hyphens do not matter.

    >>> asked_gas("Natural gas").id
    'natural-gas'
    """
    folded = "".join(letter for letter in text.lower() if letter.isalnum())
    found = next((one for one in ASKED if folded in (*one.names, one.id.replace("-", ""))), None)
    numbered = found is None and NUMBERED.fullmatch(folded) and not _in_library(text)
    return ASKED[-1] if numbered else found


def _in_library(text: str) -> bool:
    try:
        library().find(text)
    except AmbiguousGasError:
        return True
    except UnknownGasError:
        return False
    return True


def how_to_enter(text: str) -> str:
    """How a gas that a site names, and has not entered, comes into its gases.yaml.

    >>> how_to_enter("benzene")
    'in gases.yaml - {id: benzene}, which the library has'
    """
    if asked_gas(text) is not None:
        return f"what `handbook gas {text}` prints to be entered"
    try:
        return f"in gases.yaml - {{id: {library().find(text).id}}}, which the library has"
    except AmbiguousGasError as error:
        return f"in gases.yaml one of {', '.join(error.nearest)}, which the library has"
    except UnknownGasError as error:
        meant = f"one of the library ({', '.join(error.nearest)}?), or " if error.nearest else ""
        return f"in gases.yaml {meant}a gas with own: what you know of it; `handbook gas` lists the library"
