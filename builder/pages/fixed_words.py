"""What stands on every card or sheet, in English, by the names that ``builder.render.card_pages`` prints it under."""

from collections.abc import Mapping

FIXED: Mapping[str, str] = {
    "draft": "DRAFT",
    "draft_means": "not for use",
    "prevail": "The instrument’s manual and local rules prevail.",
    "invented": "Invented data",
    "front": "front",
    "back": "back",
    "one_side": "Print at 100 %, one side.",
    "turn_long_side": "Print at 100 %, both sides, turned over the long edge (left or right).",
    "turn_long_top": "Print at 100 %, both sides, turned over the long edge (top).",
    "turn_short_side": "Print at 100 %, both sides, turned over the short edge (left or right).",
    "turn_short_top": "Print at 100 %, both sides, turned over the short edge (top).",
    "gauge": "Each bar is 50 mm. If one measures otherwise, the sheet was scaled: print again at 100 %.",
    "sheet_of": "Sheet {number} of {count}",
    "marks": "Crop marks and a bar of 50 mm",
}
"""Places in braces are filled by the renderer."""
AUDIENCES: Mapping[str, str] = {
    "entrant": "Entrant",
    "attendant": "Attendant",
    "tester": "Tester",
    "hot-work-watch": "Hot work watch",
    "rescue": "Rescue",
    "contractor": "Contractor",
    "lone-worker": "Lone worker",
    "calibrator": "Calibrator",
    "everybody": "Everybody who goes in",
}
LETTERS: Mapping[str, str] = {
    "entrant": "E",
    "attendant": "A",
    "tester": "T",
    "hot-work-watch": "H",
    "rescue": "R",
    "contractor": "C",
    "lone-worker": "L",
    "calibrator": "K",
    "everybody": "",
}
"""On the tab of a card: one a role, in every language alike, since cards of several hang in one bundle."""
