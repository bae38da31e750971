"""What a handbook says about itself: on every page, and in each file of data."""

from typing import Any

from builder import __version__
from builder.figures.figure import day_text
from builder.figures.ledger import Ledger
from builder.program.program import Program


def facts_of(program: Program, ledger: Ledger, *, draft: bool) -> dict[str, Any]:
    """What every page says about the handbook it belongs to."""
    site = program.site
    revision = program.revision
    number = revision.number.value if revision else 0
    name = (
        f"Revision {number}"
        if not draft
        else f"Draft after revision {number}"
        if number
        else "Draft, nothing released yet"
    )
    return {
        "name": site.name.value,
        "title": site.document.title.value,
        "draft": draft,
        "revision": name,
        "as_of": day_text(ledger.today),
        "invented": site.invented,
        "owner": site.document.owner.value,
        "language": site.languages[0].value,
        "pages_in": tuple(given.value for given in site.pages_in),
        "counted": ledger.today,
        "look": site.look,
    }


def told_of(program: Program, ledger: Ledger, *, draft: bool) -> dict[str, Any]:
    """What each file of data holds for."""
    facts = facts_of(program, ledger, draft=draft)
    return {
        "site": facts["name"],
        "revision": facts["revision"],
        "as_of": ledger.today.isoformat(),
        "builder": __version__,
    }
