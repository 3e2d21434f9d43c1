"""A keeper's own limits stand in place of published ranges, and are shown as theirs."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopstep.cli.main import run
from shopstep.design.resolve import resolve_design
from shopstep.model.plan import BuildFileError, Fit, Level, Limit
from shopstep.storage.settings import FileProfiles
from shopstep.units import Length
from tests.shelf_builds import build_texts


def fit_of(name: str, *limits: Limit, build: str = "screened-floor") -> Fit:
    """One fit of a shipped build under some limits."""
    found = resolve_design(*build_texts(build), (), "in", limits)
    return next(fit for fit in found.fits if fit.name == name)


def test_the_own_range_counts_and_the_published_one_is_told_with_it() -> None:
    fit = fit_of("mouse_gate", Limit("mouse_gate", "1/4 in..5/16 in"))
    assert (fit.least, fit.most) == (Length.inches("1/4"), Length.inches("5/16"))
    assert fit.own_limit
    assert not fit.ok
    assert fit.source.startswith("your own limit; published 1/4 in to 3/8 in, common practice")


@pytest.mark.parametrize(
    ("text", "least", "most"), [("..3/8 in", None, "3/8"), ("8 mm..", "40/127", None)]
)
def test_one_end_may_be_left_out(text: str, least: str | None, most: str | None) -> None:
    fit = fit_of("mouse_gate", Limit("mouse_gate", text))
    assert fit.ok
    assert fit.least == (Length.inches(least) if least else None)
    assert fit.most == (Length.inches(most) if most else None)


def test_what_was_typed_comes_before_what_the_shop_keeps() -> None:
    typed, kept = Limit("mouse_gate", "..1 in"), Limit("mouse_gate", "..1/4 in", typed=False)
    assert fit_of("mouse_gate", typed, kept).most == Length.inches(1)


def test_a_limit_may_be_for_one_build_only() -> None:
    here = Limit("screened-floor.mouse_gate", "..1/4 in", typed=False)
    assert fit_of("mouse_gate", here).own_limit
    assert not fit_of("mouse_gate", here, build="metric-floor").own_limit
    assert not fit_of("space_over", here, build="hive-body").own_limit


def test_a_broken_own_limit_of_a_must_is_a_stop() -> None:
    found = resolve_design(*build_texts("screened-floor"), (), "in",
                           (Limit("mouse_gate", "..1/4 in"),))  # fmt: skip
    (stop,) = [f for f in found.findings if f.level is Level.STOP]
    assert "at most 1/4 in is right" in stop.text
    assert "your own limit" in stop.remedy


@pytest.mark.parametrize(
    ("limit", "words"),
    [
        (Limit("mouse_gat", "..1 in"), "did you mean 'mouse_gate'"),
        (Limit("mouse_gate", "1 in"), "is no range"),
        (Limit("mouse_gate", ".."), "is no range"),
        (Limit("mouse_gate", "1 in..1/2 in"), "begins above its end"),
        (Limit("mouse_gate", "1 kg..2 in"), "limit of 'mouse_gate'"),
        (Limit("mouse_gate", "x..", typed=False), "limit of 'mouse_gate'"),
    ],
)
def test_a_limit_that_cannot_be_read_says_what_would_be_right(limit: Limit, words: str) -> None:
    with pytest.raises(BuildFileError) as caught:
        fit_of("mouse_gate", limit)
    assert words in caught.value.text
    assert caught.value.where.file in ("--limit", "limits of the shop")


def test_a_shop_keeps_limits_in_its_settings(tmp_path: Path) -> None:
    file = tmp_path / "settings.toml"
    file.write_text(
        'usual_shop = "shed"\n[shops.shed]\nclamps = 3\n[shops.shed.limits]\n'
        'mouse_gate = "..5/16 in"\n'
    )
    assert FileProfiles(file, "UTC").profile(None).limits == (("mouse_gate", "..5/16 in"),)


def test_the_command_line_takes_a_limit(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["check", "screened-floor", "--limit", "mouse_gate=..1/4 in"]) == 1
    said = " ".join(capsys.readouterr().out.split())
    assert "at most 1/4 in is right" in said
    assert "your own limit; published 1/4 in to 3/8 in" in said
