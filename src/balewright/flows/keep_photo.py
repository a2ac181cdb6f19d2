"""Keep a photo of a case. Where and with what it was taken is left out unless it is wanted."""

from __future__ import annotations

from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.si import MICROSECONDS_PER_S
from balewright.readers.photo import read_photo
from balewright.store.case_entries import PhotoEntry
from balewright.store.photos import LARGEST_BYTES, Photos


def bare_photo(content: bytes) -> bytes:
    """The picture alone. Raises BadInput for what is no photo."""
    return read_photo(content).bare


def photo_faults(content: bytes, with_position: bool) -> None:
    """Raises BadInput for a photo that cannot be kept as it is: its entry names its content, so
    that nothing may be taken out of it here."""
    if len(content) > LARGEST_BYTES:
        need = f"at most {LARGEST_BYTES >> 20} MB"
        raise BadInput(Fault("photo", need, f"{len(content)} bytes", "Take a smaller one."))
    if not read_photo(content).is_bare and not with_position:
        need = "a photo without what it carries beside the picture, such as its position"
        cure = "Send it again from the case page, which leaves that out, or say that it is wanted."
        raise BadInput(Fault("photo", need, "one with it", cure))


def keep_photo(workplace: Workplace, case: str, content: bytes) -> str:
    """Keep a photo's file and note that it is there; its hash, as the entry `photo` names it."""
    media = read_photo(content).media
    sha256 = Photos(workplace.home / "photos").keep(content)
    at_us = round(workplace.clock().timestamp() * MICROSECONDS_PER_S)
    workplace.register.add_photo(case, PhotoEntry(sha256, media, len(content), at_us))
    return sha256
