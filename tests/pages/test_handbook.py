from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import date, timedelta

import pytest

from builder.base.where import Where
from builder.figures.compute import compute
from builder.figures.topics.examples import HOURS, PARTS
from builder.history.archive import Past
from builder.pages.blocks import Absent, Code, Fig, Heading, ItemList, Link, Notice, Paragraph, Strong, Table, Text
from builder.pages.compositions import Page, figures_in
from builder.pages.handbook.compose import SECTIONS
from builder.pages.handbook.sections import path_of
from builder.program.prose import TYPED
from builder.reference.limits import KINDS as LIMIT_KINDS
from tests.pages.conftest import FINDINGS

THINGS = {
    "gas": "gases",
    "area": "areas",
    "model": "models",
    "sensor": "sensors",
    "unit": "units",
    "cylinder": "cylinders",
    "check": "checks",
    "procedure": "procedures",
}


def plain(inlines):
    return "".join(getattr(node, "text", "") or plain(getattr(node, "content", ())) for node in inlines)


def row(table, head):
    return next(found for found in table.rows if plain(found[0]) == head)


def tables(nodes, page):
    return [node for node in nodes(page.blocks) if isinstance(node, Table)]


# ---- figures and numbers ------------------------------------------------------------


@pytest.mark.parametrize("which", ["made", "bare"])
def test_every_printed_key_is_a_real_figure(request, which):
    site = request.getfixturevalue(which)
    for page in site.pages:
        for key in figures_in(page):
            assert key in site.ledger.figures, f"{page.id} prints {key}"


def test_no_text_holds_a_number_with_a_unit(made, words):
    own = {given.text for check in made.program.checks.values() for given in (check.interval, check.due_soon) if given}
    own |= {model.log.download_every.text for model in made.program.models.values()}
    own |= {sensor.life.text for sensor in made.program.sensors.values()}
    document = made.program.site.document
    own |= {document.review_every.text, document.cards_valid_for.text}
    own |= {found.text.replace(" ", "\u00a0") for found in made.program.literals}
    own |= {text for figure in made.ledger for text in (figure.source, figure.note)}
    own |= {text for kind in LIMIT_KINDS for text in (kind.name, kind.name.removeprefix("TWA"))}  # TWA leads elsewhere
    own |= {"; ".join(f"{ppm} ppm for {hours} h" for ppm, hours in HOURS)}  # the worked cases of the rule
    own |= {"; ".join(f"{ppm} ppm, limit {limit} ppm" for ppm, limit in PARTS)}
    for page in made.pages:
        if page.id.startswith("figures:") or page.id in ("page:figures", "page:formulas", "page:findings"):
            continue
        for text in words(page):
            assert text.strip() in own or not TYPED.search(text), f"{page.id}: {text!r}"


def test_what_has_no_figure_is_said_to_be_absent(bare, nodes):
    facts = tables(nodes, bare.page("gas:methane"))[0]
    assert row(facts, "Molar mass")[1] == (Absent(),)
    assert any(isinstance(node, Absent) for node in nodes(bare.page("area:pit").blocks))


def test_no_page_prints_the_same_facts_row_twice(made, nodes):
    for page in made.pages:
        for table in tables(nodes, page):
            if table.kind == "facts":
                twice = [head for head, n in Counter(plain(found[0]) for found in table.rows).items() if n > 1]
                assert not twice, page.id


def test_tables_are_even(made, nodes):
    for page in made.pages:
        for table in tables(nodes, page):
            assert all(len(found) == len(table.columns) for found in table.rows), (page.id, table.caption)
            assert all(index < len(table.columns) for index in table.numeric), (page.id, table.caption)


# ---- pages and links -------------------------------------------------------------------


def test_everything_has_a_page_at_its_place(made):
    for kind, field in THINGS.items():
        for name in getattr(made.program, field):
            page = made.page(f"{kind}:{name}")
            assert page.path == path_of(page.id)
    for prose in made.program.pages:
        assert made.page(f"page:{prose}")


def test_ids_and_paths_are_unique(made):
    assert len({page.id for page in made.pages}) == len(made.pages)
    assert len({page.path for page in made.pages}) == len(made.pages)


def broken(pages, hrefs, links):
    """(page, target) of every link that leads nowhere."""
    return [(page.id, target) for page in pages for target in links(page) if target not in hrefs]


def unreached(pages, hrefs, links):
    """Pages that no way of links from home leads to."""
    by_path = {page.path: page for page in pages}
    waiting, reached = ["page:home"], set()
    while waiting:
        page = by_path.get(hrefs[waiting.pop()].partition("#")[0])
        if page and page.id not in reached:
            reached.add(page.id)
            waiting += [target for target in links(page) if target in hrefs]
    return {page.id for page in pages} - reached


def without_way_on(pages, links):
    """Pages whose text leads to no other page; crumbs only lead back. The derivation of a first value is an end."""
    told = (page for page in pages if not page.id.startswith("figures:"))
    return [page.id for page in told if not set(links(replace(page, crumbs=()))) - {page.id}]


def test_every_link_leads_somewhere(made, links):
    assert broken(made.pages, made.hrefs, links) == []


def test_no_page_is_a_dead_end(made, links):
    assert without_way_on(made.pages, links) == []


def left_out(pages, links):
    """Pages that the index of their section does not lead to."""
    indexes = {name: index for name, _, index in SECTIONS}
    leads = {page.id: set(links(replace(page, crumbs=()))) for page in pages if page.id in indexes.values()}
    return [page.id for page in pages if page.id not in {indexes[page.section], *leads[indexes[page.section]]}]


def test_every_page_is_in_the_index_of_its_section(made, links):
    assert left_out(made.pages, links) == []


def test_a_page_left_out_of_its_index_would_be_found(made, links):
    lost = Page(id="page:lost", path="lost.html", title="Lost", section="program", blocks=())
    assert left_out((*made.pages, lost), links) == ["page:lost"]


def test_a_link_to_nowhere_an_orphan_and_a_dead_end_would_be_found(made, links):
    lost = Page(id="page:lost", path="lost.html", title="Lost", section="home", blocks=())
    astray = replace(lost, id="page:astray", blocks=(Paragraph((Link("page:nowhere", (Text("there"),)),)),))
    pages, hrefs = (*made.pages, lost), {**made.hrefs, "page:lost": "lost.html"}
    assert broken((*pages, astray), hrefs, links) == [("page:astray", "page:nowhere")]
    assert unreached(pages, hrefs, links) == {"page:lost"}
    assert without_way_on(pages, links) == ["page:lost"]


def test_anchors_that_references_lead_to_exist_once(made, nodes):
    anchors = Counter(
        f"{page.path}#{node.anchor}"
        for page in made.pages
        for node in nodes(page.blocks)
        if isinstance(node, Heading) and node.anchor
    )
    assert not [anchor for anchor, n in anchors.items() if n > 1]
    for reference, path in made.hrefs.items():
        if "#" in path:
            assert path in anchors, reference


def test_no_page_is_out_of_reach_of_home(made, links):
    assert unreached(made.pages, made.hrefs, links) == set()


def test_things_link_to_each_other_both_ways(made, links):
    kinds = tuple(f"{kind}:" for kind in THINGS)
    of = {page.id: {t for t in links(page) if t.startswith(kinds)} for page in made.pages if page.id.startswith(kinds)}
    joined = {("unit", "model"), ("unit", "area"), ("unit", "cylinder"), ("unit", "check"), ("area", "gas"),
              ("area", "model"), ("area", "sensor"), ("area", "procedure"), ("model", "sensor"), ("model", "procedure"),
              ("gas", "sensor"), ("gas", "cylinder"), ("check", "cylinder"), ("check", "procedure"),
              ("sensor", "cylinder")}  # fmt: skip
    for here, targets in of.items():
        for there in targets:
            pair = (here.partition(":")[0], there.partition(":")[0])
            if pair in joined or pair[::-1] in joined:
                assert here in of[there], f"{there} has no link back to {here}"


def test_every_page_has_a_lead_crumbs_and_a_known_section(made):
    known = {name for name, _, _ in SECTIONS}
    for page in made.pages:
        assert page.lead
        assert page.section in known
        assert bool(page.crumbs) == (page.id != "page:home")


def test_every_section_has_its_index_page(made):
    for name, _, index in SECTIONS:
        assert made.page(index).section == name


def test_pages_of_a_section_stand_together_in_reading_order(made):
    order = [name for name, _, _ in SECTIONS]
    found = [page.section for page in made.pages]
    assert found == sorted(found, key=order.index)


def test_a_thing_called_index_does_not_take_the_index_page():
    assert path_of("area:index") != path_of("page:areas")


# ---- what stands on the pages --------------------------------------------------------------


def test_an_area_tells_alarms_in_test_order(made, nodes):
    alarms = next(t for t in tables(nodes, made.page("area:pit")) if t.kind == "alarms")
    assert [plain(found[0]) for found in alarms.rows] == [
        "Oxygen: too little",
        "Oxygen: too much",
        "Flammable gas: 1st alarm",
        "Flammable gas: 2nd alarm",
    ]
    assert plain(alarms.rows[0][2]) == "Out now."
    assert alarms.rows[0][1] == (Fig("setpoint.pit.oxygen.low"),)


def test_a_unit_lists_its_setpoints_in_test_order(made, nodes):
    (carried,) = (t for t in tables(nodes, made.page("unit:d-001")) if t.columns == ("Channel", "Alarm", "Set to"))
    assert list(dict.fromkeys(plain(found[0]) for found in carried.rows)) == ["Oxygen", "Flammable gas"]


def test_an_area_corrects_readings_a_column_a_gas(made, nodes):
    chart = next(t for t in tables(nodes, made.page("area:pit")) if t.caption.startswith("Corrected"))
    assert chart.columns == ("Display shows", "Methane is really", "Propane is really")
    assert chart.rows[0] == (
        (Fig("reading.at-2-5"),),
        (Fig("reading.pit.methane.at-2-5"),),
        (Fig("reading.pit.propane.at-2-5"),),
    )


def test_a_hazard_nobody_sees_is_told(made, compose, nodes):
    sensor = made.program.sensors["cat-flammable"]
    blinded = replace(made.program, sensors={**made.program.sensors, "cat-flammable": replace(sensor, factors=None)})
    site = compose(blinded, made.ledger)
    told = next(t for t in tables(nodes, site.page("area:pit")) if t.columns[:2] == ("Hazard", "Shows"))
    assert plain(row(told, "Propane")[1]) == "not at all"
    assert plain(row(told, "Methane")[1]) == "in %LEL"


def test_a_gas_marks_the_basis_of_the_site(made, nodes):
    limits = next(t for t in tables(nodes, made.page("gas:methane")) if t.columns[0] == "Table")
    marked = [found for found in limits.rows if plain(found[0]).endswith("(the site's basis)")]
    assert [found[1] for found in marked] == [(Fig("gas.methane.lel.iec-60079-20-1-2010"),)]


def test_cautions_stand_before_steps(made):
    blocks = made.page("procedure:bump-test").blocks
    assert isinstance(blocks[0], Notice)
    assert blocks[0].kind == "caution"
    steps = next(block for block in blocks if isinstance(block, ItemList))
    assert steps.kind == "steps"


def test_checks_are_listed_by_day_and_overdue_ones_say_so(made, nodes):
    due = tables(nodes, made.page("page:checks"))[1]
    assert [plain(found[1]) for found in due.rows] == ["d-002", "d-001"]
    assert due.rows[1][0] == (Fig("unit.d-001.calibration.due", due=True),)
    assert due.rows[1][-1] == (Strong((Text("OVERDUE since "), Fig("unit.d-001.calibration.due"))),)
    assert plain(due.rows[0][-1]) == "NEVER DONE: before use"


def test_a_check_is_not_overdue_on_its_last_day(made, compose, nodes):
    due = made.ledger["unit.d-001.calibration.due"]
    for shift, said in ((0, False), (1, True)):
        today = replace(made.ledger["handbook.as-of"], exact=due.exact + timedelta(days=shift))
        ledger = replace(made.ledger, figures={**made.ledger.figures, "handbook.as-of": today})
        table = tables(nodes, compose(made.program, ledger).page("page:checks"))[1]
        state = next(found[-1] for found in table.rows if plain(found[1]) == "d-001")
        assert any(isinstance(part, Strong) for part in state) is said


def test_a_unit_out_of_use_has_no_due_checks(made, compose, words):
    unit = made.program.units["d-002"]
    broken = replace(unit, state=unit.state.becoming("repair"))
    site = compose(replace(made.program, units={**made.program.units, "d-002": broken}), made.ledger)
    assert any("must not be used" in text for text in words(site.page("unit:d-002")))
    assert "d-002" not in list(words(site.page("page:checks")))


def test_findings_are_grouped_and_shown_where_they_belong(made, words):
    text = list(words(made.page("page:findings")))
    assert text.index("Stops") < text.index("Warnings") < text.index("Notes")
    assert "The calibration of d-001 no longer holds." in text
    assert any("no longer holds" in part for part in words(made.page("unit:d-001")))
    assert any("stops: 1, warnings: 0, notes: 1" in part.lower() for part in words(made.page("page:home")))


def test_a_fault_of_a_whole_file_is_told_in_few_words(made, compose, words):
    units = tuple(f"unit:d-{number:03}" for number in range(1, 201))
    rows = tuple(Where("records/2026.csv", line) for line in (*range(2, 4002), 4005))
    told = replace(FINDINGS[0], where=rows[0], touches=units, lines=rows)
    text = " ".join(words(compose(made.program, made.ledger, findings=(told,)).page("page:findings")))
    assert "All its lines :  2–4001, 4005 " in text
    assert "and 140 more, each of which says so on its own page" in text
    assert len(text) < 4000
    alone = replace(told, lines=rows[:1])
    assert "All its lines" not in " ".join(
        words(compose(made.program, made.ledger, findings=(alone,)).page("page:findings"))
    )


def test_cards_tell_code_and_file(made, nodes, links):
    page = made.page("page:cards")
    assert {"card-pdf:pit-entrant", "sheet:A7-on-A4"} <= set(links(page))
    assert Code("LEY-pit-entrant") in list(nodes(page.blocks))
    assert made.hrefs["card:pit-entrant"] == "cards/index.html#card-pit-entrant"
    assert made.hrefs["card-pdf:pit-entrant"] == "cards/pit-entrant.pdf"


def test_only_cards_that_are_released_have_a_last_day(made, compose, words):
    """Issued on 1 October 2026 for a year, by hand; a draft's card says that it is not released."""
    told = {releasing: compose(made.program, made.ledger, past=Past(releasing=releasing)) for releasing in (0, 1)}
    says = {releasing: " ".join(words(one.page("page:cards"))) for releasing, one in told.items()}
    key = "card.pit-entrant.valid-until"
    assert [key in one.page("page:cards").figures for one in told.values()] == [False, True]
    assert ["no day: a draft" in text for text in says.values()] == [True, False]
    assert made.ledger.day(key) == date(2027, 10, 1)


def test_no_card_is_to_be_renewed_before_any_revision_holds(made, compose):
    early = compute(made.program, date(2026, 9, 15)).ledger
    told = [compose(made.program, ledger).page("page:home").figures for ledger in (made.ledger, early)]
    assert ["card.pit-entrant.valid-until" in figures for figures in told] == [True, False]


def test_literals_are_listed_for_the_auditor(made, nodes):
    listed = tables(nodes, made.page("page:figures"))[1]
    assert [tuple(plain(cell) for cell in found) for found in listed.rows] == [
        ("2 min", "the manual's own words", "pages/cautions.md:7")
    ]


# ---- derivations ---------------------------------------------------------------------------


def derived(made, key):
    """The page that tells the derivation of a figure."""
    path = made.hrefs[f"figure:{key}"].partition("#")[0]
    return next(page for page in made.pages if page.path == path)


def test_every_figure_has_its_derivation(made, nodes):
    for key in made.ledger.figures:
        path, _, anchor = made.hrefs[f"figure:{key}"].partition("#")
        page = next(page for page in made.pages if page.path == path)
        assert anchor == key
        assert Heading(2, (Code(key),), key) in list(nodes(page.blocks))


def test_aliases_lead_to_the_figure_they_stand_for(made):
    assert made.hrefs["figure:setpoint.pit.propane.low"] == made.hrefs["figure:setpoint.pit.flammable.low"]


def test_a_derivation_tells_the_exact_value_the_rule_and_the_inputs(made, links, nodes):
    page = derived(made, "setpoint.pit.flammable.low")
    start = page.blocks.index(Heading(2, (Code("setpoint.pit.flammable.low"),), "setpoint.pit.flammable.low"))
    told, inputs = page.blocks[start + 1 : start + 3]
    assert "; exactly 2.63157894737\u00a0%LEL (exactly 50/19); rounded down, step 1" in plain(told.content)
    factor = "response.cat-flammable.propane.factor"
    assert Link(f"figure:{factor}", (Text(made.ledger[factor].printed),)) in list(nodes(inputs.items))
    assert any("setpoints.yaml:5" in plain(item[0].content) for item in inputs.items)
    assert {"area:pit", "page:setpoints", "unit:d-001"} <= set(links(page))


def test_a_derivation_says_which_figure_went_in_as_printed(made):
    """By hand: 25 %LEL of gas are 5.00 times an alarm set to 5 %LEL, and 4.75 times the exact 100/19 behind it."""
    page = derived(made, "bump.c-001.cat-flammable.high.ratio")
    start = page.blocks.index(
        Heading(2, (Code("bump.c-001.cat-flammable.high.ratio"),), "bump.c-001.cat-flammable.high.ratio")
    )
    told, inputs = page.blocks[start + 1 : start + 3]
    assert "5.00" in plain(told.content)
    gas, alarm = (plain(item[0].content) for item in inputs.items[:2])
    assert "25\u00a0%LEL" in gas
    assert "as printed" not in gas
    assert "5\u00a0%LEL, as printed" in alarm


def test_a_derivation_names_the_cards_that_print_it(made, links):
    assert "card:pit-entrant" in links(derived(made, "gas.methane.lel"))


def test_an_unknown_formula_is_named_and_no_more(made, compose, nodes):
    figure = replace(made.ledger["gas.methane.lel"], formula="no.such-formula")
    ledger = replace(made.ledger, figures={**made.ledger.figures, figure.key: figure})
    assert Code("no.such-formula") in list(nodes(derived(compose(made.program, ledger), figure.key).blocks))


def test_a_derivation_names_its_formula_which_is_told_once(made, links):
    told = [block.anchor for block in made.page("page:formulas").blocks if isinstance(block, Heading)]
    stated = {figure.formula for figure in made.ledger}
    assert set(told) == stated
    assert len(told) == len(set(told))
    for page in made.pages:
        if page.id.startswith("figures:"):
            assert {target for target in links(page) if target.startswith("formula:")} <= set(made.hrefs)


# ---- odd sites ---------------------------------------------------------------------------------


def test_a_site_without_cards_units_and_procedures_composes(made, compose, links):
    empty = replace(made.program, cards={}, units={}, procedures={}, revisions=())
    site = compose(empty, made.ledger, findings=(), elsewhere={"site.pressure": ()})
    for page in site.pages:
        assert all(target in site.hrefs for target in links(page))


def test_the_order_of_content_decides_and_nothing_else(made, compose):
    assert compose(made.program, made.ledger).pages == made.pages
