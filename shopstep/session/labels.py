"""The label of a glue is asked for before its first glue-up: it knows the bottle, the table not.

Imports the plan from ``model``, and commands, events, refusals and situation of this room.
"""

from __future__ import annotations

from shopstep.model.naming import BUILD_MARK
from shopstep.model.step import GlueRole, Step, WaitKind
from shopstep.session import commands as c
from shopstep.session import events as e
from shopstep.session.becoming import told_of
from shopstep.session.situation import Situation
from shopstep.units import format_span
from shopstep.words import say

LONGEST_S = 4 * 3600
"""No wood glue is open for longer (common practice, no source)."""


def glue_of(situation: Situation, step: Step) -> str:
    """The glue of a step under the name that its build gives it; empty for none."""
    return (situation.kind_of(step).glue or "").partition(BUILD_MARK)[0]


def check_label(situation: Situation, step: Step) -> c.Refusal | None:
    """Before the first glue of each kind: what does its label give for open time?"""
    known = situation.around.labels
    spreads = situation.kind_of(step).role is GlueRole.SPREAD
    if not spreads or step.id in situation.state.spread:
        return None
    glue = glue_of(situation, step)
    told_s = situation.state.labels.get(glue, 0)
    if told_s and told_of(glue, told_s) not in situation.plan.read_labels:
        return c.Refusal(
            say(
                "The label gives {told} open time, and the plan is not made for it: "
                "spread no glue. Take a slower glue, or divide the glue-up in the build.",
                told=format_span(told_s),
            ),
            "wrong_label",
            say("In words: `label 8 min`, when another bottle gives more."),
        )
    if known is None or glue in known or glue in situation.state.labels:
        return None
    table_s = min(
        (w.seconds for w in situation.index.waits_after.get(step.id, ())
         if w.kind is WaitKind.OPEN),
        default=0,
    )  # fmt: skip
    return c.Refusal(
        say(
            "What does the label of your {glue} give for open time? The table says "
            "{table}; the label knows your bottle.",
            glue=glue.replace("_", " "),
            table=format_span(table_s),
        ),
        "label",
        say("In words: `label 8 min`, or `label none`."),
    )


def read_label(situation: Situation, command: c.ReadLabel) -> tuple[e.Event, ...] | c.Refusal:
    """The open time for the glue of the step that is meant, else of the next that spreads any."""
    step = situation.index.steps.get(command.step or "") or situation.current()
    glue = glue_of(situation, step) if step is not None else ""
    if not glue:
        return c.Refusal(say("This step uses no glue, so it has no label to read."), "no_glue")
    if not 0 <= command.seconds <= LONGEST_S:
        text = say(
            "{seconds} is no open time; give 1 s to 4 h.", seconds=format_span(command.seconds)
        )
        return c.Refusal(text, "bad_value")
    if situation.state.labels.get(glue) == command.seconds:
        return ()
    return (e.LabelRead(glue, command.seconds),)
