"""What a forger does who can write everywhere: changes a thing in the site and its frozen copy, and mends all lists."""

from __future__ import annotations

import io

import pikepdf

from tests.release.release_kit import digests, overwrite


def mend(root):
    """Write lists of checksums anew, those of frozen revisions first."""
    for folder in (*sorted((root / "revisions").glob("*/")), root):
        kept = {path: digest for path, digest in digests(folder).items() if path != "SHA256SUMS"}
        lines = "".join(f"{kept[path]}  {path}\n" for path in sorted(kept))
        overwrite(folder / "SHA256SUMS", lines.encode())


def everywhere(root, path):
    """The file in the site and in every frozen copy."""
    return [folder / path for folder in (root, *(root / "revisions").glob("*/")) if (folder / path).is_file()]


def replace_text(root, path, before, after):
    """One text by another, once in each copy."""
    for file in everywhere(root, path):
        text = file.read_bytes().decode()
        assert before in text, (file, before)
        overwrite(file, text.replace(before, after, 1).encode())


def exchange(root, path, one, other):
    """Two texts of a file exchanged, in each copy."""
    for file in everywhere(root, path):
        text = file.read_bytes().decode()
        assert text.count(one) >= 1 and text.count(other) >= 1, (file, one, other)  # noqa: PT018 - both are needed
        mark = "\0"
        swapped = text.replace(one, mark, 1).replace(other, one, 1).replace(mark, other, 1)
        overwrite(file, swapped.encode())


def redraw(root, path, word, other):
    """One word of a PDF drawn as another of the same length, in each copy; its letters must be in the same face."""
    for file in everywhere(root, path):
        overwrite(file, redrawn(file.read_bytes(), word, other))


def redrawn(data, word, other):
    """The PDF with a word drawn as another: the codes of its glyphs are exchanged in the first line that has it."""
    with pikepdf.open(io.BytesIO(data)) as pdf:
        for drawing in (part for page in pdf.pages for part in (page, *_drawings(page))):
            steps, face, letters = [], {}, {}
            done = False
            for step in pikepdf.parse_content_stream(drawing):
                operands, name = list(step.operands), str(step.operator)
                if name == "Tf":
                    letters = _letters(drawing.Resources.Font[str(operands[0])])
                    face = {text: code for code, text in letters.items()}
                if name == "TJ" and not done:
                    codes = b"".join(bytes(part) for part in operands[0] if isinstance(part, pikepdf.String))
                    glyphs = [codes[at : at + 2] for at in range(0, len(codes), 2)]
                    text = "".join(letters.get(code, "?") for code in glyphs)
                    at = text.find(word)
                    if at >= 0 and len(text) == len(glyphs) and all(letter in face for letter in other):
                        glyphs[at : at + len(word)] = [face[letter] for letter in other]
                        operands = [pikepdf.Array([pikepdf.String(b"".join(glyphs))])]
                        done = True
                steps.append((operands, step.operator))
            if done:
                changed = pikepdf.unparse_content_stream(steps)
                if isinstance(drawing, pikepdf.Page):
                    drawing.Contents = pdf.make_stream(changed)
                else:
                    drawing.write(changed)
                made = io.BytesIO()
                pdf.save(made)
                return made.getvalue()
    raise AssertionError(f"no line could be drawn with {other!r} for {word!r}")


def _drawings(page):
    """The cards that are drawn on a sheet."""
    return [one for one in page.Resources.get("/XObject", {}).values() if "/StructParents" in one]


def _letters(font):
    import re

    table = font.ToUnicode.read_bytes()
    pairs = re.findall(rb"<([0-9a-f]{4})> <([0-9a-f]+)>", table)
    return {bytes.fromhex(a.decode()): bytes.fromhex(b.decode()).decode("utf-16-be") for a, b in pairs}
