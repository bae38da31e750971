"""What the builder itself says on every card, label and log sheet, in English; catalogues have the rest."""

from collections.abc import Mapping

from builder.pages.wording import Wording

FIXED: Mapping[str, str] = {
    "draft": "DRAFT",
    "draft_means": "not for use",
    "prevail": "The instrument’s manual and local rules prevail.",
    "invented": "Invented data",
    "front": "front",
    "back": "back",
    "one_side": "Print at 100 %, one side.",  # of sheets without backs
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


ON_SHEETS: Mapping[str, str] = {name: FIXED[name] for name in ("draft", "draft_means", "gauge", "sheet_of")}
"""On every sheet of paper, cards included; places in braces are filled by the renderer."""
ON_LABELS: Mapping[str, str] = {
    **ON_SHEETS,
    "labels": "Labels, sheet {name}",
    "serial": "Serial",
    "initials": "By",
    "marks": "A bar of 50\N{NO-BREAK SPACE}mm, and on the last page the labels’ outlines",
    "trial": "Print this page on plain paper and hold it against a sheet of labels.",
    "left_out": "Not on every label, for want of room: {what}",
    "model": "Model",
    "gases": "Gases",
    "kept": "Area",
    "others": "Other checks due",
}
ON_FORMS: Mapping[str, str] = {
    "draft": FIXED["draft"],
    "draft_means": FIXED["draft_means"],
    "kind": "Log sheet",
    "page": "Sheet no.",
    "unit": "Unit, serial",
    "time": "Day and time",
    "pass": "P",
    "fail": "F",
    "remarks": "Remarks",
    "leaf": "page",
    "looked": "Reviewed by",
    "signed": "Signature and day",
    "prevail": FIXED["prevail"],
    "invented": "Invented demonstration data: not for use at any place of work.",
}


def fixed_words(texts: Mapping[str, str], wording: Wording) -> dict[str, str]:
    """All of such texts in one language, by the names that templates print them under."""
    return {name: wording.text(text) for name, text in texts.items()}
