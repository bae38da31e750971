"""How many lines of a label there is room for, from the widths of its words.

No engine is asked, so that whoever reads a printed sheet again finds the same; what is set is measured all the same
(``labels.label_faults``).
"""

from collections.abc import Iterator, Mapping
from dataclasses import replace

from builder.base.record import dataclass
from builder.figures.figure import Figure
from builder.pages.blocks import Text
from builder.pages.fixed_words import ON_LABELS
from builder.pages.label_kinds import Label
from builder.pages.labels import LabelPages
from builder.pages.numbers import spoken_figures
from builder.pages.plain import Words
from builder.program.languages import is_right_to_left
from builder.render.arabic import text_width
from builder.render.qr import QrMark, undrawn_mark
from builder.render.shapes import MM_A_PT

SAFE_MM = 1.5
"""Nothing is printed nearer than this to the edge of a label: printers feed paper that inexactly."""
ASIDE_MM = 1.6
"""The same to the left and right."""
GAP_MM, NEXT_MM, BOX_MM = 0.6, 1.4, 4.4
"""Beside the square code; between id, serial and the word of a draft; height of the box for initials."""
SPARE_MM = 0.1
"""Left over at least: widths are added up without kerning."""
WORDS_LINE = 1.25
"""Line height of the state of what is not in use."""
NARROW_MM = 45
DAYS_PT = (14, 13, 12, 11, 10)
"""Sizes of the day, the largest first: it stands beside the code."""
BOLD, MEDIUM = 700, 600


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelType:
    """Sizes of type on labels, in points, and their line heights, over the size."""

    text: float
    latin: float
    """Of codes, ids and serials."""
    words: float
    """Of the state of what is not in use."""
    narrow: float = 12
    """Of the day at most, on labels narrower than ``NARROW_MM``."""
    head_line: float
    large_line: float
    line: float
    who_line: float
    top: float = SAFE_MM
    """Millimetres above."""
    below: float = 0
    """Millimetres by which letters of the last line reach below it."""


TYPES: Mapping[tuple[bool, bool], LabelType] = {
    (False, False): LabelType(text=7.2, latin=7.2, words=9.5, head_line=1.1, large_line=1.03, line=1.1, who_line=1.2),
    (False, True): LabelType(text=7.2, latin=7.2, words=8, head_line=1.03, large_line=1, line=1, who_line=1),
    (True, False): LabelType(
        text=9, latin=7.4, words=9.5, head_line=1.1, large_line=0.95, line=1.04, who_line=1.08, top=1.7, below=0.5
    ),
    (True, True): LabelType(
        text=9, latin=7.4, words=9, head_line=1.08, large_line=1, line=1, who_line=1, top=1.7, below=1.2, narrow=11
    ),
}
"""By right to left, and by whether labels are small. Letters of Arabic are lower than a Latin x, so they are larger."""


def type_of(pages: LabelPages) -> LabelType:
    """The type of the labels of a sheet."""
    return TYPES[is_right_to_left(pages.language), pages.grid.small]


def beside_width(label: Label, square: QrMark, pages: LabelPages) -> float:
    """Millimetres that the square code of a label takes with the code that stands below it."""
    below = 0 if pages.grid.small else text_width(label.code, type_of(pages).latin * MM_A_PT, MEDIUM)
    return round(max(square.size, below), 3)


def fitted_labels(pages: LabelPages, figures: Mapping[str, Figure]) -> LabelPages:
    """The same labels, each knowing which of its spare lines it has no room for."""
    if pages.day:
        return pages
    words, says = Words(spoken_figures(figures, pages.language)), pages.words
    most = type_of(pages).narrow if pages.grid.width < NARROW_MM else DAYS_PT[0]
    *sizes, least = (size for size in DAYS_PT if size <= most)
    pages = replace(pages, day=next((size for size in sizes if _stands(size, pages, words)), least))
    return replace(pages, labels=tuple(_fitted(label, pages, words, says) for label in pages.labels))


def _stands(size: float, pages: LabelPages, words: Words) -> bool:
    """Whether the day of every label stands beside its code."""
    days = ((_Room(pages, label).narrow, words.inline(label.large)) for label in pages.labels if not _worded(label))
    return all(text_width(day, size * MM_A_PT, BOLD) <= room for room, day in days)


def _fitted(label: Label, pages: LabelPages, words: Words, says: Mapping[str, str]) -> Label:
    """The label with its lines below each other, else running on, else with ever fewer of the spare ones."""
    for kept in range(len(label.spare), -1, -1):
        for runs_on in (pages.grid.small, True):
            lighter = replace(label, left_out=label.spare[kept:], runs_on=runs_on)
            if _fits(lighter, pages, words, says):
                return lighter
    return lighter


def _worded(label: Label) -> bool:
    """Whether its large line is the state of what is not in use."""
    return bool(label.large) and isinstance(label.large[0], Text)


def told(pages: LabelPages) -> Iterator[str]:
    """What the author is told of lines that were left out."""
    for name, count in pages.left_out.items():
        size = f"{pages.grid.width:g} × {pages.grid.height:g} mm"
        what = ON_LABELS[name].lower()
        yield f"labels on sheet {pages.name} ({pages.language}): {size} has no room for {what} on {count} of them"


def _fits(label: Label, pages: LabelPages, words: Words, says: Mapping[str, str]) -> bool:
    room = _Room(pages, label)
    room.text(label.head.upper(), room.type.text, BOLD, room.type.head_line)
    state = _worded(label)
    size, line = (room.type.words, WORDS_LINE) if state else (pages.day, room.type.large_line)
    room.text(words.inline(label.large), size, BOLD, line, whole=not state)
    lines = [words.inline(one) for one in label.printed]
    for one in (". ".join(lines),) if label.runs_on else lines:
        room.text(one, room.type.text, 400, room.type.line)
    return room.holds(label, says)


class _Room:
    """Sets lines from above, beside the square code and the box until they are below them."""

    def __init__(self, pages: LabelPages, label: Label) -> None:
        grid, kind = pages.grid, type_of(pages)
        self.type = kind
        self._small = grid.small
        self._wide = grid.width - 2 * ASIDE_MM
        self._end = grid.height - SAFE_MM - kind.top - kind.below - SPARE_MM
        mark = undrawn_mark(label.code if grid.small else label.page + label.code)
        self.narrow = self._wide - GAP_MM - beside_width(label, mark, pages)
        self._beside = mark.size + (0 if grid.small else kind.latin * MM_A_PT * 1.2) + (BOX_MM if label.signed else 0)
        self._at = 0.0

    def text(self, text: str, points: float, weight: int, line: float, *, whole: bool = False) -> None:
        """One text, broken at its spaces, or not at all."""
        if not text:
            return
        size = points * MM_A_PT
        rest = [text] if whole else text.split(" ")
        while rest:
            room = self.narrow if self._at < self._beside else self._wide
            count = next((n for n in range(len(rest), 0, -1) if _wide(rest[:n], size, weight) <= room), 0)
            if not count and room < self._wide:
                self._at = self._beside  # below the code there is more room
                continue
            rest = rest[count or 1 :]
            self._at += size * line

    def holds(self, label: Label, says: Mapping[str, str]) -> bool:
        """Whether the last line, with id, serial and the word of a draft, stays on the label."""
        latin, text = self.type.latin * MM_A_PT, self.type.text * MM_A_PT
        serial = text_width(label.serial, latin) + (0 if self._small else text_width(f"{says['serial']} ", text))
        draft = says["draft"] if self._small else f"{says['draft']}: {says['draft_means']}"
        parts = [text_width(label.name, latin, BOLD)]
        parts += [serial] if label.serial else []
        parts += [text_width(draft, text, BOLD)] if label.draft else []
        used, space = -1.0, text_width(" ", text)
        for after, part in enumerate(parts, start=1 - len(parts)):
            room = self.narrow if self._at < self._beside else self._wide
            wide = part + (NEXT_MM if after else 0)
            if used >= 0 and used + space + wide <= room:
                used += space + wide
                continue
            self._at += text * self.type.who_line if used >= 0 else 0
            used = wide
        return self._at + text * self.type.who_line <= self._end


def _wide(words: list[str], size: float, weight: int) -> float:
    return text_width(" ".join(words), size, weight)
