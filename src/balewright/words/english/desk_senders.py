"""What the desk says round devices that send by themselves, and what it tells the devices."""

from __future__ import annotations

from typing import Final

MESSAGES: Final = {
    "desk.senders.title": "Devices that send",
    "desk.senders.what": (
        "A device on a machine may hand its records over by itself. Each has a token that speaks "
        "for one machine and reads nothing else."
    ),
    "desk.senders.all": "All devices",
    "desk.senders.none": "No device sends by itself yet.",
    "desk.senders.no_machine": "A device sends for a machine of the register; there is none yet.",
    "desk.senders.add": "Let a device send",
    "desk.senders.machine": "Machine",
    "desk.senders.machine.hint": "The only one it may speak of. Rows of others are refused.",
    "desk.senders.label": "Which device",
    "desk.senders.label.hint": "So that you know it again: the box in the cab, for instance.",
    "desk.senders.do": "Make its token",
    "desk.senders.made": "{label} may now send for {machine}",
    "desk.senders.made.once": (
        "Put the token into the device now: it is shown this once, and the desk keeps only a "
        "fingerprint of it."
    ),
    "desk.senders.open": (
        "This desk is reached without encryption: anybody on the way can read the token. Put a "
        "proxy that speaks HTTPS in front before a device sends from outside."
    ),
    "desk.senders.address": "Address",
    "desk.senders.token": "Token",
    "desk.senders.copy": "Copy the token",
    "desk.senders.example": "One batch, as a device or a script would send it:",
    "desk.senders.state.good": "May send",
    "desk.senders.state.withdrawn": "Withdrawn",
    "desk.senders.made_by": "made {day} by {name}",
    "desk.senders.seen": "last heard of {at} UTC",
    "desk.senders.never": "never heard of yet",
    "desk.senders.withdraw": "Withdraw",
    "desk.senders.withdrawn.done": "Its token opens nothing any more.",
    "desk.senders.delivery.WAITING": "waits to be taken in",
    "desk.senders.delivery.TAKEN": "taken in",
    "desk.senders.delivery.ALREADY_TAKEN": "was known already",
    "desk.senders.delivery.REFUSED": "refused",
    "desk.senders.delivery.FAILED": "failed here; it may be sent again",
    # what a device is told
    "desk.door.room": "room for one more delivery",
    "desk.door.too_often": "too many requests in a minute",
    "desk.door.cure.later": "Keep it, and send the same again after {seconds} seconds.",
    "desk.door.cure.400": "Send the same once more, whole.",
    "desk.door.cure.401": "Give the token as `Authorization: Bearer TOKEN`, or have one made.",
    "desk.door.cure.404": "Use the address that the answer to the delivery gave.",
    "desk.door.cure.405": "Use the method that `Allow` names.",
    "desk.door.cure.413": "Send it in smaller batches.",
    "desk.door.cure.415": "Say what the body is, and send it without a content encoding.",
    "desk.door.cure.422": "Give this batch another key; send a batch again as it was.",
}
