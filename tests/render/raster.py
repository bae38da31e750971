"""Pages as grey pixels, cut and compared: what a printer, scissors and an eye would do."""

from __future__ import annotations

import subprocess
from io import BytesIO

from PIL import Image, ImageChops, ImageFilter, ImageStat

DPI = 150
PX_A_MM = DPI / 25.4
DARK = 130
"""Marks are nearly black; the word behind drafts is pale."""


def rasters(pdf: bytes, dpi: int = DPI) -> list[Image.Image]:
    done = subprocess.run(["pdftoppm", "-gray", "-r", str(dpi), "-"], input=pdf, capture_output=True, check=True).stdout
    pages = []
    while done:
        head, width, height = done.split(maxsplit=3)[:3]
        start = done.index(b"255\n") + 4
        size = int(width) * int(height)
        assert head == b"P5"
        pages.append(Image.frombytes("L", (int(width), int(height)), done[start : start + size]))
        done = done[start + size :]
    return pages


def cut(sheet: Image.Image) -> list[list[Image.Image]]:
    """The rows of cards of a sheet, cut along its crop marks alone."""
    columns, rows = marks(sheet)
    return [
        [
            sheet.crop((round(x), round(y), round(right), round(bottom)))
            for x, right in zip(columns[::2], columns[1::2], strict=True)
        ]
        for y, bottom in zip(rows[::2], rows[1::2], strict=True)
    ]


def marks(sheet: Image.Image) -> tuple[list[float], list[float]]:
    """Where the crop marks of a sheet stand, across and down, in pixels: the first ink beside all cards is theirs."""
    top, tail = round(11.7 * PX_A_MM), sheet.height - round(11 * PX_A_MM)
    body = sheet.crop((0, top, sheet.width, tail)).point(lambda value: 255 if value < DARK else 0)
    edge, middle, half = round(8 * PX_A_MM), round(sheet.height / 2) - top, round(27 * PX_A_MM)
    for x in (0, sheet.width - edge):  # the upright bar stands at the edge, on a turned sheet at the other
        body.paste(0, (x, middle - half, x + edge, middle + half))
    left, first, _, _ = body.getbbox()
    depth = round(2 * PX_A_MM)
    columns = _middles(body.crop((0, first, body.width, first + depth)), across=True)
    rows = _middles(body.crop((left, 0, left + depth, body.height)), across=False)
    assert len(columns) % 2 == len(rows) % 2 == 0
    return columns, [top + y for y in rows]


def _middles(strip: Image.Image, *, across: bool) -> list[float]:
    """Where unbroken strokes stand in a strip; the broken ones are for folding."""
    turned = strip if across else strip.transpose(Image.Transpose.TRANSPOSE)
    dark = [x for x in range(turned.width) if all(turned.getpixel((x, y)) for y in range(1, turned.height - 1))]
    groups: list[list[int]] = []
    for at in dark:
        if groups and at - groups[-1][-1] <= 1:
            groups[-1].append(at)
        else:
            groups.append([at])
    return [sum(group) / len(group) + 0.5 for group in groups]


def unlike(one: Image.Image, other: Image.Image, block: int = 16, blur: float = 1.5) -> float:
    """The greatest mean difference of any square of pixels, 0 to 255; half a pixel of shift counts for little."""
    size = (min(one.width, other.width), min(one.height, other.height))
    assert abs(one.width - other.width) <= 2
    assert abs(one.height - other.height) <= 2
    soft = [image.crop((0, 0, *size)).filter(ImageFilter.GaussianBlur(blur)) for image in (one, other)]
    apart = ImageChops.difference(*soft)
    blocks = apart.resize((max(1, size[0] // block), max(1, size[1] // block)), Image.Resampling.BOX)
    return float(blocks.getextrema()[1])


def darkness(image: Image.Image) -> float:
    return 255 - ImageStat.Stat(image).mean[0]


def png(image: Image.Image) -> bytes:
    made = BytesIO()
    image.quantize(16).save(made, "PNG", optimize=True)
    return made.getvalue()
