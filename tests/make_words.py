"""Gathers all sentences that people see in ``assets/words/shopstep.pot``.

    python -m tests.make_words            writes the template
    python -m tests.make_words FILE.po    compiles a translation beside it: FILE.mo

Sentences are found without running anything where they stand as literals in ``say``,
``say_count`` and ``to_say``, in ``worded`` of the tablet's scripts and in ``[[…]]`` of its pages;
rows of the tables in ``TABLES`` are read from the loaded module, for some are put together there.
Each sentence has the file it stands in, and that file's first line as a note.
"""

from __future__ import annotations

import ast
import json
import re
import sys
from collections.abc import Iterable, Iterator
from dataclasses import fields, is_dataclass
from importlib import import_module
from pathlib import Path
from typing import Any

import click
from babel.messages.catalog import Catalog
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

from shopstep.cli.help_words import help_texts
from shopstep.cli.main import cli
from shopstep.words import PLAIN, speak

ROOT = Path(__file__).parent.parent
TEMPLATE = ROOT / "assets" / "words" / "shopstep.pot"
Message = str | tuple[str, str]
"""A sentence, or the one for one and the one for many."""
TABLES: tuple[tuple[str, str, tuple[str, ...]], ...] = (
    ("milling.wordings", "WORDINGS", ("title", "lead", "verb", "why", "check", "tail")),
    ("safety.saw_rows", "SAW_ROWS", ("harm", "avoid", "hand", "done")),
    ("safety.tool_rows", "TOOL_ROWS", ("harm", "avoid", "hand", "done")),
    ("safety.holding_rows", "ON_TACKS", ("harm", "avoid", "hand", "done")),
    ("safety.holding_rows", "FIRST_TACK", ("text",)),
    ("conditions.glues", "GLUES", ("title",)),
    ("conditions.paints", "PAINTS", ("title",)),
    ("conditions.longest", "LONGEST", ("late",)),
    ("tui.actions", "ACTIONS", ("label", "help")),
    ("safety.leaving_rows", "LEAVING_ROWS", ("text",)),
)
"""Tables whose rows are sentences: module, name, and the fields that are shown."""
_SCRIPT_WORDS = re.compile(r"\bworded\(\s*(\"(?:[^\"\\]|\\.)*\")")
_PAGE_WORDS = re.compile(r"\[\[([^\[\]]{3,})\]\]")
_CODE = re.compile(r"[a-z0-9]+(?:_[a-z0-9]+)+|shopstep .*|")


def gather() -> dict[Message, set[str]]:
    """Every sentence, and the files that it stands in."""
    found: dict[Message, set[str]] = {}
    for message, place in [
        *_from_sources(),
        *_from_scripts(),
        *_from_tables(),
        *_from_commands(),
    ]:
        if message and not (isinstance(message, str) and not re.search(r"[^\W\d_]", message)):
            found.setdefault(message, set()).add(place)
    return found


def _from_sources() -> Iterator[tuple[Message, str]]:
    for path in sorted((ROOT / "shopstep").rglob("*.py")):
        place = path.relative_to(ROOT).as_posix()
        tree = ast.parse(path.read_text(encoding="utf-8"))
        for node in ast.walk(tree):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
                yield from ((message, place) for message in _of_call(node, node.func.id))


def _of_call(node: ast.Call, name: str) -> Iterable[Message]:
    if name == "to_say":
        return [text for argument in node.args for text in _strings(argument)]
    literals = [a.value for a in node.args if isinstance(a, ast.Constant)]
    texts = [text for text in literals if isinstance(text, str)]
    if name == "say" and texts and isinstance(node.args[0], ast.Constant):
        return texts[:1]
    return [(texts[0], texts[1])] if name == "say_count" and len(texts) > 1 else []


def _strings(node: ast.AST) -> Iterator[str]:
    """Of a table every sentence: no keys, no codes, and of a call only what has a blank in it or
    begins with a capital."""
    if isinstance(node, ast.Constant):
        if isinstance(node.value, str) and not _CODE.fullmatch(node.value):
            yield node.value
    elif isinstance(node, ast.Dict):
        for value in node.values:
            yield from _strings(value)
    elif isinstance(node, ast.Starred):
        yield from _strings(node.value)
    elif isinstance(node, ast.Tuple | ast.List | ast.Set):
        for item in node.elts:
            yield from _strings(item)
    elif isinstance(node, ast.Call):
        for argument in [*node.args, *(keyword.value for keyword in node.keywords)]:
            yield from (t for t in _strings(argument) if " " in t.strip() or t[:1].isupper())


def _from_scripts() -> Iterator[tuple[Message, str]]:
    web = ROOT / "shopstep" / "tablet" / "web"
    for path in sorted([*web.glob("*.js"), *web.glob("*.html")]):
        text, place = path.read_text(encoding="utf-8"), path.relative_to(ROOT).as_posix()
        if path.suffix == ".html":
            yield from ((match[1], place) for match in _PAGE_WORDS.finditer(text))
        else:
            yield from ((json.loads(match[1]), place) for match in _SCRIPT_WORDS.finditer(text))


def _from_tables() -> Iterator[tuple[Message, str]]:
    speak(PLAIN)
    for module, name, shown in TABLES:
        place = f"shopstep/{module.replace('.', '/')}.py"
        for row in _rows(getattr(import_module(f"shopstep.{module}"), name)):
            yield from ((getattr(row, field), place) for field in shown if hasattr(row, field))


def _from_commands() -> Iterator[tuple[Message, str]]:
    """Help of all commands and options; read off the commands, as click has cleaned it."""
    root = cli
    context = click.Context(root)
    yield from ((text, "shopstep/cli/main.py") for text in help_texts(root))
    for name in root.list_commands(context):
        command = root.get_command(context, name)
        if command is not None and command.callback is not None:
            place = f"{command.callback.__module__.replace('.', '/')}.py"
            yield from ((text, place) for text in help_texts(command))


def _rows(table: Any) -> Iterator[Any]:
    """The rows of a table, and what they hold."""
    if isinstance(table, dict):
        table = tuple(table.values())
    if is_dataclass(table):
        yield table
        for field in fields(table):
            yield from _rows(getattr(table, field.name))
    elif isinstance(table, tuple):
        for row in table:
            yield from _rows(row)


def make_catalogue() -> Catalog:
    """The template, in the order of the files."""
    catalogue = Catalog(project="shopstep", charset="utf-8", fuzzy=False, header_comment=_HEADER)
    rows = [(sorted(places), message) for message, places in gather().items()]
    for places, message in sorted(rows, key=lambda row: (row[0][0], str(row[1]))):
        notes = [note for place in places[:1] if (note := _note(place))]
        catalogue.add(message, locations=[(place, None) for place in places], auto_comments=notes)  # type: ignore[misc]
    return catalogue


_HEADER = """\
# The words of shopstep, ready for translation; made by python -m tests.make_words.
# What stands in braces is a place: it keeps its name, and may stand elsewhere in the sentence."""


def _note(place: str) -> str:
    path = ROOT / place
    if path.suffix == ".html":
        return "A page of the tablet."
    if path.suffix == ".js":
        first = path.read_text(encoding="utf-8").partition("\n")[0]
        return first.removeprefix("//").strip()
    said = ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))) or ""
    return said.partition("\n")[0]


def template_text() -> str:
    """What stands in the template."""
    from io import BytesIO

    out = BytesIO()
    write_po(out, make_catalogue(), width=100, omit_header=False)
    lines = out.getvalue().decode("utf-8").splitlines()
    dated = ('"POT-Creation-Date', '"PO-Revision-Date', '"Generated-By')
    return "\n".join(line for line in lines if not line.startswith(dated)) + "\n"


def compile_words(file: Path) -> Path:
    """The compiled form of a translation, beside it."""
    with file.open("rb") as opened:
        catalogue = read_po(opened)
    made = file.with_suffix(".mo")
    with made.open("wb") as out:
        write_mo(out, catalogue)
    return made


if __name__ == "__main__":
    if len(sys.argv) > 1:
        print(compile_words(Path(sys.argv[1])))
    else:
        TEMPLATE.parent.mkdir(parents=True, exist_ok=True)
        TEMPLATE.write_text(template_text(), encoding="utf-8")
        print(f"{TEMPLATE}: {len(gather())} sentences")
