"""Chapters that were laid out by themselves, joined to one PDF that keeps tags, links, bookmarks and numbers of pages.

Only this module knows the library that joins (pikepdf). The bytes it makes are decided by what it is given.
"""

from collections.abc import Iterator, Mapping, Sequence
from io import BytesIO
from itertools import pairwise
from typing import Any, Final

import pikepdf

from builder.base.errors import RenderError
from builder.render.binding import ELSEWHERE, Chapter

FRAMES: Final = ("FrameRight", "FrameLeft")
MARKS: Final = ("BDC", "BMC", "EMC", "DP", "MP")
"""Operators of a page that tie its parts to its tags."""


def join(chapters: Sequence[Chapter], frames: bytes, titles: Mapping[str, str], whole: str) -> bytes:
    """One PDF, as ``binding.joined`` has it.

    :raises RenderError: when a link leads to a place that no chapter has.
    """
    with pikepdf.Pdf.open(BytesIO(chapters[0].pdf)) as book, pikepdf.Pdf.open(BytesIO(frames)) as drawn:
        _Joining(book, chapters, drawn).join(titles, whole)
        made = BytesIO()
        book.save(made, deterministic_id=True, object_stream_mode=pikepdf.ObjectStreamMode.generate)
    return made.getvalue()


class _Joining:
    """The book while it is made; its first chapter is there already."""

    def __init__(self, book: pikepdf.Pdf, chapters: Sequence[Chapter], frames: pikepdf.Pdf) -> None:
        self._book, self._chapters, self._frames = book, chapters, frames
        self._places: dict[str, pikepdf.Object] = {}
        self._parents = pikepdf.Array()
        self._next = 0
        self._labels = pikepdf.Array()
        self._sides: dict[int, list[pikepdf.Object]] = {}

    def join(self, titles: Mapping[str, str], whole: str) -> None:
        """Take every chapter in, then what stands once for the whole."""
        root = self._book.Root
        document = root.StructTreeRoot.K[0]
        bookmarks: list[pikepdf.Object] = []
        for at, chapter in enumerate(self._chapters):
            if at:
                with pikepdf.Pdf.open(BytesIO(chapter.pdf)) as source:
                    catalog = self._taken(source)
                    for element in catalog.Tags.K[0].K:
                        element.P = document
                        document.K.append(element)
                    self._take_in(catalog, at)
            else:
                self._take_in(_catalog(root, list(self._book.pages)), at)
            if chapter.goes_on:
                _hang(bookmarks[-1], [*_siblings(bookmarks[-1].get("/First")), *self._outlines])
            else:
                bookmarks += self._outlines
        root.StructTreeRoot.ParentTree = self._book.make_indirect(pikepdf.Dictionary(Nums=self._parents))
        root.StructTreeRoot.ParentTreeNextKey = self._next
        root.PageLabels = self._book.make_indirect(pikepdf.Dictionary(Nums=self._labels))
        self._name_places(root)
        self._bind_bookmarks(root, bookmarks)
        self._lead_links(titles, whole)

    def _taken(self, source: pikepdf.Pdf) -> pikepdf.Object:
        """The pages of another chapter, and of its catalogue what the book keeps."""
        first = len(self._book.pages)
        for page in source.pages:
            self._book.pages.append(page)
        kept = source.make_indirect(_catalog(source.Root, []))
        catalog = self._book.copy_foreign(kept)
        catalog.Own = pikepdf.Array([page.obj for page in list(self._book.pages)[first:]])
        return catalog

    def _take_in(self, catalog: pikepdf.Object, at: int) -> None:
        """Number, frame and name what a chapter has."""
        pages = [pikepdf.Page(page) for page in catalog.Own]
        first = len(self._book.pages) - len(pages)
        chapter, after = self._chapters[at], self._chapters[at + 1 : at + 2]
        last = chapter.first - 1 + len(pages)
        for _ in range(last, after[0].first - 1 if after and after[0].goes_on else last + last % 2):
            box = pages[-1].mediabox
            self._book.add_blank_page(page_size=(float(box[2]), float(box[3])))
            pages.append(self._book.pages[-1])
        if not chapter.goes_on:
            self._labels.append(first)
            style = pikepdf.Name.r if chapter.roman else pikepdf.Name.D
            self._labels.append(pikepdf.Dictionary(P=pikepdf.String(chapter.label), S=style, St=1))
        self._shift_tags(catalog.Tags.ParentTree.Nums, pages)
        self._name_heads(catalog.Tags.K[0], at)
        self._frame(pages, first, sum(not one.goes_on for one in self._chapters[: at + 1]) - 1)
        dests = catalog.Places
        for name, place in zip(list(dests)[::2], list(dests)[1::2], strict=True):
            if str(name) in self._places:
                raise RenderError(f"joining: the place {str(name)!r} stands in two chapters")
            self._places[str(name)] = place
        self._outlines = list(_siblings(catalog.Marks.get("/First")))

    def _shift_tags(self, nums: pikepdf.Object, pages: Sequence[pikepdf.Page]) -> None:
        """Numbers by which pages and links find their tags, moved behind those of the chapters before."""
        items = list(nums)
        for key, tags in zip(items[::2], items[1::2], strict=True):
            self._parents.append(int(key) + self._next)
            self._parents.append(tags)
        for page in pages:
            if "/StructParents" in page.obj:
                page.obj.StructParents = int(page.obj.StructParents) + self._next
            for note in page.obj.get("/Annots", ()):
                if "/StructParent" in note:
                    note.StructParent = int(note.StructParent) + self._next
        self._next += max((int(key) for key in items[::2]), default=-1) + 1

    @staticmethod
    def _name_heads(element: pikepdf.Object, at: int) -> None:
        """Names of header cells made different from those of other chapters."""
        waiting = [element]
        while waiting:
            node = waiting.pop()
            if not isinstance(node, pikepdf.Dictionary):
                continue
            if "/ID" in node:
                node.ID = pikepdf.String(f"{at}-{node.ID}")
            if "/A" in node and "/Headers" in node.A:
                node.A.Headers = pikepdf.Array([pikepdf.String(f"{at}-{head}") for head in node.A.Headers])
            kids = node.get("/K")
            waiting += list(kids) if isinstance(kids, pikepdf.Array) else []

    def _frame(self, pages: Sequence[pikepdf.Page], first: int, at: int) -> None:
        """Draw what stands around the text of a chapter under each of some pages."""
        sides = self._sides.setdefault(at, [])
        sides += [] if sides else [self._book.copy_foreign(_without_tags(self._frames, 2 * at + n)) for n in (0, 1)]
        for number, page in enumerate(pages, start=first):
            name = page.add_resource(sides[number % 2], pikepdf.Name.XObject, pikepdf.Name(f"/{FRAMES[number % 2]}"))
            drawn = f"/Artifact <</Type /Pagination>> BDC q {name} Do Q EMC\n".encode()
            page.contents_add(drawn, prepend=True)

    def _name_places(self, root: pikepdf.Object) -> None:
        named = pikepdf.Array()
        for name in sorted(self._places, key=lambda name: name.encode()):
            named.extend([pikepdf.String(name), self._places[name]])
        root.Names = self._book.make_indirect(pikepdf.Dictionary(Dests=pikepdf.Dictionary(Names=named)))

    def _bind_bookmarks(self, root: pikepdf.Object, marks: Sequence[pikepdf.Object]) -> None:
        if not marks:
            return
        root.Outlines = self._book.make_indirect(pikepdf.Dictionary())
        _hang(root.Outlines, marks)

    def _lead_links(self, titles: Mapping[str, str], whole: str) -> None:
        """Turn what the engine took for addresses into links inside the book, and name all of them in words."""
        for page in self._book.pages:
            for note in page.obj.get("/Annots", ()):
                address = str(note.A.get("/URI", "")) if "/A" in note else ""
                if address and not address.startswith(ELSEWHERE):
                    continue
                name = address.removeprefix(ELSEWHERE) or str(note.Dest)
                note.Contents = pikepdf.String(titles[name.partition("--")[0]])
                if address and name in self._places:
                    del note.A
                    note.Dest = pikepdf.String(name)
                elif address:
                    note.A = _into(whole, name)


def _into(whole: str, name: str) -> pikepdf.Dictionary:
    """What leads to a place in the file of the whole book."""
    if not whole:
        raise RenderError(f"joining: no chapter has the place {name!r}")
    file = pikepdf.Dictionary(Type=pikepdf.Name.Filespec, F=pikepdf.String(whole), UF=pikepdf.String(whole))
    return pikepdf.Dictionary(Type=pikepdf.Name.Action, S=pikepdf.Name.GoToR, F=file, D=pikepdf.String(name))


def _catalog(root: pikepdf.Object, pages: Sequence[pikepdf.Page]) -> pikepdf.Dictionary:
    """What a book keeps of a chapter."""
    dests = root.Names.Dests.Names if "/Names" in root and "/Dests" in root.Names else pikepdf.Array()
    return pikepdf.Dictionary(
        Tags=root.StructTreeRoot,
        Places=dests,
        Marks=root.get("/Outlines", pikepdf.Dictionary()),
        Own=pikepdf.Array([page.obj for page in pages]),
    )


def _count(marks: Sequence[pikepdf.Object]) -> int:
    """How many bookmarks are to be seen when all are open."""
    return len(marks) + sum(max(0, int(mark.get("/Count", 0))) for mark in marks)


def _hang(top: pikepdf.Object, marks: Sequence[pikepdf.Object]) -> None:
    """Put bookmarks below another one, or below the root of all."""
    top.First, top.Last, top.Count = marks[0], marks[-1], _count(marks)
    for mark in marks:
        mark.Parent = top
    for one, other in pairwise(marks):
        one.Next, other.Prev = other, one


def _siblings(first: pikepdf.Object | None) -> Iterator[pikepdf.Object]:
    while first is not None:
        after = first.get("/Next")
        for name in ("/Prev", "/Next"):
            if name in first:
                del first[name]
        yield first
        first = after


def _without_tags(source: pikepdf.Pdf, number: int) -> pikepdf.Object:
    """A page as a picture without tags of its own."""
    page = source.pages[number]
    kept: list[Any] = [
        pikepdf.ContentStreamInstruction(part.operands, part.operator)
        for part in pikepdf.parse_content_stream(page)
        if part.operator not in {pikepdf.Operator(mark) for mark in MARKS}
    ]
    page.contents_coalesce()
    page.Contents = source.make_stream(pikepdf.unparse_content_stream(kept))
    return page.as_form_xobject()
