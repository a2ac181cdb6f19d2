"""Devices that send by themselves, as the command line says them."""

from typing import Final

MESSAGES: Final = {
    "senders.none": (
        "No device sends by itself yet. Let one with `balewright senders make --machine SERIAL`."
    ),
    "senders.column.key": "sender",
    "senders.column.machine": "machine",
    "senders.column.label": "device",
    "senders.column.seen": "last heard of (UTC)",
    "senders.ended": "{label} (withdrawn)",
    "senders.made": "{label} may now send for {machine}. Its token is said this once:",
    "senders.address": "Address: {path} on your desk",
    "senders.token": "Token: {token}",
    "senders.withdrawn": "{sender} is withdrawn: its token opens nothing any more.",
    "senders.unknown": "There is no such sender to withdraw: {sender}.",
}
