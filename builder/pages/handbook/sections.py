"""The sections of the handbook in reading order, and where their pages lie."""

from typing import Final

SECTIONS: Final[tuple[tuple[str, str, str], ...]] = (
    ("home", "Start", "page:home"),
    ("areas", "Work areas", "page:areas"),
    ("setpoints", "Alarm setpoints", "page:setpoints"),
    ("gases", "Gases", "page:gases"),
    ("conversions", "Conversions", "page:conversions"),
    ("detectors", "Detectors", "page:detectors"),
    ("calibration-gas", "Calibration gas", "page:calibration-gas"),
    ("checks", "Checks due", "page:checks"),
    ("procedures", "Procedures", "page:procedures"),
    ("cards", "Pocket cards", "page:cards"),
    ("program", "The program", "page:program"),
    ("findings", "Findings", "page:findings"),
    ("figures", "Figures and sources", "page:figures"),
    ("about", "Cautions", "page:cautions"),
    ("glossary", "Glossary", "page:glossary"),
    ("search", "Index", "page:search"),
)
"""(id, title, reference of its index page)."""

FOLDERS: Final = {
    "area": "areas",
    "gas": "gases",
    "model": "models",
    "sensor": "sensors",
    "unit": "units",
    "cylinder": "cylinders",
    "check": "checks",
    "due": "checks",
    "procedure": "procedures",
    "units-in": "units",
    "figures": "figures",
    "keys": "figures",
    "page": "pages",
    "index": "pages",
}
"""Kind of reference -> folder of its pages. Names of ``units-in``, ``keys``, ``index`` end in a hyphen; no id does."""

RECORD_ROWS: Final = 40
"""Rows of a file of records whose figures make one group; ``templates/js/derivation.js`` counts the same."""
RECORD_PARTS: Final = 3
"""Parts of a key that name a row of a file of records; what it is comes after them."""

CHECK_LISTS: Final = ("by-area", "by-week", "files")
"""Names that pages of the folder of checks take; a check of that name gives way."""

FLAT: Final = (
    "setpoints", "conversions", "findings", "program", "cautions", "detectors", "glossary", "search", "revisions",
    "differences", "briefing", "retention", "forecast",
)  # fmt: skip
ALONE: Final = {
    "page:home": "index.html",
    "page:calibration-gas": "cylinders/index.html",
    "page:formulas": "figures/formulas.html",
    "page:status": "cards/status.html",
    **{f"page:{name}": f"{name}.html" for name in FLAT},
    **{f"page:{name}": f"{name}/index.html" for name in
       ("areas", "gases", "checks", "records", "procedures", "cards", "figures")},
    **{f"page:{name}": f"registers/{name}.html" for name in ("people", "copies", "read-back", "station-log", "fitted")},
}  # fmt: skip
"""Pages that have a place of their own."""


def path_of(reference: str) -> str:
    """Where the page of a reference lies in the site.

    >>> path_of("area:wet-well")
    'areas/wet-well.html'
    """
    if reference in ALONE:
        return ALONE[reference]
    kind, _, name = reference.partition(":")
    if kind == "check" and name in CHECK_LISTS:
        return f"{FOLDERS[kind]}/{name}-.html"
    # No id ends in a hyphen, so a thing that is called "index" cannot take the place of its folder's index.
    return f"{FOLDERS[kind]}/{'index-' if name == 'index' else name}.html"


def crumbs_of(reference: str, section: str) -> tuple[tuple[str, str], ...]:
    """The pages above one: home, then the index of its section."""
    made = [SECTIONS[0], *(entry for entry in SECTIONS[1:] if entry[0] == section)]
    return tuple((index, title) for _, title, index in made if index != reference) if reference != "page:home" else ()


def group_of(key: str) -> str:
    """The figures that one file of data holds: by the first two parts of a key, or the first of a key of two parts.

    A file of records makes many groups, since it may have a hundred thousand rows.

    >>> group_of("gas.methane.lel.ppm"), group_of("site.pressure"), group_of("record.rounds.57.day")
    ('gas.methane', 'site', 'record.rounds.rows-41')
    """
    parts = key.split(".")
    if parts[0] == "record" and len(parts) > RECORD_PARTS and parts[2].isdecimal():
        first = (int(parts[2]) - 1) // RECORD_ROWS * RECORD_ROWS + 1
        return f"{parts[0]}.{parts[1]}.rows-{first}"
    return ".".join(parts[: 2 if len(parts) > 2 else 1])  # noqa: PLR2004 - parts of a key


def sheet_reference(card_format: str, paper: str) -> str:
    """The reference of the sheets of one format of card on one paper.

    >>> sheet_reference("A7", "Letter")
    'sheet:A7-on-Letter'
    """
    return f"sheet:{card_format}-on-{paper}"


def card_anchor(card: str) -> str:
    """The anchor of a card on the page of cards."""
    return f"card-{card}"
