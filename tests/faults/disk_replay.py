"""Calls of a traced process, done again on a disk of the model, one at a time."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import PurePosixPath

from faults.disk_model import File, Folder, Node, rename, set_name
from faults.disk_trace import Call


@dataclass
class _Open:
    """An open file: what it is, where the next write goes, whether that is always the end."""

    node: Node
    at: int = 0
    appends: bool = False


class Disk:
    """The tree below one folder of the traced process."""

    def __init__(self, root: str) -> None:
        self.root_path = PurePosixPath(root)
        self.root = Folder()
        self._open: dict[int, _Open] = {}

    def replay(self, calls: Sequence[Call]) -> Iterator[tuple[int, Call]]:
        """Do each call; gives those that changed something or made it sure, with their place."""
        for place, call in enumerate(calls):
            if self._do(call):
                yield place, call

    def _do(self, call: Call) -> bool:
        name = call.name
        if name in ("openat", "creat"):
            return self._open_file(call)
        if name in ("rename", "renameat", "renameat2"):
            return self._rename(call)
        if name in ("unlink", "unlinkat", "rmdir", "mkdir", "mkdirat"):
            return self._name(call)
        if name in ("link", "linkat"):
            return self._link(call)
        if name == "truncate":
            raise NotImplementedError("truncate by name")
        return self._on_handle(call)

    def _on_handle(self, call: Call) -> bool:
        number, _ = call.handle(0)
        opened = self._open.get(number)
        if opened is None:
            return False
        name, node = call.name, opened.node
        if name == "close":
            del self._open[number]
            return False
        if name == "lseek":
            opened.at = call.result
            return False
        if name in ("fsync", "fdatasync"):
            node.flush()
            return True
        assert isinstance(node, File), f"{name} on a folder"
        if name == "ftruncate":
            node.write(int(call.parts[1], 0), None)
        elif name == "write":
            at = len(node.seen) if opened.appends else opened.at
            node.write(at, call.text(1)[: call.result])
            opened.at = at + call.result
        elif name == "pwrite64":
            node.write(int(call.parts[3], 0), call.text(1)[: call.result])
        else:
            raise NotImplementedError(f"{name} on a file of the folder")
        return True

    def _open_file(self, call: Call) -> bool:
        first = 1 if call.name == "openat" else 0
        found = self._find(call, first - 1 if first else None, first)
        if found is None:
            return False
        folder, name = found
        flags = call.parts[first + 1] if first else "O_CREAT|O_TRUNC"
        node: Node | None = self.root if not name else folder.seen.get(name)
        changed = node is None
        if node is None:
            assert "O_CREAT" in flags, f"{name}: opened, but never made"
            node = File()
            set_name(folder, name, node)
        elif "O_TRUNC" in flags and isinstance(node, File) and node.seen:
            node.write(0, None)
            changed = True
        self._open[call.result] = _Open(node, appends="O_APPEND" in flags)
        return changed

    def _rename(self, call: Call) -> bool:
        at = call.name != "rename"
        source = self._find(call, 0 if at else None, 1 if at else 0)
        target = self._find(call, 2 if at else None, 3 if at else 1)
        if source is None and target is None:
            return False
        assert source is not None, "moved in from outside"
        assert target is not None, "moved out"
        rename(source, target)
        return True

    def _name(self, call: Call) -> bool:
        at = call.name.endswith("at")
        found = self._find(call, 0 if at else None, 1 if at else 0)
        if found is None or not found[1]:
            return False
        folder, name = found
        set_name(folder, name, Folder() if call.name.startswith("mkdir") else None)
        return True

    def _link(self, call: Call) -> bool:
        at = call.name == "linkat"
        source = self._find(call, 0 if at else None, 1 if at else 0)
        target = self._find(call, 2 if at else None, 3 if at else 1)
        if source is None or target is None:
            return False
        set_name(*target, source[0].seen[source[1]])
        return True

    def _find(self, call: Call, handle: int | None, text: int) -> tuple[Folder, str] | None:
        """Folder and name of a path argument; None outside of the root; ("" for the root)."""
        path = PurePosixPath(call.text(text).decode())
        if not path.is_absolute():
            base = call.handle(handle)[1] if handle is not None else ""
            path = PurePosixPath(base or "/") / path
        try:
            parts = path.relative_to(self.root_path).parts
        except ValueError:
            return None
        folder = self.root
        for part in parts[:-1]:
            below = folder.seen[part]
            assert isinstance(below, Folder), f"{part} is no folder"
            folder = below
        return folder, parts[-1] if parts else ""
