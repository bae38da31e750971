"""Texts that would be markup, script or a request if anything took them for that, put wherever a text may stand."""

from __future__ import annotations

import json
import re

from tests.trust.fuzz import answered, with_file

ELSEWHERE = "http://elsewhere.invalid"
"""No such host is ever to be had: RFC 6761, section 6.4."""
TEXTS = (
    "<script>window.hit=1;alert(1)</script>",
    '"><img src=x onerror="window.hit=1;alert(1)">',
    "' onmouseover='window.hit=1' autofocus onfocus='alert(1)",
    f"</title><script src={ELSEWHERE}/x.js></script>",
    "<svg onload=alert(1)><animate onbegin=alert(1) attributeName=x>",
    f'<style>@import "{ELSEWHERE}/x.css"</style>',
    f'<meta http-equiv=refresh content="0;url={ELSEWHERE}">',
    f"<link rel=stylesheet href={ELSEWHERE}/y.css>",
    f"<!--<iframe src={ELSEWHERE}></iframe>-->",
    "</script><script>window.hit=1</script>",
    "<a href=javascript:alert(1) id=hit>x</a>",
    "${alert(1)}{{constructor.constructor('alert(1)')()}}",
    "]]><script>window.hit=1</script>",
    "&lt;script&gt;window.hit=1&lt;/script&gt;",
    "\\u003cscript\\u003ewindow.hit=1\\u003c/script\\u003e",
    f"![x]({ELSEWHERE}/z.png) [x](javascript:alert(1))",
    "=HYPERLINK(0)",
    "<base href=//elsewhere.invalid/><form action=//elsewhere.invalid><input autofocus onfocus=alert(1)>",
)
VALUE = re.compile(r'(?<=: )("[^"\n]*"|[^\s{}\[\],#&*!|>"\'][^,{}\[\]\n#]*)')
KEY = re.compile(r"([\w-]+): $")


def filled(content, capsys, *, each_key_once):
    """Put such a text into every place of the content that takes it; how many were tried, and where one stays.

    :param each_key_once: whether one place of each key of a file stands for all of them.
    """
    tried, kept, number = 0, [], 0
    for path in sorted(content.rglob("*.yaml")):
        name = path.relative_to(content).as_posix()
        seen = set()
        at = 0
        while (place := VALUE.search(path.read_text(encoding="utf-8"), at)) is not None:
            text = path.read_text(encoding="utf-8")
            key = KEY.search(text[: place.start()])
            at = place.end()
            if key is None or (each_key_once and key[1] in seen):
                continue
            seen.add(key[1])
            wanted = json.dumps(TEXTS[number % len(TEXTS)], ensure_ascii=False)
            changed = text[: place.start()] + wanted + text[place.end() :]
            number, tried = number + 1, tried + 1
            with with_file(path, changed):
                status, told = answered(content, capsys)
            assert status in (0, 1), told
            assert "Traceback" not in told
            if status == 0:
                path.write_text(changed, encoding="utf-8")
                kept.append(f"{name}: {key[1]}")
                at = place.start() + len(wanted)
    return tried, kept


def prose_filled(content, capsys):
    """The same at the end of every page of prose, a paragraph each; where they stay."""
    kept = []
    for path in sorted(content.rglob("*.md")):
        for text in TEXTS:
            changed = path.read_text(encoding="utf-8") + f"\n\nSee: {text}\n"
            with with_file(path, changed):
                status, told = answered(content, capsys)
            assert status in (0, 1), told
            if status == 0:
                path.write_text(changed, encoding="utf-8")
                kept.append(f"{path.name}: {text}")
    return kept
