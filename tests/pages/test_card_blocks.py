"""Each block of a card is declared once; its reader, its composer, the guide and the tests go by that."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from builder.base.errors import ContentError
from builder.figures.compute import compute
from builder.pages.blocks import Text
from builder.pages.cards import composers as composing
from builder.pages.cards.compose import compose_cards
from builder.pages.cards.composers import Composer, composers
from builder.pages.plain import Words
from builder.pages.prose import ProseContext
from builder.program.card_blocks import CARD_BLOCKS
from tests.conftest import DAY, DEMO
from tests.edited import edited
from tests.render.every_block import CARD, card_of, written
from tests.shared import judged_once

GUIDE = Path(__file__).parents[2] / "docs" / "content.md"


@pytest.fixture(scope="module")
def computed():
    """The demo's, which no card changes."""
    return judged_once(DEMO, DAY).computed


def program_with(folder, kinds, **head):
    """The demo with a card of such blocks and no other."""
    program = edited(DEMO, folder, written(card_of(kinds, languages=["en"], **head)))
    return replace(program, cards={CARD: program.cards[CARD]})


def blocks_of(program, ledger):
    cards = compose_cards(program, ledger, ProseContext(ledger=ledger, titles=str), draft=True).papers
    made = [block for card in cards for side in card.sides for block in side.blocks]
    return [block for block in made if block.name in CARD_BLOCKS]  # what is spelled at the end is no author's block


def test_every_block_is_composed_under_the_name_it_is_declared_under():
    assert list(CARD_BLOCKS) == [kind.name for kind in CARD_BLOCKS.values()]
    assert composers().keys() == CARD_BLOCKS.keys()
    assert all(name == composer.name for name, composer in composers().items())


def test_every_example_is_good_content_and_prints_something(tmp_path, computed):
    made = blocks_of(program_with(tmp_path, CARD_BLOCKS.values()), computed.ledger)
    assert [block.name for block in made] == list(CARD_BLOCKS)
    assert all(block.blocks for block in made)


def test_a_limit_of_another_gas_than_the_display_shows_names_it(computed):
    """The lamp is set with isobutylene; the 300 ppm of 29 CFR 1910.1000 Table Z-2 are of toluene itself."""
    card = computed.program.cards["tank-lining-attendant"]
    made = blocks_of(replace(computed.program, cards={card.id: card}), computed.ledger)
    [(table,)] = [block.blocks for block in made if block.name == "limits"]
    limits = {cells[1][0].key: cells[2] for cells in table.rows}
    limit, gas = limits["setpoint.tank-lining.vapour.high"]
    assert (computed.ledger[limit.key].printed, gas) == ("300\u00a0ppm", Text(" Toluene"))
    assert len(limits["setpoint.tank-lining.flammable.high"]) == 1
    assert table.columns == ("Alarm", "Display", "True limit")  # 3 %LEL of propane beside a limit of the vapour itself
    card = computed.program.cards["wet-well-attendant"]
    made = blocks_of(replace(computed.program, cards={card.id: card}), computed.ledger)
    [(table,)] = [block.blocks for block in made if block.name == "limits"]
    assert table.columns == ("Alarm", "Set at", "Limit")  # methane alone, on displays scaled in methane


def test_alarms_without_an_order_for_the_reader_are_not_told_to_be_none(tmp_path, computed):
    """A rescuer does not take the entrant's orders; that does not make the place silent."""
    kinds = [CARD_BLOCKS["alarm-actions"]]
    [block] = blocks_of(program_with(tmp_path, kinds, audience="rescue", area="wet-well", model=None), computed.ledger)
    [table] = block.blocks
    assert (table.rows, table.empty) == ((), "alarms are set, but no order for you")


def test_the_watch_of_hot_work_reads_where_the_site_stops_it(computed):
    """Below the alarms: 2 %LEL and 21.8 %vol of oxygen in the demo's site.yaml. Common practice, no source."""
    for name in ("boiler-house-hot-work", "coatings-hot-work"):
        card = computed.program.cards[name]
        made = blocks_of(replace(computed.program, cards={card.id: card}), computed.ledger)
        [duties] = [str(block) for block in made if block.name == "duties"]
        assert "'hot-work.oxygen.stop'" in duties
        assert "'hot-work.flammable.stop'" in duties
        assert "'hot-work.retest-every'" in duties
        assert "'hot-work.flammable.to'" not in duties
    card = computed.program.cards["wet-well-tester"]
    made = blocks_of(replace(computed.program, cards={card.id: card}), computed.ledger)
    [duties] = [str(block) for block in made if block.name == "duties"]
    assert "'entry.retest-every'" in duties
    card = computed.program.cards["wet-well-attendant"]
    made = blocks_of(replace(computed.program, cards={card.id: card}), computed.ledger)
    assert "hot-work" not in str(made)


def test_a_formula_is_spelled_though_its_name_stands_within_a_longer_word(tmp_path, computed):
    """In German the name of ammonia begins that of its cell."""
    change = ("- Keine Luke öffnen:", "- Ammoniakzelle frei halten. Keine Luke öffnen:")
    program = edited(DEMO, tmp_path, ("cards/sludge-dryer-entrant.yaml", *change))
    program = replace(program, cards={"sludge-dryer-entrant": program.cards["sludge-dryer-entrant"]})
    cards = compose_cards(program, computed.ledger, ProseContext(ledger=computed.ledger, titles=str), draft=True).papers
    [german] = [one for one in cards if one.language == "de"]
    *others, spelled = german.sides[-1].blocks
    assert "Ammoniakzelle" in str(others)
    [paragraph] = spelled.blocks
    assert Text("NH₃\u00a0Ammoniak") in paragraph.content


def blocks_table() -> str:
    """The table of blocks in ``docs/content.md``."""
    rows = (
        f"| `{kind.name}` | {kind.docs} | {', '.join(f'`{key}`' for key in kind.takes)} | "
        f"{', '.join(kind.needs)} | `{kind.example}` |"
        for kind in CARD_BLOCKS.values()
    )
    return "\n".join(("| block | prints | takes | card needs | example |", "|---|---|---|---|---|", *rows)) + "\n"


def test_the_guide_has_the_table_of_blocks():
    """When it fails: put what ``blocks_table`` gives into the guide."""
    assert blocks_table() in GUIDE.read_text(encoding="utf-8")


def test_a_block_that_needs_no_area_is_composed_on_a_card_without_one(tmp_path, computed):
    kinds = [kind for kind in CARD_BLOCKS.values() if "area" not in kind.needs]
    assert len(kinds) > 5
    assert len(blocks_of(program_with(tmp_path, kinds, area=None, model=None), computed.ledger)) == len(kinds)


def test_a_block_that_needs_an_area_is_a_fault_on_a_card_without_one(tmp_path):
    kinds = [kind for kind in CARD_BLOCKS.values() if "area" in kind.needs]
    assert len(kinds) > 5
    with pytest.raises(ContentError) as refused:
        program_with(tmp_path, kinds, area=None)
    told = [problem.found for problem in refused.value.problems if problem.where.file == f"cards/{CARD}.yaml"]
    for kind in kinds:
        assert f"block {kind.name!r} on a card without area" in told


def test_a_need_that_was_not_declared_is_a_fault_of_the_card_and_no_traceback(tmp_path, monkeypatch, computed):
    kind = replace(CARD_BLOCKS["oxygen"], needs=())
    monkeypatch.setitem(CARD_BLOCKS, "oxygen", kind)
    with pytest.raises(ContentError, match=rf"cards/{CARD}.yaml:\d+: a block needs an area that its card lacks"):
        blocks_of(program_with(tmp_path, [kind], area=None), computed.ledger)


@pytest.mark.parametrize("extra", ["undeclared", "qr"])
def test_a_composer_of_nothing_declared_and_a_second_one_are_told(monkeypatch, extra):
    from builder.pages.cards.blocks import alarms

    monkeypatch.setattr(alarms, "another", Composer(extra, lambda *_: None), raising=False)
    with pytest.raises(ValueError, match=rf"declared and composed once each: {extra}$"):
        composing.composers.__wrapped__()


def test_what_hides_a_hazard_from_a_sensor_stands_on_the_card(tmp_path):
    """The site states what methane does to its lamp; that a quenched lamp shows less is common practice, no source."""
    note = "    note: Methane and wet air pull"
    quenched = f"    cross-sensitivity: {{source: invented, table: {{methane: -1 %}}}}\n{note}"
    toluene = "      - {gas: toluene, why: thinner in the lining coat}\n"
    methane = "      - {gas: methane, why: burner}\n"
    program = edited(DEMO, tmp_path, ("sensors.yaml", note, quenched), ("areas.yaml", toluene, methane + toluene))
    ledger = compute(program, DAY).ledger
    card = program.cards["tank-lining-rescue"]
    [block] = [one for one in blocks_of(replace(program, cards={card.id: card}), ledger) if one.name == "not-seen"]
    told = [line for line in Words(ledger.figures).lines(block.blocks) if "can hide" in line]
    assert [line.partition(": ")[2] for line in told] == ["Methane can hide toluene, o-xylene, methyl ethyl ketone."]
