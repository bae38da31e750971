"""The preview's server: for this machine alone, nothing outside its folder, and pages that follow the build."""

from __future__ import annotations

import http.client
import threading

import pytest

from builder.preview.server import OWN, serving

PAGE = (
    '<!DOCTYPE html><html><head><meta http-equiv="Content-Security-Policy" content="default-src &#39;none&#39;">'
    "</head><body>here</body></html>"
)


@pytest.fixture
def site(tmp_path):
    folder = tmp_path / "site"
    (folder / "areas").mkdir(parents=True)
    (folder / "index.html").write_text(PAGE, encoding="utf-8")
    (folder / "areas" / "index.html").write_text(PAGE, encoding="utf-8")
    (folder / "figures.json").write_text("{}", encoding="utf-8")
    (tmp_path / "secret.html").write_text("secret", encoding="utf-8")
    return folder


@pytest.fixture
def ask(site):
    server = serving(site, lambda: b'{"site": 3}', 0)
    serve = threading.Thread(target=server.serve_forever, args=(0.01,), daemon=True)  # how often it looks for its end
    serve.start()

    def asked(path, host="localhost", method="GET"):
        there = http.client.HTTPConnection("127.0.0.1", server.server_port, timeout=10)
        there.putrequest(method, path, skip_host=True)
        there.putheader("Host", f"{host}:{server.server_port}")
        there.endheaders()
        answer = there.getresponse()
        return answer, answer.read().decode()

    yield asked
    server.shutdown()
    server.server_close()


@pytest.mark.parametrize("path", ["/", "/index.html", "/areas/", "/areas/index.html?x=1"])
def test_pages_bring_the_script_that_keeps_them_fresh(ask, path):
    answer, text = ask(path)
    assert answer.status == 200
    assert f'<script src="{OWN}fresh.js" defer></script></head>' in text
    assert "content=\"default-src &#39;none&#39;; connect-src 'self'\"" in text, "it may ask its own server, no other"
    assert "here" in text


def test_what_is_no_page_comes_as_it_is(ask):
    answer, text = ask("/figures.json")
    assert (answer.status, text) == (200, "{}")
    assert answer.headers["Cache-Control"] == "no-store"


def test_the_script_learns_of_rounds(ask):
    assert ask(f"{OWN}state")[1] == '{"site": 3}'
    assert f"{OWN}state" in ask(f"{OWN}fresh.js")[1]


@pytest.mark.parametrize("method", ["GET", "HEAD"])
@pytest.mark.parametrize("host", ["handbook.example", "127.0.0.1.handbook.example", ""])
def test_no_name_of_another_machine_leads_here(ask, host, method):
    """A page elsewhere whose name is made to resolve to this machine reads nothing."""
    answer, text = ask("/figures.json", host=host, method=method)
    assert answer.status == 403
    assert "{}" not in text


@pytest.mark.parametrize(
    "path", ["/../secret.html", "/%2e%2e/secret.html", "/areas/../../secret.html", "//secret.html"]
)
def test_nothing_outside_the_site_is_read(ask, path):
    answer, text = ask(path)
    assert answer.status == 404
    assert "secret</" not in text
    assert text != "secret"


def test_folders_are_not_listed(ask, site):
    (site / "empty").mkdir()
    (site / "empty" / "hidden.txt").write_text("", encoding="utf-8")
    answer, text = ask("/empty/")
    assert answer.status == 404
    assert "hidden.txt" not in text


def test_before_the_first_site_a_page_waits_for_it(ask, site):
    (site / "index.html").unlink()
    answer, text = ask("/")
    assert answer.status == 200
    assert "No site stands yet" in text
    assert f"{OWN}fresh.js" in text
