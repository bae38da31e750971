"""The page of card codes in a real browser, from the disk: typed, scanned, misread, out of date, without script."""

from __future__ import annotations

import pytest

from builder.history.status import CodeStatus
from builder.pages.blocks import Table
from builder.pages.handbook.revision_pages import STATES, status_page
from builder.pages.wording import CODE_SIGNS
from builder.render.html import DUE_SCRIPT, HtmlRenderer, site_assets
from builder.render.markup import SiteFacts
from builder.render.scripts import EVERYWHERE
from tests.web.test_journeys import tab_to
from tests.web.test_pages import LEVELS, violations

CURRENT, OLD, GONE, DRAFT = "OIL-5MEP7", "OIL-9SK2W", "OIL-ZB8GR", "OIL-5MQ2D"


def status(code, state, **more):
    values = {"card": "pit", "title": "Valve pit", "edition": "Revision 1", "valid_until": "25\u00a0Nov\u00a02027"}
    return CodeStatus(code=code, state=state, **{**values, "last_day": "2027-11-25", **more})


REGISTER = (
    status(CURRENT, "current", edition="Revision 2"),
    status(OLD, "superseded", by="Revision 2", by_code=CURRENT, changed=("low [− 5 −][+ 4 +]",)),
    status(GONE, "withdrawn", title="Well", by="Revision 2", valid_until="", last_day=""),
    status(DRAFT, "draft", edition="Draft after revision 2"),
)


def test_a_draft_is_valid_on_no_day():
    """Nobody has stood for it yet; common practice, as its card says that it is not for use."""
    [table] = [block for block in status_page(REGISTER, frozen="").blocks if isinstance(block, Table)]
    days = {cells[0][0].text: str(cells[3]) for cells in table.rows}
    assert "2027" in days[CURRENT]
    assert "2027" not in days[DRAFT]


@pytest.fixture(scope="module")
def register(tmp_path_factory):
    """The folder of a site that has nothing but this page."""
    page = status_page(REGISTER, frozen="")
    hrefs = {page.id: page.path, "page:cards": "cards/index.html", "page:home": "index.html"}
    hrefs["term:superseded"] = "glossary.html#superseded"
    facts = SiteFacts(name="Example", title="Handbook", draft=False, revision="Revision 2", as_of="25 Nov 2026")
    sections = [("cards", "Cards", "page:cards")]
    made = HtmlRenderer({}, hrefs, sections, facts, scripts=(*EVERYWHERE, DUE_SCRIPT)).render(page)
    site = tmp_path_factory.mktemp("register")
    for path, data in {**site_assets(), page.path: made.encode()}.items():
        (site / path).parent.mkdir(parents=True, exist_ok=True)
        (site / path).write_bytes(data)
    return site


@pytest.fixture
def opened(register, reader):
    """The page on a phone, on the day of the brief; anything after its path is passed on."""
    with reader(register, width=320) as window:

        def go(tail="?today=2026-11-25"):
            window.page.goto("about:blank")
            window.page.goto((register / "cards" / "status.html").as_uri() + tail)
            return window.page

        yield go


def answer(page):
    return page.locator("form.status output").inner_text()


def asked(page, text):
    page.fill("form.status input", text)
    return answer(page)


def shown(page):
    return [row.get_attribute("id") for row in page.locator("tbody tr").all() if row.is_visible()]


# ---- whole codes -------------------------------------------------------------------------


@pytest.mark.parametrize("entry", REGISTER, ids=lambda entry: entry.state)
def test_each_code_is_answered_in_words_with_its_row(opened, entry):
    page = opened()
    assert asked(page, entry.code) == f"{entry.code}: {STATES[entry.state]}"
    assert shown(page) == [entry.code]
    assert page.locator("form.status .how").inner_text() == f"Card: {entry.title}."


@pytest.mark.parametrize(
    "written",
    [
        "oil-5mep7",
        " OIL-5MEP7 ",
        "OIL 5MEP7",
        "oil5mep7",
        "o i l - 5 m e p 7",
        "5MEP7",
        "OIL\u20135MEP7",
        "OIL\u20115MEP7",
    ],
)
def test_case_spaces_dashes_and_the_letters_of_the_site_do_not_matter(opened, written):
    assert asked(opened(), written) == f"{CURRENT}: current"


def test_every_code_of_the_demo_is_answered(demo, reader):
    page = next(page for page in demo.built.composed.pages if page.id == "page:status")
    (table,) = (block for block in page.blocks if hasattr(block, "row_ids"))
    assert len(table.row_ids) > 15
    with reader(demo) as window:
        window.open(page.path)
        for code in table.row_ids:
            assert asked(window.page, code.lower()) == f"{code}: {STATES['draft']}"
            assert shown(window.page) == [code]


# ---- codes that are not there ---------------------------------------------------------------


def test_an_unknown_code_is_no_card_of_this_site_and_hides_nothing(opened):
    page = opened()
    assert asked(page, "OIL-WWWWW") == "No card of this list has the code OILWWWWW: take the card out of use and ask."
    assert page.locator("form.status input").get_attribute("aria-invalid") == "true"
    assert len(shown(page)) == len(REGISTER)


def test_a_part_of_a_code_is_never_answered(opened):
    """One sign fits one card only, but the card in the hand may be another."""
    page = opened()
    for length in range(1, len("9SK2W")):
        assert asked(page, "9SK2W"[:length]) == "Type the whole code. Codes that begin so: 1."
        assert shown(page) == [OLD]
    assert asked(page, "oil-5M") == "Type the whole code. Codes that begin so: 2."
    assert asked(page, "9SK2W") == f"{OLD}: {STATES['superseded']}"
    assert asked(page, "9SK2WW").startswith("No card of this list")


@pytest.mark.parametrize(
    ("misread", "meant"), [("01L-5MEP7", CURRENT), ("O1L-SMEP7", CURRENT), ("OIL-95KZW", OLD), ("OIL-2B86R", GONE)]
)
def test_signs_that_are_easily_misread_bring_up_the_likely_code_but_no_answer(opened, misread, meant):
    page = opened()
    assert asked(page, misread).startswith("No card of this list has the code")
    detail = page.locator("form.status .how").inner_text()
    assert detail == f"Signs are easily misread. Compare sign by sign with {meant}."
    assert shown(page) == [meant]


def test_codes_themselves_leave_out_the_signs_that_are_misread_most():
    assert not set("01ILOU") & set(CODE_SIGNS)


@pytest.mark.parametrize("hostile", ["<img src=x onerror=alert(1)>", "%", "--", "ÄÖ", "\uff10\uff11"])
def test_anything_may_be_typed(opened, hostile):
    page = opened()
    assert "current" not in asked(page, hostile)
    assert page.locator("form.status img").count() == 0


def test_emptying_the_field_brings_the_whole_list_back(opened):
    page = opened()
    asked(page, CURRENT)
    assert asked(page, "") == ""
    assert len(shown(page)) == len(REGISTER)


# ---- the day ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("day", "said", "beside"),
    [
        ("2027-11-24", "current", "today: 1 day left"),
        ("2027-11-25", "current", "today: last day"),
        ("2027-11-26", "current, but its last day has passed: destroy it", "today: out of date by 1 day"),
    ],
)
def test_a_current_card_is_out_of_use_after_its_last_day(opened, day, said, beside):
    page = opened(f"?today={day}")
    assert asked(page, CURRENT) == f"{CURRENT}: {said}"
    assert page.locator(f"[id='{CURRENT}'] .today").inner_text() == beside


def test_an_old_card_stays_what_it_is_whatever_the_day(opened):
    assert asked(opened("?today=2030-01-01"), OLD) == f"{OLD}: {STATES['superseded']}"


# ---- the square code --------------------------------------------------------------------------


@pytest.mark.parametrize(
    "tail", [f"#{CURRENT}", f"#{CURRENT.lower()}", f"?code={CURRENT}", f"?code={CURRENT}&today=2026-12-01"]
)
def test_the_address_of_a_square_code_is_answered_at_once(opened, tail):
    page = opened(tail)
    assert answer(page) == f"{CURRENT}: current"
    assert page.locator("form.status output").is_visible()


def test_another_card_scanned_on_the_open_page_is_answered_too(opened):
    page = opened(f"#{CURRENT}")
    page.evaluate("(code) => { location.hash = code; }", OLD)
    page.wait_for_function(
        "(code) => document.querySelector('form.status output').textContent.startsWith(code)", arg=OLD
    )
    assert answer(page) == f"{OLD}: {STATES['superseded']}"


@pytest.mark.parametrize("tail", ["#%E0%A4%A", "#content", "?code="])
def test_a_spoiled_address_breaks_nothing(opened, tail):
    page = opened(tail)
    assert "current" not in answer(page)
    assert len(shown(page)) == len(REGISTER)


# ---- without pointer, without script -----------------------------------------------------------


def test_a_code_is_looked_up_by_keyboard_alone(opened):
    page = opened()
    tab_to(page, "form.status input", 20)
    page.keyboard.type("oil5mep7")
    page.keyboard.press("Enter")
    assert answer(page) == f"{CURRENT}: current"
    assert page.evaluate("document.activeElement.name") == "code"
    assert page.url.endswith("?today=2026-11-25"), "Enter sends nothing anywhere"


def test_the_answer_is_told_to_a_screen_reader(opened):
    page = opened()
    field = page.get_by_role("textbox", name="Code on the card")
    field.fill(CURRENT)
    assert page.get_by_role("status").inner_text() == f"{CURRENT}: current"
    assert page.get_by_role("group", name="Which card is it?").is_visible()


def test_without_script_the_whole_table_is_there(register, reader):
    with reader(register, java_script_enabled=False) as window:
        page = window.open("cards/status.html")
        assert page.locator("form.status").count() == 0
        for entry in REGISTER:
            row = page.locator(f"tr[id='{entry.code}']")
            assert row.is_visible()
            assert STATES[entry.state] in row.inner_text()
        page = window.open(f"cards/status.html#{OLD}")
        assert page.locator(":target").get_attribute("id") == OLD


def test_question_and_answer_are_accessible_in_light_and_dark(opened):
    page = opened()
    for number, (scheme, code) in enumerate((s, c) for s in ("light", "dark") for c in (OLD, "OIL-WWWWW")):
        page.emulate_media(color_scheme=scheme)
        asked(page, code)
        assert violations(page, loaded=number > 0, runOnly={"type": "tag", "values": LEVELS}) == []
