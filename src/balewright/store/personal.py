"""Every place where personal data may lie, and how it leaves. The list is complete: a test asks
each column of the journal and each field of the register what it holds.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final


class Personal(StrEnum):
    """What kind of personal data."""

    CUSTOMER = "customer"
    OPERATOR = "operator"
    POSITION = "position"
    ACCOUNT = "account"
    WRITTEN = "written"
    PHOTO = "photo"
    ANY = "any"


class Leaves(StrEnum):
    """How it leaves: by `erase`, with the originals' rule, by removing the file, never by itself
    (somebody must change it by hand)."""

    ERASED = "erased"
    RULE = "rule"
    FILE = "file"
    BY_HAND = "by hand"

    @property
    def key(self) -> str:
        """As a part of a message's key."""
        return self.value.replace(" ", "_")


@dataclass(frozen=True)
class Holding:
    """One place. place: `dataset.column`, `table.field` or a folder of the workplace; kind: what
    it may hold; leaves: how it goes."""

    place: str
    kind: Personal
    leaves: Leaves = Leaves.ERASED


def _all(kind: Personal, leaves: Leaves, *places: str) -> tuple[Holding, ...]:
    return tuple(Holding(place, kind, leaves) for place in places)


HOLDINGS: Final = (
    *_all(Personal.OPERATOR, Leaves.ERASED, "bales.operator"),
    *_all(Personal.POSITION, Leaves.ERASED, "bales.lat", "bales.lon"),
    *_all(
        *(Personal.CUSTOMER, Leaves.ERASED),
        *("bales.job", "customer.name", "machine.customer", "job.job", "job.customer"),
        *("job.farm", "job.field", "outline.customer", "outline.farm", "outline.field"),
    ),
    *_all(Personal.POSITION, Leaves.ERASED, "outline.rings"),
    *_all(
        *(Personal.ACCOUNT, Leaves.ERASED),
        *("link.made_by", "feedback.given_by", "snapshot.kept_by", "columnmap.made_by"),
        *("correction.made_by", "sender.made_by", "upload.made_by", "houserule.set_by"),
        *("erasure.by", "access.who", "setaside.made_by", "setaside.ended_by"),
        *("caseentry.arrived_by", "caselink.made_by"),
    ),
    *_all(Personal.ACCOUNT, Leaves.BY_HAND, "people who sign in"),
    *_all(
        *(Personal.WRITTEN, Leaves.BY_HAND),
        *("machine.name", "sheet.body", "link.note"),
        *("feedback.text", "feedback.changes", "snapshot.note", "snapshot.origin"),
        *("snapshot.settings", "columnmap.name", "columnmap.body", "sender.label"),
        *("correction.why", "access.subject", "setaside.reason"),
    ),
    *_all(
        Personal.ANY,
        Leaves.ERASED,
        "correction.value",
        "intake.details",
        "intake.name",
        "delivery.name",
        "upload.name",
        "events.note",
        "events.item",
        "watchstate.body",
    ),
    *_all(Personal.WRITTEN, Leaves.ERASED, "caseentry.payload", "caseentry.said_by"),
    *_all(Personal.WRITTEN, Leaves.BY_HAND, "caselink.note"),
    *_all(Personal.PHOTO, Leaves.ERASED, "photos"),
    *_all(Personal.ANY, Leaves.RULE, "originals"),
    *_all(Personal.ANY, Leaves.FILE, "uploads", "deliveries", "tables", "watched", "backups"),
)
"""Where personal data may lie."""


@dataclass(frozen=True)
class HoldingGroup:
    """Places that hold the same kind and that it leaves the same way."""

    kind: Personal
    leaves: Leaves
    places: tuple[str, ...]


def list_groups() -> tuple[HoldingGroup, ...]:
    """The list in groups, in its order."""
    groups: dict[tuple[Personal, Leaves], list[str]] = {}
    for one in HOLDINGS:
        groups.setdefault((one.kind, one.leaves), []).append(one.place)
    return tuple(HoldingGroup(*key, tuple(places)) for key, places in groups.items())


NOT_PERSONAL: Final = frozenset(
    (
        *("bales.machine", "bales.sheet", "bales.binding", "bales.diameter_how", "bales.mass_how"),
        *("bales.moisture_how", "bales.mode", "bales.status", "bales.tip_side", "bales.crop"),
        *("bales.codes", "bales.source", "bales.source_file", "bales.source_unit"),
        *("events.machine", "events.kind", "events.batch", "events.source"),
        *("machine.serial", "machine.profile_key", "machine.zone", "job.source", "job.crop"),
        *("sheet.key", "sheet.machine", "sheet.profile_key", "review.machine", "finding.kind"),
        *("finding.weight", "finding.body", "intake.sha256", "intake.form", "intake.state"),
        *("intake.original_gone_why", "part.path", "part.dataset", "part.sha256"),
        *("counterspan.machine", "link.token_sha256", "link.sheet", "feedback.sheet"),
        *("feedback.mark", "feedback.outcome", "feedback.link", "snapshot.key"),
        *("snapshot.machine", "columnmap.key", "columnmap.headings_sha256", "correction.key"),
        *("correction.machine", "correction.column", "correction.bales", "correction.withdraws"),
        *("outline.source", "sender.key", "sender.token_sha256", "sender.machine"),
        *("delivery.sender", "delivery.key", "delivery.sha256", "delivery.state"),
        *("delivery.intake_sha256", "upload.key", "upload.state", "upload.ticket"),
        *("upload.map_key", "upload.machine", "houserule.key", "houserule.body"),
        *("erasure.kind", "erasure.subject_sha256", "erasure.counts", "access.deed"),
        *("finding.review", "part.intake", "review.mark", "episode.key", "episode.machine"),
        *("episode.kind", "episode.weight", "episode.state", "episode.under", "episode.joined"),
        *("episode.body", "setaside.episode", "setaside.weight", "setaside.ended_why"),
        *("watchstate.machine", "watchstate.mark", "watchstate.about", "kindstate.profile_key"),
        *("kindstate.body", "caseentry.mark", "caseentry.case", "caseentry.machine"),
        *("caseentry.device", "caseentry.kind", "caseentry.content_sha256", "caseentry.way"),
        *("casephoto.sha256", "casephoto.case", "casephoto.media", "casephoto.gone_why"),
        *("caselink.token_sha256", "caselink.case", "caselink.kind"),
    )
)
"""Texts, references and JSON that were looked at and hold none. Numbers and times never do, but
for positions."""
