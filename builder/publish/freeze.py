"""The frozen copy of a release: everything that was published, the content it was made from, its own checksums."""

import re
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

from builder.base.errors import PublishError
from builder.base.plain_file import plain_bytes
from builder.history.edition import Edition
from builder.load.extended import KEPT, Folder, extended_folders
from builder.load.listing import passed_over
from builder.load.nodes import Entries, Items, Node, Scalar
from builder.load.overlay import inherited
from builder.load.yaml_lines import readable_yaml
from builder.program.revisions import Revision
from builder.publish import checksums
from builder.publish.existing_site import REVISIONS, files_below, some
from builder.publish.ledger_json import entry_of

SITE, PEOPLE = "site.yaml", "people.yaml"
PRIVATE = ("name", "assessed-by")
WITHHELD = "withheld"
COMMENT, QUOTE = re.compile(r"(^|\s)#.*"), re.compile("['\"]")
SPELLED = re.compile(r"""'(?:[^']|'')*'|"(?:[^"\\]|\\.)*"|[^,}\]]*?(?=\s*(?:,\s|[}\]]|$))|[^\n]*""")
"""A value on one line as it is spelled: in quotes, in braces, or to the end."""


def withheld(files: Mapping[str, bytes]) -> dict[str, bytes]:
    """The files of a content folder without names of people where the site does not say ``public: {people: true}``.

    Of a folder that extends others the nearest that says anything of people counts; its files stand first.
    Lines stay what they are, so that places told elsewhere hold. What was withheld once stays as it is.

    :raises PublishError: when a name is written in a way that cannot be taken out for sure.
    """
    sites = (data for path, data in files.items() if path.rpartition("/")[2] == SITE)
    if next(filter(None, map(_said_public, sites)), "") == "true":
        return dict(files)
    return {path: _unnamed(path, data) if path.rpartition("/")[2] == PEOPLE else data for path, data in files.items()}


def _unnamed(path: str, data: bytes) -> bytes:
    text = data.decode("utf-8-sig")
    lines = [line if QUOTE.search(line) else COMMENT.sub(r"\1", line) for line in text.split("\n")]
    for scalar in reversed(list(_private(_read(text)))):
        at, line = scalar.where.column - 1, scalar.where.line - 1
        spelled = _spelled(lines[line], at, scalar.text)
        lines[line] = lines[line][:at] + WITHHELD + lines[line][at + len(spelled) :]
    made = "\n".join(lines)
    if _texts(_read(made)) != _texts(_read(text), hide=True):
        raise PublishError(f"{path}: names cannot be left out of the frozen copy; write each on one line, in quotes")
    return made.encode()


def _read(text: str) -> Node | None:
    node, _ = readable_yaml(text, PEOPLE)
    return node


def _said_public(site: bytes) -> str:
    """What a file of a site says of people; empty where it says nothing."""
    node, _ = readable_yaml(site.decode("utf-8-sig", "replace"), SITE)
    public = node.get("public") if isinstance(node, Entries) else None
    people = public.get("people") if isinstance(public, Entries) else None
    return people.text if isinstance(people, Scalar) else ""


def _entries(node: Node | None) -> Iterator[tuple[Scalar, Node]]:
    people = node.get("people") if isinstance(node, Entries) else None
    for person in people.items if isinstance(people, Items) else ():
        yield from person.entries if isinstance(person, Entries) else ()


def _private(node: Node | None) -> Iterator[Scalar]:
    return (value for key, value in _entries(node) if key.text in PRIVATE and isinstance(value, Scalar))


def _spelled(line: str, at: int, text: str) -> str:
    """How a value is spelled that begins there; the value itself where it stands so."""
    if line.startswith(text, at) and line[at] not in "'\"":
        return text
    found = SPELLED.match(line, at)
    return found[0] if found else ""


def _texts(node: Node | None, *, hide: bool = False) -> list[tuple[str, int, str]]:
    """Key, line and value of everything in the list of people, nested values as they are."""
    return [
        (key.text, key.where.line, WITHHELD if hide and key.text in PRIVATE else _shown(value))
        for key, value in _entries(node)
    ]


def _shown(node: Node) -> str:
    if isinstance(node, Scalar):
        return node.text
    return repr([_shown(item) for item in node.items]) if isinstance(node, Items) else repr(node)


SNAPSHOT = "content/"
"""Where the content lies in a frozen copy."""


def snapshot(content: Path) -> dict[str, bytes]:
    """Every file of a content folder, and of those it extends, by its path below it.

    What is passed over in reading is left out, and so are names of people that are not public.

    :raises PublishError: when a file is a symbolic link that leads out of its folder.
    :raises ContentError: when it cannot be told what is extended.
    """
    made: dict[str, bytes] = {}
    for folder in (Folder(content), *extended_folders(content)):
        made |= {folder.copy + name: data for name, data in _files(folder)}
    return withheld(made)


def _files(folder: Folder) -> Iterator[tuple[str, bytes]]:
    root = folder.path.resolve()
    for name in files_below(folder.path):
        if any(map(passed_over, name.split("/"))):
            continue
        first = name.partition("/")[0]
        if first == KEPT or (folder.name and not inherited(first)):
            continue
        path = folder.path / name
        if not path.resolve().is_relative_to(root):
            raise PublishError(f"{path} leads out of the content folder; a release keeps a copy of all it is made from")
        yield name, plain_bytes(path)


def signers(content: Path) -> dict[str, bytes]:
    """The list of trusted signers, where the content has one."""
    path = content / checksums.SIGNERS
    return {checksums.SIGNERS: path.read_bytes()} if path.is_file() else {}


def frozen_copy(number: int, files: Mapping[str, bytes], content: Mapping[str, bytes]) -> dict[str, bytes]:
    """Path in the site -> bytes of revision ``number``: its site, its content, and the checksums of both."""
    whole = {**files, **{SNAPSHOT + name: data for name, data in content.items()}}
    whole[checksums.NAME] = checksums.write_sums({path: checksums.digest(data) for path, data in whole.items()})
    return {f"{REVISIONS}{number}/{path}": data for path, data in whole.items()}


def refuse_other_bytes(out: Path, number: int, files: Mapping[str, bytes]) -> None:
    """Stop when revision ``number`` was released already with other bytes.

    :param files: path in the site -> bytes of everything that is to be published.
    :raises PublishError: naming what differs.
    """
    folder = out / f"{REVISIONS}{number}"
    if not folder.is_dir():
        return
    prefix = f"{REVISIONS}{number}/"
    frozen = {path: data for path, data in files.items() if path.startswith(prefix)}
    standing = {prefix + path for path in files_below(folder)}
    differ = [
        path.removeprefix(prefix)
        for path in sorted(standing | set(frozen))
        if path not in standing or path not in frozen or plain_bytes(out / path) != frozen[path]
    ]
    if differ:
        raise PublishError(
            f"revision {number} is released and would become another: {some(differ)}; nothing was changed. "
            f"Release the next number, or put the content back as it stands in {prefix}{SNAPSHOT}"
        )


def refuse_other_entries(released: Mapping[int, Edition], revisions: Iterable[Revision]) -> None:
    """Stop when the site holds a release that the content does not tell of, or tells otherwise of.

    :raises PublishError: naming the file to put back.
    """
    known = {revision.number.value: revision for revision in revisions}
    for number, edition in released.items():
        name = f"revisions/{number}.yaml"
        back = f"copy {REVISIONS}{number}/{SNAPSHOT}{name} of the site there, or build elsewhere"
        if number not in known:
            raise PublishError(f"the site holds revision {number}, but content has no {name}: {back}")
        differ = [key for key, value in entry_of(known[number]).items() if getattr(edition.about, key) != value]
        if differ:
            told = ", ".join(differ).replace("_", "-")
            raise PublishError(f"{name} tells otherwise of revision {number} than its release ({told}): {back}")
