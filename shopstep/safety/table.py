"""The safety table: which cards stand before a step, most serious first, at most three.

Imports this room's rows and tools, and ``shopstep.model``.
"""

from __future__ import annotations

from shopstep.model.step import Caution
from shopstep.safety.row import SIGNALS, SafetyRow, Work
from shopstep.safety.saw_rows import SAW_ROWS
from shopstep.safety.tool_rows import TOOL_ROWS
from shopstep.safety.tools import find_tool, known_kind

MOST_CARDS = 3
"""More cards than this before one step are not read; rows are merged instead (a test counts)."""

ROWS: tuple[SafetyRow, ...] = SAW_ROWS + TOOL_ROWS


def cautions_for(tool: str, kind: str, work: Work) -> tuple[Caution, ...]:
    """The cards that stand before an operation of this kind with this tool on this work.

    ``tool`` is an id of ``TOOLS``, or empty for none; ``kind`` an operation kind of the model, for
    a brush ``paint`` or ``oil``. A kind that the tables do not tell apart gets the general cards.
    An unknown tool raises ValueError with the nearest name.
    """
    if not tool:
        return ()
    kind = known_kind(find_tool(tool), kind)
    applying = [row for row in ROWS if row.applies(tool, kind, work)]
    covered = {row_id for row in applying for row_id in row.stands_for}
    cards = [row.caution for row in applying if row.caution.id not in covered]
    return tuple(sorted(cards, key=lambda card: SIGNALS.index(card.signal)))
