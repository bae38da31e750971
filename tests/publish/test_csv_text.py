"""Tables that open as they are and run nothing; what starts a formula is from OWASP, "CSV Injection"."""

from __future__ import annotations

import csv
import io

import pytest

from builder.publish.csv_text import csv_bytes, safe_cell
from tests.each import each

STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")


def read(data: bytes, delimiter: str = ",") -> list[list[str]]:
    return list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline=""), delimiter=delimiter))


@each("start", STARTS)
@each("rest", ["cmd|' /C calc'!A0", "SUM(A1:A9)", "1+1", 'HYPERLINK("x")', ""])
def test_a_cell_that_would_run_gets_an_apostrophe_and_loses_nothing(start, rest):
    for text in (start + rest, f"  {start}{rest}"):
        made = safe_cell(text)
        assert made.startswith("'")
        assert made.replace("'", "") == text.replace("'", "")


@each("number", ["-20", "+5", "-0.5", "17", "0"])
def test_numbers_stay_numbers(number):
    assert safe_cell(number) == number


@each("text", ["-20 °C", "-1-1", "+1e5", "-", "=2", "-.5"])
def test_what_only_looks_like_a_number_does_not(text):
    assert safe_cell(text) == f"'{text}"


@each("text", ["d-001", "a = b", "5 %LEL", "mail@example", "\N{MINUS SIGN}20", "x+y", "", " "])
def test_plain_text_stays_as_it_is(text):
    assert safe_cell(text) == text


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
@pytest.mark.parametrize("text", ["a;=1+1", "a;\t=1", "a\t@x", 'a";=1', "a;'=1", "one\n=two", "a\r\n+1", 'a; "=1'])
def test_a_formula_behind_another_delimiter_does_not_run_either(delimiter, text):
    for row in read(csv_bytes(("x", "y"), [(text, "plain")]), delimiter):
        for cell in row:
            for line in cell.splitlines() or [""]:
                shown = line.strip(' "')
                assert not shown.startswith(("=", "+", "-", "@")), (delimiter, row)


def test_the_bytes_are_rfc_4180_with_a_mark():
    data = csv_bytes(("a", "b"), [('say "no"', "one,two"), ("three\nlines", "µ₂°")])
    assert data.startswith(b"\xef\xbb\xbf")
    assert data.decode("utf-8-sig") == '"a","b"\r\n"say ""no""","one,two"\r\n"three\nlines","µ₂°"\r\n'
    assert read(data) == [["a", "b"], ['say "no"', "one,two"], ["three\nlines", "µ₂°"]]
