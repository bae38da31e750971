from __future__ import annotations

import hashlib
import io
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from fontTools.ttLib import TTFont

from builder.base.errors import RenderError
from builder.render import webfonts
from builder.render.html import site_assets
from builder.render.templates import stylesheet

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def fonts():
    return webfonts.web_fonts()


def opened(data):
    return TTFont(io.BytesIO(data))


def test_the_shipped_fonts_are_the_cut_face_in_another_process_and_another_time_zone(fonts):
    """When it fails after a change that is meant: ``make fonts``."""
    script = (
        "import hashlib; from builder.render.webfonts import STYLES, cut_face; "
        "print({f'{style}.woff2': hashlib.sha256(cut_face(style)).hexdigest() for style in STYLES})"
    )
    environment = os.environ | {"PYTHONHASHSEED": "7", "TZ": "Asia/Tokyo", "SOURCE_DATE_EPOCH": "1"}
    run = subprocess.run(
        [sys.executable, "-c", script], cwd=ROOT, env=environment, capture_output=True, text=True, check=True
    )
    assert run.stdout.strip() == str({name: hashlib.sha256(data).hexdigest() for name, data in fonts.items()})


def test_fonts_hold_every_needed_character_and_are_small(fonts):
    assert set(fonts) == {"regular.woff2", "semibold.woff2", "italic.woff2"}
    for name, data in fonts.items():
        assert data[:4] == b"wOF2"
        assert len(data) < 32_000
        held = opened(data).getBestCmap()
        assert not [character for character in webfonts.NEEDED if ord(character) not in held], name
        assert ord("Ж") not in held


def test_thin_space_is_as_wide_as_the_no_break_one_and_figures_are_one_width(fonts):
    for data in fonts.values():
        font = opened(data)
        glyphs, widths = font.getBestCmap(), font["hmtx"]
        assert widths[glyphs[0x2009]] == widths[glyphs[0x202F]]
        assert widths[glyphs[0x2011]] == widths[glyphs[ord("-")]]
        assert len({widths[glyphs[ord(digit)]][0] for digit in "0123456789"}) == 1


def test_changed_fonts_carry_their_own_name_and_the_licence(fonts):
    for data in fonts.values():
        names = {record.nameID: str(record) for record in opened(data)["name"].names}
        assert "Source" not in names[1] + names[4] + names[6]
        assert names[1].startswith("Handbook Sans")
        assert "Copyright" in names[0]
        assert "Open Font License" in names[13]


def test_a_face_without_a_needed_character_is_refused(monkeypatch):
    monkeypatch.setattr(webfonts, "NEEDED", "aЖ\u2603")
    with pytest.raises(RenderError, match=r"U\+2603"):
        webfonts.cut_face("regular")


def test_a_font_that_is_not_there_is_no_traceback(monkeypatch, tmp_path):
    monkeypatch.setattr(webfonts, "templates_folder", lambda: tmp_path)
    with pytest.raises(RenderError, match=r"no font .*regular\.woff2"):
        webfonts.web_fonts()


def test_the_stylesheet_reads_only_the_fonts_the_site_ships():
    assets = site_assets()
    css = assets["assets/site.css"].decode()
    read = re.findall(r'url\("([^"]*)"\)', css)
    assert css.count("url(") == len(read) == 3
    files = {path for path in assets if not path.endswith((".css", ".js"))}
    assert {f"assets/{name}" for name in read} == files
    assert "@import" not in css
    assert "http" not in css


def luminance(colour):
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one, other):
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize("scheme", [0, 1], ids=["light", "dark"])
def test_words_stand_out_from_the_ground_and_from_the_watermark(scheme):
    tokens = {}
    for name, value in re.findall(r"--([a-z-]+): (#[0-9a-f]{6});", stylesheet("site.css")):
        tokens.setdefault(name, []).append(value)
    colour = {name: values[scheme] for name, values in tokens.items() if len(values) > scheme}
    for ground in ("ground", "watermark"):
        assert contrast(colour["ink"], colour[ground]) >= 12
        assert contrast(colour["ink-soft"], colour[ground]) >= 6
        assert contrast(colour["accent"], colour[ground]) >= 6
    assert 1.05 < contrast(colour["watermark"], colour["ground"]) < 1.4


@pytest.mark.parametrize(
    "needed", ["prefers-color-scheme: dark", "prefers-reduced-motion", ":focus-visible", "@media print"]
)
def test_the_stylesheet_serves_dark_rooms_keyboards_and_printers(needed):
    assert needed in stylesheet("site.css")
