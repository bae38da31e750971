"""Edits as people make them, drawn by chance from one seed: numbers, days, words, ids, lines, what was there before."""

from __future__ import annotations

import random
import re
from pathlib import Path

NUMBER = re.compile(r"(?<![\w.\"-])(\d{1,2})(\.\d)?(?= (?:%vol|%LEL|ppm|months|s|L|mL)\b)")
DAY = re.compile(r"\b(20\d\d-\d\d-)(\d\d)\b")
WORD = re.compile(r"(?<= )[a-z]{4,9}(?=[ .,])")
ENDINGS = "abcdefgh"
RENAMED = 0.05
"""Part of edits that give something another id in all files."""
WORDS = ("gently", "slowly", "again", "always", "outside", "upwind", "quietly", "twice")


class Edits:
    """Changes a content folder step by step; one seed gives the same steps each time."""

    def __init__(self, content: Path, seed: int) -> None:
        self._content = content
        self._chance = random.Random(seed)
        self._before: list[tuple[Path, str]] = []

    def one(self) -> str:
        """Make one edit and say what it was."""
        if self._before and self._chance.random() < 0.25:
            return self.undo(self._chance.randrange(len(self._before)))
        kinds = (
            (self._setpoint, "setpoints.yaml"),
            (self._word, "procedures/*.md"),
            (self._word, "pages/*.md"),
            (self._day, "inventory.yaml"),
            (self._number, "*.yaml"),
            (self._line, "*.yaml"),
        )
        if self._chance.random() < RENAMED:
            return self._rename()
        change, pattern = self._chance.choice(kinds)
        path = self._chance.choice(sorted(self._content.glob(pattern)))
        old = path.read_text(encoding="utf-8")
        new = change(old)
        self._before.append((path, old))
        path.write_text(new, encoding="utf-8")
        return f"{change.__name__.strip('_')} of {path.name}"

    def undo(self, number: int = -1) -> str:
        """Put a file back as it was before one of the edits."""
        path, text = self._before.pop(number)
        path.write_text(text, encoding="utf-8")
        return f"{path.name} as it was before"

    def _rename(self) -> str:
        """Another id for a unit, an area or a model, wherever it stands, also in what may come back."""
        home = self._content / self._chance.choice(("inventory.yaml", "areas.yaml", "models.yaml"))
        old = self._chance.choice(re.findall(r"\bid: ([\w-]+)", home.read_text(encoding="utf-8")))
        whole, new = re.compile(rf"(?<![\w-]){re.escape(old)}(?![\w-])"), f"{old}{self._chance.choice(ENDINGS)}"
        for path in sorted(self._content.rglob("*")):
            if path.suffix in (".yaml", ".md", ".csv"):
                path.write_text(whole.sub(new, path.read_text(encoding="utf-8")), encoding="utf-8")
        self._before = [(path, whole.sub(new, text)) for path, text in self._before]
        return f"{old} renamed {new}"

    def _some(self, pattern: re.Pattern[str], text: str, new: str) -> str:
        found = list(pattern.finditer(text))
        if not found:
            return text
        match = self._chance.choice(found)
        return text[: match.start()] + match.expand(new) + text[match.end() :]

    def _setpoint(self, text: str) -> str:
        return self._some(NUMBER, text, rf"\1.{self._chance.randrange(10)}")

    def _number(self, text: str) -> str:
        return self._some(NUMBER, text, str(self._chance.randrange(1, 40)))

    def _day(self, text: str) -> str:
        return self._some(DAY, text, rf"\g<1>{self._chance.randrange(1, 25):02}")

    def _word(self, text: str) -> str:
        head, mark, body = text.rpartition("---\n")
        return head + mark + self._some(WORD, body, self._chance.choice(WORDS))

    def _line(self, text: str) -> str:
        return f"# {self._chance.choice(WORDS)}\n{text}"
