"""What a site brings beside its plain lists, when it is hostile: refused with file, line and kind, or taken as a text.

Folders that are extended, templates, pictures, a plan, logs of stations, movements, maps, prices, translations. The
attacks are the usual ones on each form: the manual of the template language on its sandbox, SVG 1.1 on what loads or
runs, RFC 4180 on cells.
"""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest

from tests.trust.fuzz import answered, assert_told

OVERLAY = Path(__file__).parent.parent / "sites" / "overlay"
FRONT = "---\nfor: page\nid: x\ntitle: X\nsection: program\norder: 5\n---\n"
STATION = "station,time,what,inlet,lot,unit,result,software,note\n"
MOVED = "unit,from,to,state,holder,area,certificate,certificate-until,note\n"
MAP = "records:\n  - files: r.csv\n    columns: {unit: A, time: B, kind: C}\n"


def svg(inner, top='viewBox="0 0 10 10"'):
    return f'<svg xmlns="http://www.w3.org/2000/svg" {top}>{inner}</svg>'


def plan(inner):
    return svg(f"{inner}<rect id='pit' width='5' height='5'/>")


TEMPLATES = {
    "{% for a in areas %}" * 40 + "x" + "{% endfor %}" * 40: "too deep",
    "{{ " + "(" * 2000 + "1" + ")" * 2000 + " }}": "too deep",
    "{% if site %}" * 500 + "x" + "{% endif %}" * 500: "too deep",
    "{{ site.__class__.__mro__[1].__subclasses__() }}": "a call",
    "{{ 'a{0.__class__}'.format(site) }}": "a call",
    "{% for a in areas recursive %}{{ loop(areas) }}{% endfor %}": "a call",
    "{% for i in range(10**9) %}x{% endfor %}": "a call",
    "{{ areas|sort(attribute='__class__') }}": "a list or mapping",
    "{{ areas|length }} ppm": "a number that is no figure",
    "{% for a in gases %}" + "a" * 190_000 + "{% endfor %}": "more than 200000 characters",
    "{{ site.name }}" * 50_000: "[too-big]",
    "{{ site.name }}<img src=x onerror=alert(1)>": "raw HTML",
    "\u202eabc": "U+202E",
    "\x021\x03 a mark of our own": "",
    "{% for a in gases %}{% for b in gases %}{% for c in gases %}{{ a.id }}{% endfor %}{% endfor %}{% endfor %}": "",
}
PICTURES = {
    "": "[wrong-shape]",
    svg("<script>alert(1)</script>"): "an element 'script'",
    svg("<rect onload='x()'/>"): "an attribute 'onload'",
    svg("<foreignObject><b xmlns='http://www.w3.org/1999/xhtml'>x</b></foreignObject>"): "[picture]",
    svg("<image href='http://x.example/a.png'/>"): "an attribute 'href'",
    svg("<style>@import 'http://x.example';</style>"): "an element 'style'",
    svg("<rect fill='url(http://x.example/#a)'/>"): "for 'fill'",
    svg("<path d='javascript:alert(1)'/>"): "for 'd'",
    svg("<g>" * 5000 + "</g>" * 5000): "inside each other",
    "<!DOCTYPE svg [<!ENTITY a 'b'>]>" + svg("&a;"): "a document type",
    "<?xml-stylesheet href='http://x.example'?>" + svg(""): "",
    svg("<title>&lt;/title&gt;&lt;script&gt;alert(1)&lt;/script&gt;</title>"): "",
}
FILES = {
    "plan.svg": {
        plan("<a href='javascript:alert(1)'><rect/></a>"): "element <a>",
        plan("<rect style='fill:url(http://x.example)'/>"): "hides or loads",
        plan("<rect x='1e999' width='-5' height='nan'/>"): "[wrong-shape]",
        plan("<text font-size='4'>\u202eabc</text>"): "U+202E",
        plan("") * 2: "junk after document element",
        "<svg": "unclosed token",
    },
    "station-log/a.csv": {
        STATION + "x,2026-11-02T06:00Z,explode,,,,,,\n": "for 'what'",
        STATION + "x,2026-11-02T06:00Z,bottle,-1,T,,,,\n": "for 'inlet'",
        STATION + "x,2026-11-02T06:00Z,bottle,\uff12,T,,,,\n": "for 'inlet'",
        STATION + 'x,"2026-11-02T06:00Z,bottle\n': "never closed",
        STATION + "x," + "9" * 5000 + ",bottle,1,,,,,\n": "[time-form]",
        STATION + "a\0b,,,,,,,,\n": "U+0000",
        STATION + "=cmd|' /C calc'!A0,2026-11-02T06:00Z,bottle,2,T,,,,\n": "",
    },
    "movements/a.csv": {
        MOVED + "d-001,2026-01-12T07:00Z,2025-01-12T07:00Z,in-use,A,,,,\n": "[conflict]",
        MOVED + "d-001,,,in-use,A,,,,\n": "no from",
        MOVED + "d-001,2026-01-12T07:00Z,,flying,A,,,,\n": "for 'state'",
        MOVED + "d-001,2026-01-12T07:00Z,,in-use,A,nowhere,,,\n": "unknown area",
        MOVED + "d-001,9999-12-31T23:59Z,,in-use,A,,,,\n": "the year 9999",
        MOVED + "d-001,2026-01-12T07:00Z,,in-use,A,,c,2026-02-30,\n": "is no day",
    },
    "maps.yaml": {
        MAP.replace("r.csv", "'" + "*" * 60 + "a.csv'"): "[table-form]",
        MAP.replace("r.csv", "../../*.csv"): "[table-form]",
        MAP + "    time-format: '%n%t%%%z%Z%c'\n    zone: UTC\n": "time-format",
        MAP + "    zone: ../../../etc/passwd\n": "unknown zone",
        MAP + "    head-rows: -5\n": "for 'head-rows'",
        MAP + "    encoding: zip\n": "for 'encoding'",
        MAP + "    values: {kind: {use: {use: use}}}\n": "a collection",
        MAP + "    footers: '(a+)+$'\n": "for 'footers'",
        MAP.replace("B", "A"): "[stands-twice]",
    },
    "prices.yaml": {
        f"currency: USD\neach: {{o2-cell: {price}}}\n": said
        for price, said in {
            "-5": "[out-of-range]",
            "nan": "[number-form]",
            "1e400": "[number-form]",
            "9" * 5000: "'99999999",
            "'6,50'": "[number-form]",
            "\uff16": "[number-form]",
            "1_000": "[number-form]",
            "0x10": "[number-form]",
        }.items()
    },
    "translations/es.yaml": {
        "a: &x [*x]\n": "an alias that contains itself",
        '"Leave.": "\u202eX"\n': "U+202E",
        "a: {b: c}\n": "[conflict]",
    },
}


def tried(content, capsys, files, said):
    """Write files, judge, and take them away again."""
    for name, text in files.items():
        path = content / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8")
    status, told = answered(content, capsys)
    assert_told(status, told)
    assert (status, said in told) == (int(bool(said)), True), told[:400]


@pytest.mark.parametrize("name", FILES)
def test_a_hostile_file_is_refused_or_is_a_text(name, content, capsys):
    if name == "maps.yaml":
        (content / "records").mkdir(exist_ok=True)
        (content / "records" / "r.csv").write_text("A,B,C\nd-001,2026-01-01,use\n", encoding="utf-8")
    for text, said in FILES[name].items():
        tried(content, capsys, {name: text}, said)


def test_a_hostile_template_is_refused_or_writes_a_text(content, capsys):
    for body, said in TEMPLATES.items():
        tried(content, capsys, {"templates/x.md": FRONT + body}, said)


def test_a_hostile_picture_is_refused_or_only_draws(content, capsys):
    site = (content / "site.yaml").read_text(encoding="utf-8") + "look: {logo: logo.svg, logo-text: X}\n"
    for text, said in PICTURES.items():
        tried(content, capsys, {"site.yaml": site, "templates/logo.svg": text}, said)


# ---- folders that are extended ---------------------------------------------------

PATHS = ("/etc", "..", "../north", "../coast/../north", "../nowhere", "../company/site.yaml", "~", "https://a.example",
         "../" * 200 + "etc", "[../coast]", "{a: b}", "../co*st", "..\\coast", "%2e%2e/coast", "''")  # fmt: skip


@pytest.fixture
def north(tmp_path):
    shutil.copytree(OVERLAY, tmp_path / "sites")
    return tmp_path / "sites" / "north"


def test_what_is_no_folder_to_extend_is_refused(north, capsys):
    site = (north / "site.yaml").read_text(encoding="utf-8")
    for path in PATHS:
        tried(north, capsys, {"site.yaml": site.replace("../coast", path)}, "north/site.yaml:1: ")


def test_what_takes_away_too_much_is_refused(north, capsys):
    areas = (north / "areas.yaml").read_text(encoding="utf-8")
    for text in ("remove: all gone\n", "areas: none\n", "areas:\n  - {id: nowhere, remove: gone}\n"):
        tried(north, capsys, {"areas.yaml": text}, "[")
    company = north.parent / "coast" / "site.yaml"
    above = company.read_text(encoding="utf-8").replace("../company", "../north")
    tried(north, capsys, {"areas.yaml": areas, "../coast/site.yaml": above}, "[extended]")


@pytest.mark.parametrize("kind", ["link to elsewhere", "link to itself", "fifo"])
def test_a_folder_that_is_extended_leads_nowhere_else(kind, north, capsys):
    coast = north.parent / "coast"
    if kind == "fifo":
        (coast / "checks.yaml").unlink()
        os.mkfifo(coast / "checks.yaml")
    else:
        shutil.rmtree(coast)
        coast.symlink_to("/etc" if "elsewhere" in kind else coast)
    tried(north, capsys, {}, "[")
