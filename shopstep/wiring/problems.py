"""Exit codes, and every known failure as one sentence with a place."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from enum import IntEnum
from pathlib import Path

from shopstep.model.plan import BuildFileError, Finding, Level, PlanRefused, Where
from shopstep.storage.file_problem import SessionFileError
from shopstep.words import say


class ExitCode(IntEnum):
    """What the program tells its caller."""

    OK = 0
    REFUSED = 1
    """The plan is refused, or a rule of the bench is broken."""
    USAGE = 2
    """Wrong words on the command line, or a bad build file."""
    CONFLICT = 3
    """The session and what is asked do not go together."""
    FILES = 4
    """A file cannot be read or written."""
    INTERRUPTED = 130


class Problem(Exception):
    """Something the person has to put right: one sentence, a place, an exit code."""

    def __init__(
        self,
        text: str,
        code: ExitCode,
        where: Where | None = None,
        findings: tuple[Finding, ...] = (),
    ) -> None:
        super().__init__(text)
        self.text = text
        self.code = code
        self.where = where or Where()
        self.findings = findings


class BuildChanged(Problem):
    """The build file of a session is not as it was when the session was planned."""

    def __init__(self, file: str, session: str) -> None:
        self.short = say("{file} has changed since this session was planned.", file=file)
        """For a face that offers the ways on itself."""
        super().__init__(
            say(
                "{short} To see what it would change: shopstep resume {session} --show-change."
                " To plan the rest from it: --move-plan instead. To go on with the plan in the"
                " session: --keep-plan.",
                short=self.short,
                session=session,
            ),
            ExitCode.CONFLICT,
        )


@contextmanager
def plain_problems() -> Iterator[None]:
    """Every known failure inside comes out as a Problem."""
    try:
        yield
    except BuildFileError as problem:
        raise Problem(problem.text, ExitCode.USAGE, problem.where) from None
    except PlanRefused as refused:
        stops = [f.text for f in refused.findings if f.level is Level.STOP]
        raise Problem(" ".join(stops), ExitCode.REFUSED, findings=refused.findings) from None
    except SessionFileError as problem:
        raise Problem(problem.text, ExitCode.FILES) from None
    except BrokenPipeError:
        raise
    except OSError as problem:
        raise Problem(_place_trouble(problem), ExitCode.FILES) from None


def _place_trouble(problem: OSError) -> str:
    """What is wrong with a file's place, and what would be right."""
    name = str(problem.filename or say("a file"))
    folder = Path(name).parent
    if isinstance(problem, FileNotFoundError) and not folder.is_dir():
        why = say("there is no folder {folder}; make it first, or name another", folder=folder)
    elif isinstance(problem, FileNotFoundError):
        why = say("it is not there")
    elif isinstance(problem, IsADirectoryError):
        why = say("it is a folder; name a file in it")
    else:
        why = problem.strerror or str(problem)
    return f"{name}: {why}"
