"""``handbook translate``."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from builder.base.errors import ContentError, UsageError
from builder.cli.options import FILE_THERE, FOLDER, as_of_option, content_option, day_of, quiet_option
from builder.cli.telling import progress, say, show_problems

if TYPE_CHECKING:
    from builder.pages.compositions import Card
    from builder.pages.languages.po import Texts


@click.command()
@click.argument("language", metavar="LANG")
@content_option
@as_of_option
@click.option("--out", type=FOLDER, default=Path(), help="Folder the two files are put in. Default: this one.")
@click.option(
    "--take",
    type=FILE_THERE,
    help="A file that came back: what in it is not marked fuzzy goes into translations/LANG.yaml.",
)
@click.option("--by", help="With --take: who read the texts and answers for them.")
@click.option("--on", metavar="DATE", callback=day_of, help="With --take: the day of it. Default: the day of --as-of.")
@quiet_option
def translate(
    language: str,
    content: Path,
    as_of: date,
    out: Path,
    take: Path | None,
    by: str | None,
    on: date | None,
    quiet: bool,
) -> int:
    r"""Write all texts of a site in LANG for who translates or reads them, and take them back.

    LANG.po is a gettext file, LANG.html the same side by side for printing, with a picture of
    each card beside its texts. A text that nobody is named to have read,
    or whose English changed, is marked fuzzy there; without that mark it is taken back as read. In the site's first
    language these are the builder's words on cards and sheets: what is written beside one is printed in its place.

    \b
    Examples:
      handbook translate es --out /tmp
      handbook translate es --take es.po --by "A. Person" --on 2026-12-01
    """
    from builder import pipeline  # noqa: PLC0415 - `--help` needs none of it

    if (take is None) != (by is None) or (on is not None and take is None):
        raise UsageError("--take and --by go together, and --on with them")
    try:
        with progress(quiet=quiet) as tell:
            judged = pipeline.judge(content, as_of, tell)
            known = [given.value for given in judged.program.site.languages]
            if language not in known:
                raise UsageError(f"no language {language!r} in site.yaml; allowed: {', '.join(known)}")
            texts = pipeline.translator_texts(judged, language)
        told = (
            _take(texts, content, take, by, on or as_of)
            if take and by
            else _write(texts, out, as_of, judged.papers.cards.papers)
        )
    except ContentError as error:
        show_problems(error, take.parent if take and error.problems[0].where.file == take.name else content)
        return 1
    for line in told if not quiet else ():
        say(line)
    return 0


def _write(texts: Texts, out: Path, as_of: date, cards: tuple[Card, ...]) -> list[str]:
    """Both files."""
    from builder.figures.figure import day_text  # noqa: PLC0415 - as above
    from builder.pages.languages.po import po_bytes, read_back  # noqa: PLC0415 - as above
    from builder.render.translation_sheet import card_pictures, translation_sheet  # noqa: PLC0415 - as above

    language, site = texts.edition.language, texts.program.site.name.value
    entries = texts.entries()
    out.mkdir(parents=True, exist_ok=True)
    catalogue, sheet = out / f"{language}.po", out / f"{language}.html"
    if catalogue.is_file():
        taken = {(english, one.says.value) for english, one in texts.program.translations.get(language, {}).items()}
        taken |= {(entry.english, entry.says) for entry in entries}
        back = read_back(catalogue.read_bytes(), catalogue.name, language)
        lost = sum((one.english, one.says) not in taken for one in back)
        if lost:
            raise UsageError(
                f"{catalogue} holds translations that the site has not ({lost}): take them back with --take, or move it"
            )
    catalogue.write_bytes(po_bytes(entries, language, site, as_of))
    pictures = card_pictures(cards, texts.ledger.figures, entries, language)
    sheet.write_text(translation_sheet(entries, language, site, day_text(as_of), pictures), encoding="utf-8")
    missing = sum(not entry.says for entry in entries)
    changed = sum(bool(entry.was) for entry in entries)
    read = sum(bool(entry.read) for entry in entries)
    counts = f"{len(entries)} texts: {read} read by somebody, {changed} whose English changed, {missing} not translated"
    return [counts, str(catalogue), str(sheet)]


def _take(texts: Texts, content: Path, take: Path, by: str, on: date) -> list[str]:
    """The file of the language, written anew with what came back."""
    from builder.pages.languages.po import read_back, taken  # noqa: PLC0415 - as above
    from builder.pages.translation_findings import SAME_EVERYWHERE, known_texts  # noqa: PLC0415 - as above
    from builder.program.translations import FOLDER  # noqa: PLC0415 - as above
    from builder.publish.translations_yaml import translations_yaml, write_whole  # noqa: PLC0415 - as above

    if not by.strip():
        raise UsageError("--by needs a name")
    language = texts.edition.language
    said = read_back(take.read_bytes(), take.name, language)
    fixed = {text: usual for text, usual in known_texts(language).items() if text in SAME_EVERYWHERE}
    found = taken(texts, said, by.strip(), on, fixed)
    path = content / FOLDER / f"{language}.yaml"
    before = path.read_text(encoding="utf-8") if path.is_file() else ""
    if found.new:
        write_whole(path, translations_yaml(found.lines, before).encode())
    unknown = [f"{one.where}: not printed by this site, kept all the same: “{one.english}”" for one in found.unknown]
    return [*unknown, f"{found.new} texts taken as read by {by.strip()} on {on.isoformat()}", str(path)]
