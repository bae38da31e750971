"""Gases and vapours that sites ask for and no table here has: what is entered instead, ready to be copied.

They stand in ``asked_gases.csv``. What is printed as ``ENTER`` only the site's own source knows; content that still has
it is refused. Explosive limits of gasoline and kerosene vapour are those of IEC 60079-20-1:2010 and NFPA 497:2008, both
through ``chemicals`` 1.5.2, which gives the molar masses too.
"""

import csv
import re
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Final

from builder.base.record import dataclass
from builder.reference.errors import AmbiguousGasError, UnknownGasError
from builder.reference.library import library

ENTER: Final = "ENTER"
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


@cache
def asked_gases() -> tuple[AskedGas, ...]:
    """All of them; the last stands for a refrigerant of any other number."""
    text = Path(__file__).with_name("asked_gases.csv").read_text(encoding="utf-8")
    return tuple(
        AskedGas(
            id=row["id"],
            names=tuple(row["names"].split("|")),
            why=f"{row['why']} {BURNS}" if row["lel"] == ENTER else row["why"],
            entry=_mixture(row) if row["mixture"] else _own(row),
        )
        for row in csv.DictReader(text.splitlines())
    )


def _own(row: Mapping[str, str]) -> str:
    """An entry of gases.yaml."""
    written = f"\n      written: {row['formula']}" if row["formula"] else ""
    source = row["source"] or ENTER
    burns = f"""    overrides:
      lel: {{value: {row["lel"]} %vol, reason: no table of this handbook has it, source: "{source}"}}
"""
    clings = "    clings-to-tubes: true\n"
    return f"""  - id: {row["id"]}
    own:
      name: {row["name"]}{written}
      cas: {row["cas"]}
      molar-mass: {row["mass"] or ENTER} g/mol
      reason: the library has no row of it
      source: {ENTER}
{burns if row["lel"] else ""}{clings if row["clings"] else ""}"""


def _mixture(row: Mapping[str, str]) -> str:
    """A mixture of an area, with both ends of what is delivered."""
    parts = ", ".join(f"{gas}: {{from: {ENTER} %, to: {ENTER} %}}" for gas in row["mixture"].split("|"))
    return f"    mixtures:\n      - {{id: {row['id']}, name: {row['name']}, parts: {{{parts}}}}}\n"


def asked_gas(text: str) -> AskedGas | None:
    """The one that a text asks for; case, blanks and hyphens do not matter.

    >>> asked_gas("Natural gas").id
    'natural-gas'
    """
    folded = "".join(letter for letter in text.lower() if letter.isalnum())
    found = next((one for one in asked_gases() if folded in (*one.names, one.id.replace("-", ""))), None)
    numbered = found is None and NUMBERED.fullmatch(folded) and not in_library(text)
    return asked_gases()[-1] if numbered else found


def in_library(text: str) -> bool:
    """Whether a text is the id, name, formula or number of gases that ship."""
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
