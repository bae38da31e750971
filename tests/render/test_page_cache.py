"""What is kept of a page is handed out only where rendering it again would give the very same."""

from collections import Counter
from dataclasses import replace
from fractions import Fraction
from hashlib import sha256

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from builder.base.store import FileStore
from builder.base.where import Where
from builder.figures.figure import Figure, Input
from builder.pages.blocks import Derived, Fig, Link, Paragraph, Text
from builder.pages.compositions import Page
from builder.pages.handbook.sections import SECTIONS
from builder.render.jobs import Workshop
from builder.render.page_cache import PageCache
from tests.rendered import html_pages


class Kept:
    """A store in memory."""

    def __init__(self):
        self.entries = {}

    def get(self, key):
        return self.entries.get(key)

    def put(self, key, data):
        self.entries[key] = data


def page(name, *content):
    return Page(id=f"page:{name}", path=f"{name}.html", title=name, section="s", blocks=(Paragraph(content),))


def render(shown, figures, hrefs):
    """Stands for the templates: asks for what the page names, and one answer decides what else is asked."""
    said = [shown.title]
    for node in shown.blocks[0].content:
        if isinstance(node, Fig):
            found = figures.get(node.key)
            said.append(found or "unknown")
            if found == "see b":
                said.append(figures["b"])
        elif isinstance(node, Link):
            said.append(hrefs.get(node.target, "nowhere"))
        else:
            said.append(node.text)
    return "|".join(said).encode()


answers = st.sampled_from(["1", "2", "see b"])
ledgers = st.fixed_dictionaries({"b": answers}, optional={"a": answers, "c": answers})
links = st.dictionaries(st.sampled_from(["x", "y"]), st.sampled_from(["x.html", "y.html"]))
nodes = st.sampled_from([Fig("a"), Fig("b"), Fig("c"), Link("x", (Text("x"),)), Link("y", (Text("y"),)), Text("word")])
pages = st.lists(st.lists(nodes, max_size=3).map(lambda content: page("p", *content)), min_size=1, max_size=2)


@settings(suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(st.tuples(pages, ledgers, links), min_size=1, max_size=8), st.booleans())
def test_after_any_edits_each_page_is_as_rendered_from_nothing(edits, documents):
    store = Kept()
    for shown, figures, hrefs in edits:
        told = {key: f"it is {text}" for key, text in figures.items()}
        cache = PageCache(store, "basis", (figures, hrefs), render, told=told, documents=documents)
        for one in shown:
            assert cache.rendered(one).data() == render(one, figures, hrefs)
        cache.keep()


def test_only_pages_that_print_what_changed_are_rendered():
    store = Kept()
    both = [page("one", Fig("a"), Link("x", (Text("x"),))), page("two", Fig("b"))]
    made = []
    for figures, hrefs in [
        ({"a": "1", "b": "1", "c": "1"}, {"x": "x.html"}),
        ({"a": "1", "b": "1", "c": "2"}, {"x": "x.html", "y": "y.html"}),
        ({"a": "1", "b": "2", "c": "2"}, {"x": "x.html"}),
        ({"a": "1", "b": "2", "c": "2"}, {"x": "other.html"}),
        ({"a": "1", "b": "1", "c": "1"}, {"x": "x.html"}),
    ]:
        cache = PageCache(store, "basis", (figures, hrefs), render)
        for one in both:
            cache.rendered(one)
        cache.keep()
        made.append(cache.made)
    assert made == [2, 0, 1, 1, 0]


def test_other_code_or_facts_render_all():
    store = Kept()
    for basis, made in [("one", 1), ("one", 0), ("two", 1)]:
        cache = PageCache(store, basis, ({"b": "1"}, {}), render)
        cache.rendered(page("one", Fig("b")))
        cache.keep()
        assert cache.made == made


@pytest.mark.parametrize("going_through", [list, len, dict])
def test_a_page_that_looks_through_all_figures_is_not_kept(going_through):
    def looks(shown, figures, _hrefs):
        return f"{shown.title}{going_through(figures)}".encode()

    store = Kept()
    for _ in range(2):
        cache = PageCache(store, "basis", ({"a": "1"}, {}), looks)
        cache.rendered(page("one"))
        cache.keep()
        assert cache.made == 1


def test_what_is_kept_is_told_with_its_hash_and_words_and_read_only_when_it_is_wanted():
    store, wanted, counted = Kept(), page("one", Fig("b")), Counter()

    def beside(one, figures, _hrefs):
        return [one.title, figures["b"]]

    for made in (1, 0):
        cache = PageCache(store, "basis", ({"b": "1"}, {}), render, beside, counted)
        found = cache.rendered(wanted)
        cache.keep()
        assert (cache.made, found.digest, found.beside) == (made, sha256(b"one|1").hexdigest(), ["one", "1"])
    [document] = [key for key, data in store.entries.items() if data == b"one|1"]
    del store.entries[document]  # as when the store was trimmed
    assert (found.data(), cache.made, counted) == (b"one|1", 1, {"pages": 2})
    assert store.entries[document] == b"one|1"


def test_of_what_is_quickly_made_only_the_hash_is_kept():
    store, wanted = Kept(), page("one", Fig("b"))
    for made in (1, 0):
        cache = PageCache(store, "basis", ({"b": "1"}, {}), render, documents=False)
        found = cache.rendered(wanted)
        cache.keep()
        assert (cache.made, found.digest) == (made, sha256(b"one|1").hexdigest())
    assert b"one|1" not in store.entries.values()
    assert (found.made, found.data(), cache.made) == (None, b"one|1", 1)


def test_a_spoiled_entry_is_rendered_anew(tmp_path):
    store = FileStore(tmp_path)
    wanted = page("one", Fig("b"))
    for spoil in (None, b"", b"\0" * 40, b"x" * 200):
        if spoil is not None:
            for path in tmp_path.rglob("*"):
                if path.is_file():
                    path.write_bytes(spoil)
        cache = PageCache(store, "basis", ({"b": "1"}, {}), render)
        assert cache.rendered(wanted).data() == b"one|1"
        cache.keep()
        assert cache.made == 1


FOREIGN = (b"", b"{", b"\x80\x05", b"[]", b"7", b"null", b'{"a": 1}', b'{"a": [1, 2]}')


@pytest.mark.parametrize("data", FOREIGN)
def test_what_others_put_in_the_place_of_what_is_told_of_pages_is_made_anew(data):
    """RFC 8259, 2: any of it may be JSON, or none; whoever shares a cache may have put it there."""
    store = Kept()
    cached = PageCache(store, "code", ({"a": "1"}, {}), render)
    cached.rendered(page("p", Fig("a")))
    cached.keep()
    store.entries = dict.fromkeys(store.entries, data)
    again = PageCache(store, "code", ({"a": "1"}, {}), render)
    assert again.rendered(page("p", Fig("a"))).data() == b"p|1"
    assert again.made == 1


def test_a_field_that_repr_leaves_out_counts_as_well():
    """A due day is marked so that the reader's browser counts to it."""
    store = Kept()
    for due, made in [(False, 1), (True, 1), (False, 0)]:
        cache = PageCache(store, "basis", ({"b": "1"}, {}), render)
        cache.rendered(page("one", Fig("b", due=due)))
        cache.keep()
        assert cache.made == made


def test_a_derivation_is_told_anew_when_what_its_figure_was_made_from_changes():
    """The line that an input stands on is told there and nowhere else, so no other page is made again."""
    stated = Input(label="Set point", text="5 ppm", where=Where("setpoints.yaml", 7))
    made = {"low": figure("low", stated), "high": figure("high", Input(label="Low", text="", figure="low"))}
    told = [replace(page(key), blocks=(Derived(key, into=(), into_all=0, places=(), places_all=0),)) for key in made]
    printing = replace(page("area"), blocks=(Paragraph((Fig("low"),)),))
    moved = {**made, "low": replace(made["low"], inputs=(replace(stated, where=Where("setpoints.yaml", 9)),))}
    renamed = {**moved, "low": replace(moved["low"], text="4")}
    store = Kept()
    counts = []
    for figures in (made, moved, renamed):
        with Workshop(1, store) as shop:
            files = html_pages([*told, printing], figures, HREFS, FACTS, shop)
            counts.append(shop.made["pages"])
        assert files == html_pages([*told, printing], figures, HREFS, FACTS)
    assert counts == [3, 1, 3]
    assert b"setpoints.yaml:9" in files["low.html"]


def figure(key, *inputs):
    return Figure(
        key=key, label=key, exact=Fraction(5), unit="ppm", text="5", rounding=None, formula="origin.stated",
        inputs=inputs, source="the site",
    )  # fmt: skip


HREFS = {"figure:low": "low.html#low", "figure:high": "high.html#high", "page:home": "index.html"}
HREFS |= {index: "index.html" for _, _, index in SECTIONS}
FACTS = {"name": "Pit", "title": "Handbook", "draft": True, "revision": "Draft", "as_of": "25 November 2026"}


def test_words_that_happen_to_be_one_object_do_not_matter():
    """Which parts of equal pages are the same object depends on what was composed before in the process."""
    store, word = Kept(), "word"
    shared = Text(word)
    apart = Text("".join(word))
    for content, made in [((shared, shared), 1), ((shared, apart), 0)]:
        cache = PageCache(store, "basis", ({}, {}), render)
        cache.rendered(page("one", *content))
        cache.keep()
        assert cache.made == made
