"""What a changed build file would change for a session that is under way, in lines.

Imports ``session`` and the comparison of this room.
"""

from __future__ import annotations

from shopstep.model.plan import Plan
from shopstep.present.columns import fold_item, title_section
from shopstep.present.compare import compare_plans
from shopstep.present.compare_text import comparison_lines
from shopstep.session.revision import new_misfits
from shopstep.words import say


def change_lines(old: Plan, new: Plan, width: int = 78) -> list[str]:
    """The comparison of both plans, and what is cut already and would not fit any more."""
    lines = comparison_lines(compare_plans(old, new), width)
    cut = [line for text in new_misfits(old, new) for line in fold_item(text, width)]
    lines += title_section(say("Cut already"), cut, width)
    will = {step.id for step in new.steps}
    gone = sum(step.id not in will for step in old.steps)
    was = {step.id for step in old.steps}
    more = sum(step.id not in was for step in new.steps)
    lines += title_section(
        say("In this session"),
        [say("{more} steps more, {gone} fewer", more=more, gone=gone)],
        width,
    )
    return lines
