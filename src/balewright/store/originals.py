"""Files as they were handed over, under the hash of their content, so that values can be traced.

They are kept until a rule or an erasure lets them go; without its original a bale stays, but can no
longer be traced to its row or byte.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import stat
from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from balewright.quantities.errors import BadInput, Fault
from balewright.records.intake import Refusal
from balewright.store.flushing import flush_folder, flush_tree
from balewright.store.running import cannot_write

MAX_FILES: Final = 100_000
_CHUNK_BYTES: Final = 1 << 20
_INCOMING: Final = "incoming-"
_GONE: Final = "gone-"
_HASH_LENGTH: Final = 64
_LONGEST_NAME_BYTES: Final = 200
_LONGEST_ENDING: Final = 12

Tell = Callable[[int, int | None], None]


@dataclass(frozen=True)
class Original:
    """A copy nobody else writes to. path: what to read; left_out: what was not copied, and why."""

    sha256: str
    path: Path
    left_out: tuple[Refusal, ...]


class Originals:
    """The folder of originals."""

    def __init__(self, root: Path) -> None:
        self.root = root

    def receive(self, given: Path, token: str, name: str, tell: Tell) -> Original:
        """Copy a file or folder in, hashing it on the way; it is kept once `keep` says so.

        token: of the running intake; name: the file's own name. Raises BadInput when it cannot be
        read or there is no room for it.
        """
        target = self._incoming(token) / safe_name(name)
        _require(given)
        try:
            target.parent.mkdir(parents=True)
        except OSError as error:
            raise cannot_write(self.root, error) from error
        if given.is_dir():
            return self._receive_folder(given, target, tell)
        sha256 = _copy(given, target, tell)
        return Original(sha256, target, ())

    def keep(self, token: str, sha256: str) -> None:
        """Give the received copy its lasting name; an earlier copy of the content stays."""
        flush_tree(self._incoming(token))
        try:
            self._incoming(token).rename(self.root / sha256)
        except OSError as error:
            if not (self.root / sha256).is_dir():
                raise cannot_write(self.root, error) from error
        flush_folder(self.root)

    def discard(self, token: str) -> None:
        """Remove what was received and not kept."""
        shutil.rmtree(self._incoming(token), ignore_errors=True)

    def sizes(self) -> Mapping[str, int]:
        """Bytes of each content that is kept, by its hash."""
        if not self.root.is_dir():
            return {}
        folders = [path for path in self.root.iterdir() if len(path.name) == _HASH_LENGTH]
        return {
            folder.name: sum(path.stat().st_size for path in folder.rglob("*") if path.is_file())
            for folder in folders
        }

    def let_go(self, sha256: str) -> bool:
        """Remove the original of a content; False where there is none. The content's name goes
        first, so that nobody ever meets half a folder; what is left of it is swept."""
        gone = self.root / f"{_GONE}{sha256}"
        try:
            (self.root / sha256).rename(gone)
        except FileNotFoundError:
            return False
        except OSError as error:
            raise cannot_write(self.root, error) from error
        shutil.rmtree(gone, ignore_errors=True)
        return True

    def sweep(
        self, running: Callable[[], Collection[str]], taken: Callable[[], Collection[str]]
    ) -> tuple[str, ...]:
        """Remove copies of intakes that died; their names.

        running: tokens of intakes that are alive; taken: hashes in the ledger. Asked for in this
        order, after the folder was listed: an intake that ended in between is in the ledger.
        """
        if not self.root.is_dir():
            return ()
        names = sorted(path.name for path in self.root.iterdir())
        alive = running()
        dead = [
            name
            for name in names
            if name.startswith(_INCOMING) and name.removeprefix(_INCOMING) not in alive
        ]
        if not alive:  # else one of them may be between keeping its copy and its ledger line
            known = taken()
            dead += [n for n in names if not n.startswith(_INCOMING) and n not in known]
        for name in dead:
            shutil.rmtree(self.root / name, ignore_errors=True)
        return tuple(dead)

    def _incoming(self, token: str) -> Path:
        return self.root / f"{_INCOMING}{token}"

    def _receive_folder(self, given: Path, target: Path, tell: Tell) -> Original:
        whole, left_out = hashlib.sha256(), []
        for count, (inside, usable) in enumerate(_walk(given)):
            if count >= MAX_FILES:
                need = f"a folder of at most {MAX_FILES} files"
                raise BadInput(Fault(str(given), need, "more", "Give the task-data folder alone."))
            if not usable:
                reason = "Neither a file nor a folder (a link, for instance): not followed."
                left_out.append(Refusal(inside, "folder", inside, reason))
                continue
            sha256 = _copy(given / inside, target / inside, lambda *_: None)
            whole.update(f"{inside}\0{sha256}\n".encode("utf-8", "surrogateescape"))
            tell(count + 1, None)
        target.mkdir(exist_ok=True)
        return Original(whole.hexdigest(), target, tuple(left_out))


def _require(given: Path) -> None:
    try:
        mode = given.stat().st_mode
    except (OSError, ValueError) as error:
        said = error.strerror if isinstance(error, OSError) else str(error)
        need = "a file or folder that can be read"
        raise BadInput(Fault(str(given), need, said or "nothing", "Check the path.")) from error
    if not (stat.S_ISREG(mode) or stat.S_ISDIR(mode)):
        need = "a file or folder"
        raise BadInput(Fault(str(given), need, "a device or pipe", "Save it as a file first."))


def _walk(folder: Path) -> Iterator[tuple[str, bool]]:
    """Paths below a folder in a fixed order, and whether each is a plain file."""
    for here, folders, files in os.walk(folder):
        folders.sort()
        links = [name for name in folders if (Path(here) / name).is_symlink()]
        for name in sorted([*files, *links]):
            path = Path(here) / name
            usable = not path.is_symlink() and path.is_file()
            yield path.relative_to(folder).as_posix(), usable


def _copy(given: Path, target: Path, tell: Tell) -> str:
    hashed = hashlib.sha256()
    try:
        source = given.open("rb")
    except OSError as error:
        need, cure = "a file that can be read", "Check who may read it."
        raise BadInput(Fault(str(given), need, error.strerror or "nothing", cure)) from error
    with source:
        size, done = os.fstat(source.fileno()).st_size, 0
        try:
            target.parent.mkdir(parents=True, exist_ok=True)
            with target.open("xb") as copy:
                while chunk := source.read(_CHUNK_BYTES):
                    hashed.update(chunk)
                    copy.write(chunk)
                    done += len(chunk)
                    tell(done, size)
                copy.flush()
                os.fsync(copy.fileno())
        except OSError as error:
            raise cannot_write(target.parent.parent, error) from error
    return hashed.hexdigest()


def safe_name(name: str) -> str:
    """The last part of a name, as short as every file system holds, its ending kept."""
    last = name.replace("\\", "/").rstrip("/").rpartition("/")[2]
    last = "".join(letter if letter.isprintable() else "_" for letter in last)
    if last in {"", ".", ".."}:
        return "file"
    tail = Path(last).suffix
    tail = tail if len(tail) <= _LONGEST_ENDING else ""
    stem = last.removesuffix(tail)[:_LONGEST_NAME_BYTES]
    while len((stem + tail).encode("utf-8", "replace")) > _LONGEST_NAME_BYTES:
        stem = stem[:-1]
    return stem + tail
