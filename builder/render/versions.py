"""The languages that a page can be read in, as its list of them has them."""

from collections.abc import Mapping, Sequence

from builder.base.record import dataclass
from builder.pages.languages.translated import spoken_id
from builder.program.languages import ENGLISH, LANGUAGES, is_right_to_left
from builder.render.links import looked_up, relative

SPOKEN = ("page:home", "area:", "procedure:")
"""References of pages that are there in other languages begin so."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Version:
    """A page in one of its languages."""

    tag: str
    name: str
    """The language by its own name."""
    dir: str
    href: str


def versions_of(page: str, here: str, languages: Sequence[str], hrefs: Mapping[str, str]) -> tuple[Version, ...]:
    """The page in English and every other language that it is in; nothing where it is in English alone.

    :param page: its reference, without language.
    """
    if not languages or not page.startswith(SPOKEN):
        return ()
    return tuple(
        Version(
            tag=tag,
            name=LANGUAGES[tag].own,
            dir="rtl" if is_right_to_left(tag) else "ltr",
            href=relative(here, looked_up(spoken_id(page, tag), hrefs, page)),
        )
        for tag in (ENGLISH, *languages)
    )
