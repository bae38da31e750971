"""The texts of a site in one language as a gettext file: written for a translator, and read when it comes back.

English is the key of everything. What nobody is named to have read is marked fuzzy; whoever reads a text takes that
mark away. A text whose English changed comes with the old English and the old translation, marked the same way.
"""

from collections.abc import Iterable, Iterator, Mapping
from datetime import UTC, date, datetime, time
from io import BytesIO

from builder.base.errors import ContentError, Problem
from builder.base.record import dataclass
from builder.base.where import Where
from builder.figures.ledger import Ledger
from builder.pages.blocks import Code, Fig, Inline, Link, Strong, Text
from builder.pages.languages.compose import Edition
from builder.pages.languages.findings import changed_from, known_texts, stale
from builder.pages.plain import Words
from builder.pages.translator import PaperTexts
from builder.pages.wording import IN_CONTEXT, plain
from builder.program.languages import ENGLISH
from builder.program.program import Program
from builder.program.translations import Translation, why_wrong

HEAD = """Texts of {site} in {language}.
Read each text beside its English. Where it is right, or after you have put it right, take its mark "fuzzy" away: that
says that you answer for it. Leave alone what stands in braces and between angle brackets: figures, names and links.
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One text with what it is in the language."""

    english: str
    """As it is looked up: with its context before it, where it has one."""
    says: str = ""
    read: str = ""
    """Who read it, and when; empty where nobody did."""
    was: str = ""
    """The English that ``says`` translates, where that is another by now."""
    places: tuple[Where, ...] = ()
    told: tuple[str, ...] = ()
    """Where it is printed, and what its marks stand for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Texts:
    """What is asked of a translator."""

    program: Program
    ledger: Ledger
    edition: Edition
    papers: tuple[PaperTexts, ...]
    pages: bool
    """Whether the site has pages in the language."""

    @property
    def own(self) -> Mapping[str, Translation]:
        """The site's translations of the language."""
        return self.program.translations.get(self.edition.language, {})

    def entries(self) -> tuple[Entry, ...]:
        """Every text once: what cards and sheets print, what the content says, what stands on pages."""
        places: dict[str, list[Where]] = {}
        told: dict[str, list[str]] = {}
        for paper in self.papers:
            if paper.language.value == self.edition.language:
                for text in paper.asked:
                    told.setdefault(text, []).append(f"on {paper.paper}")
        for given in self.program.localized if self.edition.language != ENGLISH else ():
            places.setdefault(given.value, []).append(given.where)
            told.setdefault(given.value, [])
        for text, page in self.edition.speech.asked.items() if self.pages else ():
            told.setdefault(text, []).append(f"on {page}")
        old = self._changed(told)
        return tuple(self._entry(text, old.get(text), places.get(text, ()), told[text]) for text in told)

    def _changed(self, wanted: Iterable[str]) -> Mapping[str, Translation]:
        """Text without translation -> the translation of what it was before."""
        free = [text for text in wanted if text not in self.edition.speech.texts]
        gone = stale(self.own, known_texts(self.program, self.edition))
        found = ((changed_from(one.of.value, free), one) for one in gone)
        return {text: one for text, one in found if text}

    def _entry(self, text: str, old: Translation | None, places: Iterable[Where], told: Iterable[str]) -> Entry:
        one = self.own.get(text)
        lines = (*dict.fromkeys(told), *_marks(text, self.edition, self.ledger))
        if one is None and old is not None:
            return Entry(english=text, says=old.says.value, was=old.of.value, places=tuple(places), told=lines)
        read = f"{one.by.value}, {one.on.value.isoformat()}" if one and one.by and one.on else ""
        says = self.edition.speech.texts.get(text, "")
        return Entry(english=text, says=says, read=read, places=tuple(places), told=lines)


def _marks(text: str, edition: Edition, ledger: Ledger) -> Iterator[str]:
    """What the marks of a text of pages stand for, where it was first asked for."""
    for number, part in enumerate(edition.speech.parts.get(text, ()), start=1):
        yield f"{number}: {_meant(part, ledger)}"


def _meant(part: Inline, ledger: Ledger) -> str:
    if isinstance(part, Fig):
        return f"{ledger[part.key].label}, {Words(ledger.figures).inline((part,))}"
    if isinstance(part, Link):
        return f"leads to {part.target}"
    if isinstance(part, Strong):
        return "set in bold"
    return f"“{part.text}”" if isinstance(part, (Text, Code)) else "another value"


# ---- out ------------------------------------------------------------------------------


def po_bytes(entries: Iterable[Entry], language: str, site: str, day: date) -> bytes:
    """The gettext file; its days are those of the build, so that the same content makes the same file."""
    from babel.messages.catalog import Catalog  # noqa: PLC0415 - loaded for other languages than English alone
    from babel.messages.pofile import write_po  # noqa: PLC0415 - as above

    when = datetime.combine(day, time(), UTC)
    catalog = Catalog(
        locale=language, project="detector-handbook", creation_date=when, revision_date=when, fuzzy=False,
        header_comment="".join(f"# {line}\n" for line in HEAD.format(site=site, language=language).splitlines()),
    )  # fmt: skip
    for entry in entries:
        context, _, text = entry.english.rpartition(IN_CONTEXT)
        catalog.add(
            text,
            entry.says,
            locations=[(where.file, where.line) for where in entry.places],
            flags=() if entry.read or not entry.says else ("fuzzy",),
            auto_comments=entry.told,
            user_comments=(f"read by {entry.read}",) if entry.read else (),
            previous_id=entry.was,
            context=context or None,
        )
    made = BytesIO()
    write_po(made, catalog, width=0, include_previous=True)
    return made.getvalue()


# ---- back -----------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """One text as it came back."""

    english: str
    says: str
    where: Where


def read_back(data: bytes, name: str, language: str) -> tuple[Said, ...]:
    """The texts of a file that somebody answers for: those with a translation that is not marked fuzzy.

    :raises ContentError: for a file that is no gettext file in UTF-8, of another language, or with a translation that
        cannot stand, each with its line; then none of it counts.
    """
    from babel.messages.pofile import PoFileError, read_po  # noqa: PLC0415 - loaded for other languages alone

    try:
        text = data.decode("utf-8-sig")
        catalog = read_po(BytesIO(text.encode()), abort_invalid=True)
    except UnicodeDecodeError:
        raise ContentError([Problem(Where(name, 1), "not in UTF-8", "a gettext file in UTF-8")]) from None
    except PoFileError as error:
        raise ContentError([Problem(Where(name, error.lineno), str(error), "a gettext file")]) from None
    except (ValueError, IndexError, LookupError) as error:
        raise ContentError([Problem(Where(name, 1), f"cannot be read: {error}", "a gettext file")]) from None
    if catalog.locale_identifier and catalog.locale_identifier != language:
        found = f"a file in {catalog.locale_identifier!r}"
        raise ContentError([Problem(Where(name, 1), found, f"one whose head says Language: {language}")])
    if not any(message.id for message in catalog):
        raise ContentError([Problem(Where(name, 1), "no text at all", "a gettext file")])
    made: list[Said] = []
    faults: list[Problem] = []
    for message in catalog:
        if not message.id or message.fuzzy or not isinstance(message.id, str) or not isinstance(message.string, str):
            continue
        if not message.string.strip():
            continue
        english = f"{message.context}{IN_CONTEXT}{message.id}" if message.context else message.id
        where = Where(name, message.lineno or 1)
        wrong = why_wrong(message.id, message.string, language)
        if wrong:
            faults.append(Problem(where, f"“{message.string}” for “{message.id}”: {wrong}", "what can stand for it"))
        made.append(Said(english=english, says=message.string, where=where))
    if faults:
        raise ContentError(faults)
    return tuple(made)


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """What a file that came back changes."""

    lines: tuple[tuple[str, str, str, str], ...]
    """English, translation, who read it and the day, of every text that ``translations`` then has."""
    new: int
    unknown: tuple[Said, ...]
    """Texts that the site does not print; they are kept, and count as changed since."""


def taken(texts: Texts, said: Iterable[Said], by: str, on: date, of_papers: Mapping[str, str]) -> Taken:
    """The site's translations with those that came back; what somebody read before and is the same keeps its reader.

    :param of_papers: those texts of cards and sheets that are the same for every site.
    :raises ContentError: for another wording of one of those.
    """
    kept = {
        english: (english, one.says.value, one.by.value if one.by else "", one.on.value.isoformat() if one.on else "")
        for english, one in texts.own.items()
    }
    known = known_texts(texts.program, texts.edition)
    faults, unknown, new = [], [], 0
    for one in said:
        if of_papers.get(one.english, one.says) != one.says:
            found = f"another wording for “{plain(one.english)}”, which the builder says on every card and sheet"
            faults.append(
                Problem(one.where, found, f"as it is, “{of_papers[one.english]}”; tell whoever keeps the builder")
            )
        if one.english not in known:
            unknown.append(one)
        before = kept.get(one.english)
        if before is None or before[1] != one.says or not before[2]:
            kept[one.english] = (one.english, one.says, by, on.isoformat())
            new += 1
    if faults:
        raise ContentError(faults)
    return Taken(lines=tuple(kept.values()), new=new, unknown=tuple(unknown))
