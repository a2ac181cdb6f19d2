"""An amount told in a technician's time where no hour is priced: command and desk."""

from __future__ import annotations

from typing import Final

MESSAGES: Final = {
    "purse.minutes": "{figure} min of work",
    "purse.hours": "{figure} h of work",
}
