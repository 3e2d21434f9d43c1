"""README cannot go stale: its commands are parsed or run, its output is compared, its files read.

A line ``…`` in an output stands for any number of lines.
"""

from __future__ import annotations

import re
import shlex
import tomllib
from functools import lru_cache
from pathlib import Path

import click
import pytest

from shopstep.cli.main import cli, run
from shopstep.storage.backups import backup_folder
from shopstep.storage.folders import settings_file
from shopstep.storage.screen_settings import read_screen_settings
from shopstep.storage.settings import FileProfiles
from shopstep.wiring.desks import places
from shopstep.wiring.problems import ExitCode

README = Path(__file__).parent.parent / "README.md"
NOW = "2026-01-15T18:00:00+00:00"
"""The evening on which the README was written, as far as its output goes."""
LEFT_OUT = "…"
_BLOCK = re.compile(r"^```(\w+)\n(.*?)^```$", re.DOTALL | re.MULTILINE)
_SPAN = re.compile(r"(?<!`)`([^`]+)`(?!`)")
STANDS_FOR = {"FILE", "CODE", "NAME", "THIS", "THAT", "SESSION"}
"""Words in capitals that stand for one of the reader's own."""


@lru_cache(maxsize=1)
def text() -> str:
    """The README."""
    return README.read_text(encoding="utf-8")


def blocks(kind: str) -> list[str]:
    """What stands between fences of a kind."""
    return [body for name, body in _BLOCK.findall(text()) if name == kind]


def spans() -> list[str]:
    """What stands between single backticks, on one line or over two."""
    return [" ".join(span.split()) for span in _SPAN.findall(_BLOCK.sub("", text()))]


def commands() -> list[list[str]]:
    """Every command line of the README, in words, without the program's name."""
    typed = [span for span in spans() if span.startswith("shopstep")]
    for block in (*blocks("sh"), *blocks("console")):
        for line in block.splitlines():
            typed += [part.removeprefix("$").strip() for part in line.split("&&")]
    lines = [shlex.split(line) for line in typed]
    return [words[1:] for words in lines if words and words[0].rpartition("/")[2] == "shopstep"]


def parse(words: list[str]) -> click.Context:
    """The command that the words mean, its options and arguments read; nothing is done."""
    name, *rest = words
    if name.startswith("--"):
        return cli.make_context("shopstep", words)
    command = cli.get_command(click.Context(cli), name)
    assert command is not None, f"there is no command '{name}'"
    while isinstance(command, click.Group) and rest and not rest[0].startswith("-"):
        found = command.get_command(click.Context(command), rest[0])
        assert found is not None, f"there is no '{name} {rest[0]}'"
        command, rest = found, rest[1:]
    return command.make_context(name, rest)


@pytest.mark.parametrize("words", [w for w in commands() if w], ids=shlex.join)
def test_every_command_of_the_readme_is_one(words: list[str]) -> None:
    named = set(re.findall(r"[A-Z]{2,}", " ".join(words)))
    try:
        context = parse(words)
    except (click.MissingParameter, click.BadOptionUsage):
        # the command is only named, or its last option is
        assert len(words) == 1 or words[-1].startswith("--") or named & STANDS_FOR
    except click.exceptions.Exit:
        assert words[-1] == "--help"
    else:
        assert context.command.name


def test_every_option_that_is_only_named_is_an_option_of_some_command() -> None:
    known = {option for name in cli.list_commands(click.Context(cli)) for option in options(name)}
    named = {word for span in spans() for word in span.split() if word.startswith("--")}
    assert len(named) > 20
    assert {word.partition("=")[0] for word in named} <= known


def options(name: str) -> set[str]:
    """All options of a command and of what is under it."""
    found: set[str] = {"--help"}
    todo = [cli.get_command(click.Context(cli), name)]
    while todo:
        command = todo.pop()
        assert command is not None
        found |= {word for parameter in command.params for word in parameter.opts}
        if isinstance(command, click.Group):
            inner = click.Context(command)
            todo += [command.get_command(inner, each) for each in command.list_commands(inner)]
    return found


def test_what_the_readme_shows_is_what_comes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    for block in blocks("yaml"):
        (named,) = re.findall(r"^id: (\S+)$", block, re.MULTILINE)
        (tmp_path / f"{named}.yaml").write_text(block, encoding="utf-8")
    shown = 0
    for block in blocks("console"):
        for command, wanted in told_in(block):
            words = shlex.split(command)[1:]
            if "--now" in options(words[0]):
                words += ["--now", NOW]
            code = run(words)
            said = capsys.readouterr()
            assert code in (ExitCode.OK, ExitCode.REFUSED), said.err
            assert_shown(wanted, said.out.splitlines(), command)
            shown += 1
    assert shown >= 8


def told_in(block: str) -> list[tuple[str, list[str]]]:
    """Each command of a block with the lines under it."""
    found: list[tuple[str, list[str]]] = []
    for line in block.splitlines():
        if line.startswith("$ "):
            found.append((line[2:], []))
        else:
            found[-1][1].append(line)
    return found


def assert_shown(wanted: list[str], said: list[str], command: str) -> None:
    """All lines in their order, with nothing between them but where lines are left out."""
    at = 0
    may_skip = False
    for line in wanted:
        if line == LEFT_OUT:
            may_skip = True
            continue
        if may_skip:
            later = [n for n in range(at, len(said)) if said[n].rstrip() == line]
            assert later, f"{command}: no line '{line}' any more"
            at = later[0]
        assert at < len(said), f"{command}: '{line}' is missing"
        assert said[at].rstrip() == line, command
        at, may_skip = at + 1, False
    assert may_skip or at == len(said), f"{command}: more is said: {said[at:]}"


def test_the_comparison_itself_finds_what_is_stale() -> None:
    said = ["a", "b", "c"]
    assert_shown(["a", LEFT_OUT, "c"], said, "x")
    assert_shown(["a", LEFT_OUT], said, "x")
    for stale in (["a"], ["a", "c"], [LEFT_OUT, "d"], ["b", LEFT_OUT], ["a", "b", "c", "d"]):
        with pytest.raises(AssertionError):
            assert_shown(stale, said, "x")


@pytest.mark.parametrize("block", blocks("toml"))
def test_the_settings_of_the_readme_are_read(block: str) -> None:
    tomllib.loads(block)
    settings_file().parent.mkdir(parents=True, exist_ok=True)
    settings_file().write_text(block, encoding="utf-8")
    read_screen_settings(settings_file())
    shops = FileProfiles(settings_file(), "UTC")
    for name in shops.names():
        shops.profile(name)


def test_links_and_pictures_of_the_readme_are_there() -> None:
    named = re.findall(r"\]\(([^)#]+)\)", text())
    assert named
    for place in named:
        assert (README.parent / place).is_file(), place


def test_every_command_of_the_program_stands_in_the_readme() -> None:
    told = {words[0] for words in commands() if words}
    assert set(cli.list_commands(click.Context(cli))) <= told


def section(title: str) -> str:
    """What stands under a heading."""
    return text().split(f"\n## {title}\n")[1].split("\n## ")[0]


def test_every_kept_file_stands_under_where_files_live() -> None:
    told = section("Where files live")
    for name, place in places():
        if name not in ("shipped builds", "data", "cache"):
            assert f"`{Path(place).name}`" in told, name
    assert f"`{backup_folder(Path('sessions') / 'x.session')}`" in told


def test_the_changes_begin_with_this_version() -> None:
    project = tomllib.loads((README.parent / "pyproject.toml").read_text(encoding="utf-8"))
    assert section("Changes").strip().startswith(f"**{project['project']['version']}**")
