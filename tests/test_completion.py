"""What Tab offers: commands, options, builds and sessions, in each of the three shells."""

from __future__ import annotations

import subprocess
from pathlib import Path
from shutil import which

import pytest

from shopstep.cli.main import _ROOMS, cli, run
from shopstep.storage.folders import own_builds_folder, sessions_folder


def offered(*words: str) -> list[str]:
    """What is offered for the last of the words."""
    from click.shell_completion import ShellComplete

    shell = ShellComplete(cli, {}, "shopstep", "_SHOPSTEP_COMPLETE")
    return [item.value for item in shell.get_completions(list(words[:-1]), words[-1])]


def test_every_command_is_offered_and_those_that_were_begun() -> None:
    assert offered("") == list(_ROOMS)
    assert offered("re") == ["resume", "remind"]
    assert "--units" in offered("plan", "--u")


def test_builds_are_offered_the_keepers_own_too() -> None:
    own_builds_folder().mkdir(parents=True)
    (own_builds_folder() / "scraper-box.yaml").write_text("")
    assert offered("plan", "scr") == ["scraper-box", "screened-floor"]
    assert offered("start", "bird") == ["bird-box"]
    assert offered("compare", "roof", "hive-s") == ["hive-stand"]


def test_sessions_are_offered_and_the_word_for_the_latest() -> None:
    assert offered("board", "") == ["LAST"]
    sessions_folder().mkdir(parents=True)
    (sessions_folder() / "roof-2026-01-15.session").write_text("")
    assert offered("do", "roof") == ["roof-2026-01-15"]
    assert offered("print", "roof") == ["roof", "roof-2026-01-15"]


def test_what_is_none_of_them_is_left_to_the_shells_own_files() -> None:
    from click.shell_completion import ShellComplete

    shell = ShellComplete(cli, {}, "shopstep", "_SHOPSTEP_COMPLETE")
    (item,) = shell.get_completions(["plan"], "./own/")
    assert (item.value, item.type) == ("./own/", "file")


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_each_shell_gets_its_lines(
    shell: str, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    assert run(["completion", shell]) == 0
    script = capsys.readouterr().out
    assert "_SHOPSTEP_COMPLETE" in script
    if which(shell):
        file = tmp_path / "lines"
        file.write_text(script)
        subprocess.run([shell, "-n", str(file)], check=True)


def test_another_shell_is_told_which_are_known(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["completion", "tcsh"]) == 2
    assert "bash" in capsys.readouterr().err
