"""What the engine may read, what it may not swallow, and which glyphs it may use."""

from __future__ import annotations

import builtins
import logging
import socket

import pytest
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont

from builder.base.errors import RenderError
from builder.render.fonts import FACES, face_for, face_path, font_face_css, x_height_ratio
from builder.render.pdf import PdfEngine, preload

PICTURE = '<svg xmlns="http://www.w3.org/2000/svg" width="10" height="10"><rect width="9" height="9"/></svg>'
FAMILY_CSS = 'html { font-family: "Handbook Sans" }'


@pytest.fixture
def no_network(monkeypatch):
    def refuse(*_args, **_kwargs):
        pytest.fail("the engine opened a connection")

    monkeypatch.setattr(socket.socket, "connect", refuse)
    monkeypatch.setattr(socket, "getaddrinfo", refuse)


@pytest.fixture
def folders(tmp_path):
    allowed, outside = tmp_path / "allowed", tmp_path / "outside"
    allowed.mkdir()
    outside.mkdir()
    (allowed / "good.svg").write_text(PICTURE)
    (outside / "secret.svg").write_text(PICTURE)
    (outside / "secret.css").write_text("p { color: red }")
    (allowed / "link.svg").symlink_to(outside / "secret.svg")
    return allowed, outside


def pdf(engine: PdfEngine, body: str, css: str = "") -> bytes:
    html = f'<html lang="en"><head><title>t</title></head><body>{body}</body></html>'
    return engine.write(engine.document(html, (FAMILY_CSS, css)), "t", "en")


def test_a_file_under_an_allowed_root_is_read(folders):
    allowed, _ = folders
    with PdfEngine((allowed,)) as engine:
        plain = pdf(engine, "<p>x</p>")
        pictured = pdf(engine, f'<p>x</p><img alt="a" src="{(allowed / "good.svg").as_uri()}">')
    assert len(pictured) > len(plain)


HOSTILE = {
    "http": ('<img alt="a" src="http://192.0.2.1/x.svg">', ""),
    "https in css": ("<p>x</p>", "p { background: url(https://192.0.2.1/x.svg) }"),
    "ftp": ('<img alt="a" src="ftp://192.0.2.1/x.svg">', ""),
    "file outside": ('<img alt="a" src="{outside}/secret.svg">', ""),
    "dots": ('<img alt="a" src="{allowed}/../outside/secret.svg">', ""),
    "escaped dots": ('<img alt="a" src="{allowed}/%2e%2e/outside/secret.svg">', ""),
    "other host": ('<img alt="a" src="file://192.0.2.1/etc/passwd">', ""),
    "symlink": ('<img alt="a" src="{allowed}/link.svg">', ""),
    "import": ("<p>x</p>", '@import "{outside}/secret.css";'),
    "linked style": ('<link rel="stylesheet" href="{outside}/secret.css"><p>x</p>', ""),
    "attachment": ('<a rel="attachment" href="{outside}/secret.svg">x</a>', ""),
    "picture in picture": (
        '<svg xmlns="http://www.w3.org/2000/svg"><image href="{outside}/secret.svg" width="9" height="9"/></svg>',
        "",
    ),
    "base": ('<base href="{outside}/"><img alt="a" src="secret.svg">', ""),
    "font": ("<p>x</p>", '@font-face {{ font-family: F; src: url("{outside}/secret.svg") }}'),
}


@pytest.mark.usefixtures("no_network")
@pytest.mark.parametrize("case", list(HOSTILE))
def test_hostile_addresses_read_nothing(case, folders):
    allowed, outside = (folder.as_uri() for folder in folders)
    body, css = (part.replace("{allowed}", allowed).replace("{outside}", outside) for part in HOSTILE[case])
    with PdfEngine((folders[0],)) as engine, pytest.raises(RenderError, match=r"refused to read|Failed to render SVG"):
        pdf(engine, body, css.replace("{{", "{").replace("}}", "}"))


@pytest.mark.parametrize(
    ("body", "css", "complaint"),
    [
        ("<p>x</p>", "p { colour: red }", "unknown property"),
        ('<img alt="a" src="relative.svg">', "", "Relative URI"),
        ('<img src="data:image/svg+xml,<svg xmlns=%22http://www.w3.org/2000/svg%22/>">', "", "alt"),
    ],
)
def test_what_the_engine_only_logs_is_an_error(body, css, complaint):
    logging.getLogger("weasyprint").setLevel(logging.CRITICAL)
    try:
        with PdfEngine() as engine, pytest.raises(RenderError, match=complaint):
            pdf(engine, body, css)
    finally:
        logging.getLogger("weasyprint").setLevel(logging.NOTSET)


@pytest.mark.parametrize(("text", "named"), [("stop ⚠ now", "⚠"), ("氧气", "氧")])
def test_a_letter_the_face_lacks_is_an_error_that_names_it(text, named):
    with PdfEngine() as engine, pytest.raises(RenderError, match=named):
        pdf(engine, f"<p>{text}</p>")


def test_another_family_is_an_error():
    with PdfEngine() as engine, pytest.raises(RenderError, match="would have been used"):
        pdf(engine, '<p style="font-family: monospace">x</p>')


def test_the_x_height_agrees_with_the_drawn_letter():
    for face in FACES:
        with TTFont(face_path(face)) as font:
            glyphs = font.getGlyphSet()
            pen = BoundsPen(glyphs)
            glyphs[font.getBestCmap()[ord("x")]].draw(pen)
            drawn = pen.bounds[3] / font["head"].unitsPerEm
        assert x_height_ratio(face) == pytest.approx(drawn, abs=0.002)


def test_each_face_has_its_rule_and_weights_go_to_the_nearest():
    assert font_face_css().count("@font-face") == len(FACES) == 4
    assert [face_for(weight).weight for weight in (400, 500, 600, 700, 900)] == [400, 400, 600, 700, 700]
    assert face_for(400, italic=True).file == "SourceSansPro-It.ttf"


def test_a_system_without_the_engines_libraries_is_told_their_packages(monkeypatch):
    def without(name, *more):
        if name == "weasyprint":
            raise OSError("cannot load library 'libgobject-2.0-0'")
        return usual(name, *more)

    usual = builtins.__import__
    monkeypatch.setattr("builtins.__import__", without)
    with pytest.raises(RenderError, match=r"lacks a library .*'libgobject-2\.0-0'.*apt install libpango-1\.0-0 "):
        preload()
