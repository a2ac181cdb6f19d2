"""What the daily review says."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

MESSAGES: Final[Mapping[str, str]] = {
    "command.review.empty": "No machine is in the register yet: add it at the desk "
    "(`balewright serve`), or see an invented fleet with `balewright demo`.",
    "command.review.looked": "{machines:machine|machines} looked at, {changed} with new records; "
    "{charts:chart|charts} watched.",
    "command.review.told": "{open_alarms:trouble lasts|troubles last}: {told} told, {folded} told "
    "by another of the same matter, {waiting} waiting for more bales.",
    "command.review.aside": "{set_aside} set aside.",
    "command.review.rate": "At most {rate_frac} of what charts tell is mere chance, on average; "
    "crop, weather and drivers that nobody recorded come on top.",
    "command.review.hour": "From now on the desk begins it by itself at {hour_said} ({zone}).",
    "command.review.left_out": "Left out: {fault}",
}
