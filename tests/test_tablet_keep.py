"""On a tablet, too, what lies outside its tolerance is kept only after one more question."""

from __future__ import annotations

from pathlib import Path
from uuid import uuid4

from playwright.sync_api import expect

from shopstep.present.card import StepCard
from shopstep.present.deviations import KEEP_TITLE, is_outside
from shopstep.present.phrases import parse_command
from shopstep.wiring.benches import open_session
from shopstep.wiring.clocks import make_clock
from tests.tablet_page import LANDSCAPE, chromium, make_tablet
from tests.tablet_run import TabletRun, card_of, lead_on, make_session


def read_outside(path: Path) -> StepCard:
    """Go on to the first number that is asked for, and read far too much."""
    opened = open_session(str(path), make_clock(None), "do")
    with opened.journal:
        for _ in range(80):
            card = opened.bench.card()
            if any(action.id == "measure" for action in card.actions):
                break
            lead_on(opened, card)
        check = next(c for c in card.checks if c.expected_nm is not None)
        words = ["measure", check.name, "3", "in", *(["toe"] if check.asks_where else [])]
        command = parse_command(words, card, None, uuid4().hex)
        assert not isinstance(command, str), command
        opened.bench.do(command)
    return card_of(path)


def test_keep_as_it_is_asks_once_more_and_its_answer_keeps_it(tmp_path: Path) -> None:
    session = make_session(tmp_path)
    card = read_outside(session)
    assert any(is_outside(check) for check in card.checks)
    run = TabletRun(session)
    run.code = run.next_code()
    try:
        with chromium() as browser:
            tablet = make_tablet(browser, LANDSCAPE)
            tablet.pair(run.url, run.code)
            tablet.wait_for_card()
            for _ in range(2):
                tablet.tap("accept")
                page = tablet.page.locator("#page")
                expect(page).to_contain_text(KEEP_TITLE)
                expect(page).to_contain_text("Measured: 3 in")
                assert card_of(session).version == card.version
                tablet.page.wait_for_timeout(820)
                tablet.page.locator('[data-act="close"]').tap()
                expect(page).to_be_hidden()
                tablet.page.wait_for_timeout(820)
            tablet.tap("accept")
            tablet.page.wait_for_timeout(820)
            tablet.page.locator('[data-act="keep it"]').tap()
            expect(tablet.page.locator('[data-act="accept"]')).to_have_count(0)
            assert not tablet.faults
    finally:
        run.stop()
    assert all(not is_outside(check) for check in card_of(session).checks)
