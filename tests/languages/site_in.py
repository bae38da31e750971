"""The smallest site in further languages, and what the command says of it; its figures are remembered."""

from __future__ import annotations

import shutil
from pathlib import Path

from builder import pipeline
from builder.cli.main import run
from tests.conftest import DAY, MINIMAL
from tests.remembered import remembered_topics


def site_in(folder: Path, *languages: str, pages: bool = True) -> Path:
    """A copy of the smallest site that has these languages beside English, and pages in them."""
    content = folder / "content"
    shutil.copytree(MINIMAL, content)
    spoken = ", ".join(languages)
    asked = f"languages: [en, {spoken}]\n" + (f"pages-in: [{spoken}]\n" if pages else "")
    change(content / "site.yaml", "languages: [en]\n", asked)
    return content


def change(path: Path, old: str, new: str) -> None:
    """Put one text for another, which must be there."""
    text = path.read_text(encoding="utf-8")
    assert old in text, (path, old)
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def judged(content: Path):
    """The content judged on the day of the tests."""
    with remembered_topics():
        return pipeline.judge(content, DAY)


def handbook(*arguments: object) -> int:
    """Run the command on the day of the tests."""
    with remembered_topics():
        return run([*map(str, arguments), "--as-of", DAY.isoformat()])
