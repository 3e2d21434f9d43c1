"""What a build asks to have measured: prompts, usual values and ranges as lengths."""

from __future__ import annotations

from dataclasses import replace

from shopstep.design.build_file import BuildFile, read_build_file
from shopstep.design.deciding import Decided, moved_by_measurements
from shopstep.design.inputs import define_inputs
from shopstep.design.values import Values
from shopstep.model.measure import MeasureQuestion, Questionnaire
from shopstep.model.plan import BuildText


def ask_measurements(
    build: BuildText,
    parents: tuple[BuildText, ...],
    given: tuple[tuple[str, str], ...] = (),
    display: str = "",
    explain: bool = False,
) -> Questionnaire:
    """All measurements of a build, in its order; BuildFileError where it cannot be read.

    A usual value or a range may depend on other measurements and on choices: those ``given``
    count, others are taken at their usual values. ``display``: ``in``, ``mm``, or empty for the
    unit that the build prefers. ``explain``: also which fits hang on each, which takes longer.
    """
    return ask_of_file(read_build_file(build, parents), given, display, explain)


def ask_of_file(
    file: BuildFile,
    given: tuple[tuple[str, str], ...] = (),
    display: str = "",
    explain: bool = False,
) -> Questionnaire:
    """The same of a file that is read already."""
    shown = display or file.entry.show.display
    values = Values(file.source)
    define_inputs(file, values, given, shown)
    decides = moved_by_measurements(file, given, shown) if explain else {}
    moved = {name: decides.get(name, Decided()) for name in file.entry.measurements}
    questions = tuple(
        replace(_question(file, values, name), decides=told.fits, shapes=told.parts)
        for name, told in moved.items()
    )
    return Questionnaire(file.entry.title, shown, questions)


def _question(file: BuildFile, values: Values, name: str) -> MeasureQuestion:
    entry = file.entry.measurements[name]
    path = ("measurements", name)
    return MeasureQuestion(
        name=name,
        prompt=entry.prompt,
        usual=values.size(entry.usual, (*path, "usual")),
        least=values.length(entry.least, (*path, "least")),
        most=values.length(entry.most, (*path, "most")),
        several=entry.several,
    )
