"""The XML files of a set: the main one, what it refers to, descriptions alone, the link list."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from lxml import etree

from balewright.quantities.errors import BadInput, Fault
from balewright.readers.archive import folder_of
from balewright.readers.task_data.attributes import Reading
from balewright.readers.task_data.elements import Gathered, gather
from balewright.readers.task_data.members import Members
from balewright.readers.task_data.values import Link
from balewright.readers.task_data.xml import name_of, parse_xml
from balewright.records.quality import Mark

MAX_XML_TOTAL_BYTES: Final = 96 << 20
"""All XML of one set together: more is no machine's task data."""
_MAIN: Final = "taskdata.xml"
_LINKS: Final = "LINKLIST.XML"
_ROOTS: Final = ("ISO11783_TaskData", "XFC")
_CURE: Final = "Give the folder that holds TASKDATA.XML, or a zip of it."
_PLAIN: Final = re.compile(r"[\w. -]{1,64}")
_NEWEST: Final = 4
_IS_LINK_LIST: Final = 1


@dataclass
class SetFiles:
    """The XML of one archive, read into `found`."""

    members: Members
    found: Gathered
    xml_bytes: int = 0

    def read_elements(self) -> tuple[str, str, str]:
        """Read the task-data file and its externals, or descriptions standing alone.

        Gives the file's name, its folder and the version as written. Raises BadInput where there
        is neither.
        """
        ledger = self.found.ledger
        mains = sorted(
            (name for name in self.members.archive.sizes if _base(name).lower() == _MAIN),
            key=lambda name: (name.count("/"), name),
        )
        if not mains:
            return self._read_descriptions()
        main = mains[0]
        for other in mains[1:]:
            text = f"a second set of task data; only {main} was read. Give it by itself"
            ledger.doubt(other, "whole file", Mark.RECORD_LEFT_OUT, text)
        root = self._parse(main)
        if root is None or name_of(root) not in _ROOTS:
            given = "no XML that can be read" if root is None else f"the root element {_tag(root)}"
            raise BadInput(Fault(main, "ISO11783_TaskData as its root element", given, _CURE))
        version = self._version(root, main)
        gather((Reading(child, main, ledger) for child in root), self.found)
        for child in root:
            if name_of(child) == "XFR":
                self._read_external(folder_of(main), Reading(child, main, ledger))
        return main, folder_of(main), version

    def read_links(self, folder: str) -> tuple[Link, ...]:
        """What the link list says; where an attached file is named as the list, that one."""
        named = [each.file for each in self.found.attached if each.kind == _IS_LINK_LIST]
        name = next(
            (
                file
                for each in (*named, _LINKS)
                if _PLAIN.fullmatch(each) and (file := self.members.find(folder, each))
            ),
            None,
        )
        if name is None:
            return ()
        try:
            root = self._parse(name)
        except BadInput as error:
            self.found.ledger.refuse(name, "line 1", "", str(error))
            return ()
        return () if root is None else self._links(root, name)

    def _links(self, root: etree._Element, file: str) -> tuple[Link, ...]:
        links: dict[tuple[str, str], Link] = {}
        for element in root.iter():
            if name_of(element) != "LNK":
                continue
            reading = Reading(element, file, self.found.ledger)
            parent = element.getparent()
            group = None if parent is None else Reading(parent, file, self.found.ledger)
            key, value = reading.text("A"), reading.text("B")
            if not key or not value:
                reason = "a link needs the object (A) and its lasting identifier (B): left out"
                reading.ledger.refuse(file, reading.place, key or value, reason)
                continue
            links.setdefault(
                (key, value),
                Link(
                    key=key,
                    value=value,
                    kind=group.whole("B") if group else None,
                    group=group.text("A") if group else "",
                    designator=reading.text("C"),
                    names=self.found.names.get(key, ""),
                ),
            )
        return tuple(links.values())

    def _read_external(self, folder: str, transfer: Reading) -> None:
        ledger = self.found.ledger
        named = transfer.text("A")
        base = named if named.lower().endswith(".xml") else f"{named}.XML"
        if not _PLAIN.fullmatch(named):
            reason = "the name of an external file is letters and digits, and leads nowhere else"
            ledger.refuse(base[:60], transfer.place, named, f"{reason}: not read")
            return
        name = self.members.find(folder, base)
        if name is None:
            reason = "this external file is not there: what it holds is unknown. Copy it too"
            ledger.refuse(base, transfer.place, named, reason)
            return
        if name in ledger.files:
            text = f"the external file {name} was read before: named once more, read once"
            ledger.doubt(transfer.file, transfer.place, Mark.NAMED_TWICE, text)
            return
        try:
            root = self._parse(name)
        except BadInput as error:
            ledger.refuse(name, "line 1", "", str(error))
            return
        if root is None:
            return
        gather((Reading(child, name, ledger) for child in root), self.found)
        if any(name_of(child) == "XFR" for child in root):
            text = "an external file that names further ones: they are not followed"
            ledger.doubt(name, "XFR", Mark.RECORD_LEFT_OUT, text)

    def _read_descriptions(self) -> tuple[str, str, str]:
        archive, ledger = self.members.archive, self.found.ledger
        versions = []
        for name in [name for name in sorted(archive.sizes) if name.lower().endswith(".xml")]:
            try:
                root = self._parse(name)
            except BadInput as error:
                if len(archive.sizes) == 1:
                    raise
                ledger.refuse(name, "line 1", "", str(error))
                continue
            if root is None:
                continue
            if name_of(root) in _ROOTS:
                versions.append(self._version(root, name))
                gather((Reading(child, name, ledger) for child in root), self.found)
            elif name_of(root) == "DVC":
                gather([Reading(root, name, ledger)], self.found)
        if not self.found.kinds:
            seen = ", ".join(sorted(archive.sizes)[:3]) or "nothing that can be read"
            raise BadInput(Fault(archive.name, "task data (TASKDATA.XML)", seen, _CURE))
        text = "no TASKDATA.XML: only the descriptions that stand in other files were read"
        ledger.doubt(archive.name, "whole set", Mark.LOG_MISSING, text)
        return archive.name, "", versions[0] if versions else "?.?"

    def _version(self, root: etree._Element, file: str) -> str:
        """The version as written; one that is newer than this reader is doubted."""
        major = root.get("VersionMajor", "?")
        if major.isdecimal() and int(major) > _NEWEST:
            text = f"version {major[:8]} is newer than this reader knows: what is new was left out"
            self.found.ledger.doubt(file, "version", Mark.ELEMENT_UNKNOWN, text)
        return f"{major}.{root.get('VersionMinor', '?')}"

    def _parse(self, name: str) -> etree._Element | None:
        ledger = self.found.ledger
        ledger.files.add(name)
        data = self.members.read(name)
        self.xml_bytes += len(data)
        if self.xml_bytes > MAX_XML_TOTAL_BYTES:
            need = f"at most {MAX_XML_TOTAL_BYTES >> 20} MiB of XML in one set"
            raise BadInput(Fault(name, need, "more with this file", "Split the set."))
        tree = parse_xml(data, name)
        ledger.refusals.extend(tree.refusals)
        ledger.doubts.extend(tree.doubts)
        return tree.root


def _base(name: str) -> str:
    return name.rpartition("/")[2]


def _tag(root: etree._Element) -> str:
    return name_of(root)[:60]
