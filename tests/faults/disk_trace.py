"""What a process did to the files of one folder, call by call, as the kernel saw it.

The process runs under `strace`; nothing of ours is asked, so nothing of ours can leave a write out
(the column files are written by Arrow, the register by SQLite, both outside Python).
"""

from __future__ import annotations

import codecs
import re
import shutil
import subprocess
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final

CALLS: Final = (
    "openat,creat,write,pwrite64,writev,pwritev,pwritev2,lseek,ftruncate,truncate,fsync,fdatasync,"
    "rename,renameat,renameat2,unlink,unlinkat,mkdir,mkdirat,rmdir,link,linkat,close,fallocate,"
    "copy_file_range,sendfile"
)
_LINE: Final = re.compile(r"(?P<thread>\d+) +(?P<call>\w+)\((?P<given>.*)\) += (?P<result>-?\d+)")
_BEGUN: Final = re.compile(r"(?P<thread>\d+) +(?P<rest>.*) <unfinished \.\.\.>$")
_RESUMED: Final = re.compile(r"(?P<thread>\d+) +<\.\.\. \w+ resumed>(?P<rest>.*)$")
_PART: Final = re.compile(r'"(?:[^"\\]|\\.)*"(?:\.\.\.)?|\{[^}]*\}|\[[^\]]*\]|[^,"]+')
_HANDLE: Final = re.compile(r"(?P<number>-?\d+|AT_FDCWD)(?:<(?P<path>.*?)>(?:\(deleted\))?)?$")


@dataclass(frozen=True)
class Call:
    """One call that succeeded. name: of the call; parts: its arguments as text; result: what it
    gave back."""

    name: str
    parts: tuple[str, ...]
    result: int

    def text(self, place: int) -> bytes:
        """A quoted argument's bytes."""
        quoted = self.parts[place]
        if not quoted.endswith('"'):
            raise ValueError(f"{self.name}: shortened by the tracer: {quoted[:60]}")
        return codecs.escape_decode(quoted[1:-1].encode("latin-1"))[0]  # type: ignore[no-any-return]

    def handle(self, place: int) -> tuple[int, str]:
        """A file handle's number and the path the kernel knows it by ("" for none)."""
        found = _HANDLE.fullmatch(self.parts[place])
        if found is None:
            raise ValueError(f"{self.name}: no handle in {self.parts[place][:60]}")
        number = -100 if found["number"] == "AT_FDCWD" else int(found["number"])
        path = found["path"] or ""
        return number, codecs.escape_decode(path.encode("latin-1"))[0].decode()


def is_there() -> bool:
    """Whether this machine has the tracer and may use it."""
    if shutil.which("strace") is None:
        return False
    tried = subprocess.run(["strace", "-o", "/dev/null", "true"], check=False, capture_output=True)
    return tried.returncode == 0


def trace(command: list[str], into: Path) -> tuple[Call, ...]:
    """Run a command to its end and give every call on files that it made, in order.

    into: where the tracer writes. Raises CalledProcessError when the command fails.
    """
    longest = str(64 << 20)
    options = ["-f", "-y", "-x", "-s", longest, "-e", f"trace={CALLS}", "-o", str(into)]
    subprocess.run(["strace", *options, *command], check=True, capture_output=True)
    return tuple(_calls(into))


def _calls(file: Path) -> Iterator[Call]:
    waiting: dict[str, str] = {}
    with file.open(encoding="latin-1") as lines:
        for line in lines:
            text = line.rstrip("\n")
            if begun := _BEGUN.fullmatch(text):
                waiting[begun["thread"]] = text.removesuffix(" <unfinished ...>")
                continue
            if resumed := _RESUMED.fullmatch(text):
                text = waiting.pop(resumed["thread"]) + resumed["rest"]
            found = _LINE.match(text)
            if found is not None and int(found["result"]) >= 0:
                parts = [part.strip() for part in _PART.findall(found["given"])]
                yield Call(found["call"], tuple(p for p in parts if p), int(found["result"]))
