"""``translations/LANG.yaml`` as text: each value is a JSON string, so that nothing in it can be anything else."""

import json
from collections.abc import Iterable
from pathlib import Path

HEAD = """\
# Texts in another language. Written by `handbook translate LANG --take`; a text may be put right by hand as well.
# of: the English as it stood; says: the translation; by, on: who read it and when, both left out while nobody did.
"""


def translations_yaml(lines: Iterable[tuple[str, str, str, str]], before: str = "") -> str:
    """The file.

    :param lines: English, translation, who read it, and the day; the last two empty while nobody did.
    :param before: the file as it stands, whose first lines of comment are kept.
    """
    head = before.splitlines(keepends=True)
    count = next((number for number, line in enumerate(head) if not line.startswith("#")), len(head))
    made = ["".join(head[:count]) or HEAD, "texts:\n"]
    for english, says, by, on in lines:
        made.append(f"  - of: {_text(english)}\n    says: {_text(says)}\n")
        made.append(f"    by: {_text(by)}\n    on: {on}\n" if by else "")
    return "".join(made)


def _text(text: str) -> str:
    """A double-quoted scalar; YAML reads JSON strings as what they are."""
    return json.dumps(text, ensure_ascii=False).replace("\x85", "\\N").replace("\u2028", "\\L").replace("\u2029", "\\P")


def write_whole(path: Path, data: bytes) -> None:
    """Put a file in place at once, or leave what was there, as on a full disk."""
    path.parent.mkdir(parents=True, exist_ok=True)
    beside = path.with_name(f".{path.name}.new")
    try:
        beside.write_bytes(data)
        beside.replace(path)
    except OSError:
        beside.unlink(missing_ok=True)
        raise
