"""What the builder itself says on every sheet of labels and every log sheet, in English; catalogues have the rest."""

from collections.abc import Mapping

from builder.pages.fixed_words import FIXED
from builder.pages.wording import Wording

ON_SHEETS: Mapping[str, str] = {name: FIXED[name] for name in ("draft", "draft_means", "gauge", "sheet_of")}
"""On every sheet of paper, cards included; places in braces are filled by the renderer."""
ON_LABELS: Mapping[str, str] = {
    **ON_SHEETS,
    "labels": "Labels, sheet {name}",
    "serial": "Serial",
    "initials": "By",
    "marks": "A bar of 50\N{NO-BREAK SPACE}mm, and on the last page the labels’ outlines",
    "trial": "Print this page on plain paper and hold it against a sheet of labels.",
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
