"""The printable sheet of a translator: every text in English beside the other language, with where it is printed."""

from collections.abc import Sequence

from builder.pages.languages.po import Entry
from builder.pages.wording import plain
from builder.program.languages import LANGUAGES, is_right_to_left
from builder.render.templates import fill


def translation_sheet(entries: Sequence[Entry], language: str, site: str, day: str) -> str:
    """One HTML file that needs nothing beside it; texts are escaped like all that comes from content."""
    return fill(
        "html/translation.html",
        entries=entries,
        english=[plain(entry.english) for entry in entries],
        language=LANGUAGES[language],
        dir="rtl" if is_right_to_left(language) else "ltr",
        site=site,
        day=day,
    )
