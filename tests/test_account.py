"""What a batch took: money where prices are given, hours, waits, and what became of the wood."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from shopstep.cli.main import run
from shopstep.model.stock import BuyLine
from shopstep.present.account import AT_HAND, Prices, account_lines, account_of
from shopstep.present.record import record
from shopstep.session import commands as c
from shopstep.storage.folders import settings_file
from shopstep.storage.prices import read_prices
from shopstep.wiring.printing import make_sheets, printout_of_session
from tests.floor import BEGIN_S, floor_plan
from tests.paper_batch import build_from_paper
from tests.rack_bench import fill_rack
from tests.session_bench import Play, new_id

PRICES = """\
[shops.bench.prices]
currency = "€"
"pine board" = "14.20"
"wire cloth" = "3,5"
"wood glue" = "9"
"""


def test_prices_are_read_as_people_write_them() -> None:
    rows = read_prices({"currency": "€", "board": "14.20", "cloth": "3,5", "glue": "9"})
    assert rows == (("board", 1420, "€"), ("cloth", 350, "€"), ("glue", 900, "€"))
    for wrong in ("cheap", "-3", "1.234", "", "99999999", "0"):
        with pytest.raises(ValueError, match="is no price of 'board'"):
            read_prices({"board": wrong})
    with pytest.raises(ValueError, match="no sign of a currency"):
        read_prices({"currency": "gold dust"})


def test_a_wrong_price_is_named_with_its_line(capsys: pytest.CaptureFixture[str]) -> None:
    settings_file().parent.mkdir(parents=True, exist_ok=True)
    settings_file().write_text(PRICES.replace("14.20", "dear"), encoding="utf-8")
    assert run(["plan", "screened-floor"]) == 2
    assert "line 3: 'pine board': 'dear' is no price" in capsys.readouterr().err


def test_the_longest_words_that_fit_a_line_give_its_price() -> None:
    prices = Prices((("board", 100, "€"), ("pine board", 250, "€"), ("oak", 900, "€")))
    line = BuyLine("pine board", 2, "board", "2 × 3/4 in Pine board, 1×6, 8 ft")
    assert prices.of(line) == 250
    assert prices.of(replace(line, text="2 × lath")) is None
    assert prices.show(2405) == "24.05 €"


def test_money_is_the_sum_of_the_buy_list() -> None:
    plan = floor_plan()
    prices = Prices((("pine board", 1420, "€"), ("wire cloth", 350, "€")))
    account = account_of(record((), plan), plan, prices, BEGIN_S)
    boards = next(line.quantity for line in plan.buy if "pine board" in line.text)
    feet = next(line.quantity for line in plan.buy if "wire cloth" in line.text)
    assert account.cents == boards * 1420 + feet * 350
    others = [line for line in plan.buy if line.unit != AT_HAND]
    assert len(account.unpriced) == len(others) - 2
    (money,) = (line for line in account_lines(account, prices) if line.startswith("Money"))
    assert f"{account.cents // 100}.{account.cents % 100:02d} €" in money
    nothing = account_of(record((), plan), plan, Prices(), BEGIN_S)
    assert not any("Money" in line for line in account_lines(nothing, Prices()))


def test_all_wood_is_in_parts_kept_or_waste() -> None:
    plan = floor_plan()
    for each in account_of(record((), plan), plan, Prices(), BEGIN_S).yields:
        pieces = [piece for piece in plan.stock if piece.cuts]
        material = next(m.id for m in plan.materials if m.title == each.title)
        own = [piece for piece in pieces if piece.material == material]
        assert each.bought == sum(p.length.nm * p.width.nm for p in own)
        assert each.from_rack == 0
        assert 0 < each.in_parts < each.bought
        assert each.waste > 0
        assert each.in_parts + each.kept + each.waste == each.bought


def test_hours_at_the_bench_are_those_that_were_seen_and_waits_count_once() -> None:
    play = Play(floor_plan(), BEGIN_S)
    for _ in range(3):
        play.now_s += 600
        play.finish()
    account = account_of(record(play.envelopes, play.plan), play.plan, Prices(), play.now_s)
    assert (account.bench_s, account.untimed, account.waited_s) == (1800, 0, 0)
    play.do(c.HoldBatch(id=new_id()))


def test_the_summary_stands_in_the_log_on_the_summary_and_on_paper(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    settings_file().parent.mkdir(parents=True, exist_ok=True)
    settings_file().write_text(PRICES, encoding="utf-8")
    fill_rack()
    path = tmp_path / "floor.session"
    opened = build_from_paper(path, uses_rack=True)
    bench = opened.bench
    account = account_of(record(bench.changes_since(0), bench.plan), bench.plan, Prices(), 0)
    assert any(each.from_rack for each in account.yields)
    waits = [w for w in bench.plan.waits if w.is_least]
    done = bench.state.finished
    spans = [(done[w.after], min(done[w.after] + w.seconds, done[w.before])) for w in waits]
    minutes = {m for begin, end in spans for m in range(begin // 60, -(-end // 60))}
    assert account.waited_s == pytest.approx(len(minutes) * 60, abs=60 * len(spans))

    now = ["--now", "2026-03-01T18:00:00+00:00"]
    assert run(["log", str(path), "--summary", *now]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "Money: " in said
    assert "% from the rack" in said
    assert "glue and paint took" in said
    assert run(["do", str(path), "summary", *now]) == 0
    assert "Money: " in capsys.readouterr().out
    assert run(["log", str(path), "--summary", "--json", *now]) == 0
    document = json.loads(capsys.readouterr().out)["account"]
    assert document["currency"] == "€"
    assert document["untimed"] == len(bench.plan.steps)
    assert run(["log", str(path), "--summary", "--csv", *now]) == 2

    clock = type("Clock", (), {"now": lambda self: bench.changes_since(0)[-1].moment})()
    (sheet,) = make_sheets(printout_of_session(str(path), clock), ("overview",), "", "a4").values()
    took = sheet["took"]
    assert isinstance(took, list)
    assert any(line.startswith("Money") for line in took)
