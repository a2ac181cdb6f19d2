"""The daily review in the worker's own time: beside the queue, so that no file waits for it."""

from __future__ import annotations

import logging
import threading
from dataclasses import replace
from typing import Final

from balewright.desk.intake.tasks import TellPage
from balewright.flows.review_fleet import review_when_due
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import Stopped

TICKET: Final = "daily-review"
"""Under it the page Health reads how far it is."""
LOOK_EVERY_S: Final = 60.0
AFTER_FAULT_S: Final = 3600.0
END_WITHIN_S: Final = 8.0
_LOG: Final = logging.getLogger("balewright.daily")


class DailyReview(threading.Thread):
    """Reviews the fleet when it is due, also right after a start. A daemon: what was reviewed of a
    fleet is kept machine by machine, so that an end at any moment loses nothing.
    """

    def __init__(self, workplace: Workplace) -> None:
        super().__init__(name=TICKET, daemon=True)
        self._ending = threading.Event()
        self._tell = TellPage(TICKET)
        self._workplace = replace(workplace, progress=self._progress)

    def run(self) -> None:
        """Until it is ended."""
        wait_s = 0.0
        while not self._ending.wait(wait_s):
            wait_s = self.look()

    def look(self) -> float:
        """Review the fleet if that is due; seconds until the next look."""
        try:
            review_when_due(self._workplace)
        except Stopped:
            pass
        except Exception:
            _LOG.exception("the daily review failed and is tried again in an hour")
            return AFTER_FAULT_S
        finally:
            self._workplace.register.close()
        return LOOK_EVERY_S

    def end(self) -> None:
        """Ask it to end after the machine in hand, and wait a little for that."""
        self._ending.set()
        self.join(END_WITHIN_S)

    def _progress(self, stage: str, done: int, total: int | None) -> None:
        if self._ending.is_set():
            raise Stopped(TICKET)
        self._tell(stage, done, total)
