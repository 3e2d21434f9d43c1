"""Whether this machine is ready for an evening at the bench: each thing tried, with what to do.

Nothing is changed, and nothing here is needed to work: whoever has no sound still sees alarms.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from enum import StrEnum
from importlib.util import find_spec

from shopstep.storage.clock import find_zone_name, is_zone_name
from shopstep.storage.folders import (
    cache_folder,
    data_folder,
    sessions_folder,
    settings_file,
    shipped_folder,
)
from shopstep.storage.machine import find_player, try_folder, try_locks
from shopstep.wiring.benches import SESSION_SUFFIX
from shopstep.wiring.problems import Problem, plain_problems
from shopstep.words import say, to_say

LEAST_SIZE, GOOD_SIZE = (40, 15), (80, 24)
MADE_AFTER = datetime(2026, 1, 1, tzinfo=UTC)
"""No clock that is right can stand before this program was written."""
EXTRAS = {
    "tablet": (
        ("aiohttp", "cryptography", "segno", "textual_serve"),
        to_say("the card on a tablet"),
    ),
    "voice": (("hibari", "numpy", "pocketsphinx", "sounddevice"), to_say("speaking and hearing")),
    "open-ear": (("hama",), to_say("listening always, and hearing beside bangs")),
    "proofs": (("ortools",), to_say("proofs that a plan is best")),
}
"""Packages of each extra, and what it is for."""
SAMPLE = "█ ▀ ▄ ▌ ▐ ► ◄ ■ □ ○ ⣿ ⠊ ° × ±"
"""Every kind of sign that cards and pictures are drawn with."""


class Verdict(StrEnum):
    """How a thing stands."""

    GOOD = "good"
    LOOK = "look"
    """Works, and something is left out or may be better."""
    WRONG = "wrong"
    """Has to be put right before work can be kept."""


@dataclass(frozen=True, slots=True)
class Check:
    """One thing that was looked at."""

    name: str
    verdict: Verdict
    found: str
    then: str = ""
    """What to do; empty where all is well."""


@dataclass(frozen=True, slots=True)
class Terminal:
    """The terminal that was asked from."""

    columns: int
    rows: int
    encoding: str
    is_one: bool
    """A person's terminal, no pipe."""


def look_over_machine(
    terminal: Terminal, environment: Mapping[str, str] = os.environ, now_s: int | None = None
) -> tuple[Check, ...]:
    """All checks in the order in which they are read."""
    at_s = int(datetime.now(UTC).timestamp()) if now_s is None else now_s
    return (
        _check_python(),
        _check_size(terminal),
        _check_colours(environment),
        _check_signs(terminal),
        _check_sound(),
        *_check_folders(),
        _check_settings(),
        _check_builds(),
        *_check_extras(),
        _check_clock(at_s),
    )


def _check_python() -> Check:
    found = f"{sys.version_info.major}.{sys.version_info.minor}.{sys.version_info.micro}"
    return Check("python", Verdict.GOOD, found)


def _check_size(terminal: Terminal) -> Check:
    found = say("{columns} columns, {rows} rows", columns=terminal.columns, rows=terminal.rows)
    if not terminal.is_one:
        then = say("Ask from the terminal at the bench to see whether the card fits it.")
        return Check("screen", Verdict.LOOK, say("no terminal: output goes elsewhere"), then)
    if terminal.columns < LEAST_SIZE[0] or terminal.rows < LEAST_SIZE[1]:
        then = say(
            "Make the window larger or its letters smaller: {least_size} × {least_size_2}.",
            least_size=LEAST_SIZE[0],
            least_size_2=LEAST_SIZE[1],
        )
        return Check("screen", Verdict.WRONG, found, then)
    if terminal.columns < GOOD_SIZE[0] or terminal.rows < GOOD_SIZE[1]:
        then = say(
            "Fits; from {good_size} × {good_size_2} numbers are tall and stay on one page.",
            good_size=GOOD_SIZE[0],
            good_size_2=GOOD_SIZE[1],
        )
        return Check("screen", Verdict.LOOK, found, then)
    return Check("screen", Verdict.GOOD, found)


def _check_colours(environment: Mapping[str, str]) -> Check:
    kind = environment.get("TERM", "")
    if kind in ("", "dumb"):
        then = say("The card comes as plain lines. For the screen use a terminal that sets TERM.")
        return Check(
            "colours", Verdict.LOOK, say("TERM is {kind}", kind=kind or say("not set")), then
        )
    if environment.get("NO_COLOR"):
        then = say("Words and shapes say the same. Unset NO_COLOR to have colours.")
        return Check("colours", Verdict.LOOK, say("none, as NO_COLOR asks"), then)
    many = environment.get("COLORTERM", "") in ("truecolor", "24bit")
    if many or "256" in kind:
        return Check("colours", Verdict.GOOD, say("all of them") if many else "256")
    then = say("Caution colours come out near, not exact. Try TERM=xterm-256color.")
    return Check("colours", Verdict.LOOK, say("few (TERM is {kind})", kind=kind), then)


def _check_signs(terminal: Terminal) -> Check:
    try:
        SAMPLE.encode(terminal.encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        then = say("Tall numbers need UTF-8: set LANG to a UTF-8 one, for example C.UTF-8.")
        return Check(
            "signs", Verdict.WRONG, say("encoding {encoding}", encoding=terminal.encoding), then
        )
    then = say("These have to be whole, none a box or a question mark: {sample}", sample=SAMPLE)
    return Check(
        "signs", Verdict.GOOD, say("encoding {encoding}", encoding=terminal.encoding), then
    )


def _check_sound() -> Check:
    player = find_player()
    if player:
        return Check("sound", Verdict.GOOD, say("alarms are played by {player}", player=player))
    then = say(
        "Alarms show on the screen and ring its bell. To hear them, install alsa-utils or sox."
    )
    return Check("sound", Verdict.LOOK, say("no program that plays sound"), then)


def _check_folders() -> Iterator[Check]:
    places = (("data", data_folder()), ("cache", cache_folder()),
              (say("settings folder"), settings_file().parent))  # fmt: skip
    for name, folder in places:
        problem = try_folder(folder)
        if problem:
            then = say("Make room or give yourself leave to write there.")
            verdict = Verdict.WRONG if name == "data" else Verdict.LOOK
            yield Check(name, verdict, problem, then)
        else:
            yield Check(name, Verdict.GOOD, str(folder))
    problem = try_locks(data_folder())
    if problem:
        then = say("Keep the data folder on a disk of this machine (XDG_DATA_HOME moves it).")
        yield Check("locks", Verdict.WRONG, problem, then)
    else:
        yield Check("locks", Verdict.GOOD, say("two screens cannot write over each other"))


def _check_settings() -> Check:
    file = settings_file()
    if not file.exists():
        return Check("settings", Verdict.GOOD, say("none, the usual ones are meant"))
    from shopstep.storage.screen_settings import read_screen_settings
    from shopstep.storage.settings import FileProfiles

    try:
        with plain_problems():
            read_screen_settings(file)
            shops = FileProfiles(file, find_zone_name())
            for name in shops.names():
                shops.profile(name)
    except Problem as problem:
        then = (
            say("Mend that line.") if problem.where.line else say("Put a file there, or nothing.")
        )
        line = say(", line {line}", line=problem.where.line) if problem.where.line else ""
        return Check("settings", Verdict.WRONG, f"{file}{line}: {problem.text}", then)
    return Check("settings", Verdict.GOOD, str(file))


def _check_builds() -> Check:
    count = len(list(shipped_folder("builds").glob("*.yaml")))
    if not count:
        then = say("Install shopstep again: its builds are missing.")
        return Check("builds", Verdict.WRONG, say("none came with the program"), then)
    return Check("builds", Verdict.GOOD, say("{count} came with the program", count=count))


def _check_extras() -> Iterator[Check]:
    for extra, (packages, purpose) in EXTRAS.items():
        missing = [name for name in packages if find_spec(name) is None]
        if missing:
            then = say(
                "Only for {purpose}: pip install '.[{extra}]', where you cloned it.",
                purpose=say(purpose),
                extra=extra,
            )
            yield Check(
                extra,
                Verdict.LOOK,
                say("not installed: {missing}", missing=", ".join(missing)),
                then,
            )
        else:
            yield Check(extra, Verdict.GOOD, say("{purpose}: installed", purpose=say(purpose)))


def _check_clock(now_s: int) -> Check:
    zone = find_zone_name()
    here = datetime.fromtimestamp(now_s, tz=UTC)
    found = say("{here} UTC, time zone {zone}", here=format(here, "%Y-%m-%d %H:%M"), zone=zone)
    if here < MADE_AFTER:
        then = say("Set the clock: glue and paint are timed by it.")
        return Check("clock", Verdict.WRONG, found, then)
    newest = max(
        (path.stat().st_mtime for path in sessions_folder().glob(f"*{SESSION_SUFFIX}")),
        default=0.0,
    )
    if newest > now_s + 60:
        then = say("Your newest session was written later than this. Is the clock behind?")
        return Check("clock", Verdict.LOOK, found, then)
    if not is_zone_name(zone) or zone == "UTC":
        then = say("Evenings are told in UTC. If that is not yours, set the time zone (TZ).")
        return Check("clock", Verdict.LOOK, found, then)
    return Check("clock", Verdict.GOOD, found)
