"""The register: all shelves over one database."""

from __future__ import annotations

from pathlib import Path
from types import TracebackType

from django.db import connections

from balewright.store.refused_writes import telling
from balewright.store.shelves.cases import CaseShelf
from balewright.store.shelves.column_maps import ColumnMapShelf
from balewright.store.shelves.corrections import CorrectionShelf
from balewright.store.shelves.episodes import EpisodeShelf
from balewright.store.shelves.erasures import ErasureShelf
from balewright.store.shelves.findings import FindingShelf
from balewright.store.shelves.house_rules import HouseRuleShelf
from balewright.store.shelves.intakes import IntakeShelf
from balewright.store.shelves.links import LinkShelf
from balewright.store.shelves.machines import MachineShelf
from balewright.store.shelves.outlines import OutlineShelf
from balewright.store.shelves.senders import SenderShelf
from balewright.store.shelves.sheets import SheetShelf
from balewright.store.shelves.snapshots import SnapshotShelf
from balewright.store.shelves.uploads import UploadShelf
from balewright.store.shelves.watch_states import WatchStateShelf


@telling
class Register(
    MachineShelf,
    SheetShelf,
    LinkShelf,
    SnapshotShelf,
    FindingShelf,
    WatchStateShelf,
    EpisodeShelf,
    IntakeShelf,
    OutlineShelf,
    HouseRuleShelf,
    ErasureShelf,
    CorrectionShelf,
    UploadShelf,
    SenderShelf,
    ColumnMapShelf,
    CaseShelf,
):
    """Everything small that is kept. Get one from `store.register.open_register`.

    alias: which of Django's connections it speaks through. Threads and requests may share it.
    """

    def __init__(self, alias: str) -> None:
        self.alias = alias

    @property
    def file(self) -> Path | None:
        """The file it lies in; None where a database server keeps it."""
        kept = connections.databases[self.alias]
        return Path(kept["NAME"]) if kept["ENGINE"].endswith("sqlite3") else None

    def close(self) -> None:
        """Close this thread's connection; the next call opens it again."""
        connections[self.alias].close()

    def __enter__(self) -> Register:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()
