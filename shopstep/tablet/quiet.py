"""Takes what the server library would log: it may hold headers, so only the fact is told.

Imports the standard library only.
"""

from __future__ import annotations

import logging
from collections.abc import Callable

from shopstep.words import say


class _Fact(logging.Handler):
    def __init__(self, tell: Callable[[str], None]) -> None:
        super().__init__()
        self._tell = tell

    def emit(self, record: logging.LogRecord) -> None:
        """Tell that something was wrong, and the kind of it; never its words."""
        kind = record.exc_info[0].__name__ if record.exc_info and record.exc_info[0] else "problem"
        self._tell(say("a request could not be answered: {kind}", kind=kind))


def quiet_logger(tell: Callable[[str], None]) -> logging.Logger:
    """A logger of its own that no other handler hears."""
    logger = logging.Logger("shopstep.tablet", logging.WARNING)
    logger.propagate = False
    logger.addHandler(_Fact(tell))
    return logger
