"""Bytes -> an XML tree, tolerantly and safely. What had to be skipped is named.

Entities are not resolved, nothing is fetched, document types are refused outright (task data has
none, and entity bombs need one), trees too deep or texts too long for the library's own limits
are refused. Broken XML is read as far as it goes.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Final, cast

from lxml import etree

from balewright.quantities.errors import BadInput, Fault
from balewright.records.intake import Doubt, Refusal
from balewright.records.quality import Mark

MAX_XML_BYTES: Final = 32 * 1024 * 1024
_DOCUMENT_TYPE: Final = re.compile(rb"<!(DOCTYPE|ENTITY)")
_WRONG_BYTES: Final = ("ERR_INVALID_ENCODING", "ERR_INVALID_CHAR", "ERR_UNKNOWN_ENCODING")
_DECLARATION: Final = re.compile(rb"^\s*<\?xml[^>]*\?>")
_SHOWN_FAULTS: Final = 20


@dataclass(frozen=True)
class Tree:
    """The root of a file (None when nothing could be read) and what was skipped on the way."""

    root: etree._Element | None
    refusals: tuple[Refusal, ...] = ()
    doubts: tuple[Doubt, ...] = ()


def parse_xml(data: bytes, file: str) -> Tree:
    """Read one XML file.

    data: its bytes; file: its name for messages. Raises BadInput for a document type (entity
    bombs need one) and for a file beyond MAX_XML_BYTES; all else is read as far as it goes.
    """
    if len(data) > MAX_XML_BYTES:
        raise _unsafe(file, f"at most {MAX_XML_BYTES >> 20} MiB of XML", f"{len(data) >> 20} MiB")
    if _DOCUMENT_TYPE.search(data.replace(b"\0", b"")):
        raise _unsafe(file, "XML without a document type", "one, as an entity bomb has")
    root, faults = _parse(data, recover=False)
    if root is not None:
        return Tree(root)
    doubts: tuple[Doubt, ...] = ()
    if any(fault.type_name in _WRONG_BYTES for fault in faults):
        text = "letters are not in the encoding the file names; read as Western European ones"
        doubts = (Doubt(file, f"line {faults[0].line}", Mark.ELEMENT_UNKNOWN, text),)
        data = _DECLARATION.sub(b"", data).decode("cp1252", "replace").encode("utf-8")
    return _recover(data, file, doubts)


def name_of(element: etree._Element) -> str:
    """An element's name without its namespace; "" for comments and instructions."""
    # Not by QName: broken XML may carry a name that QName refuses, such as `T:M`.
    return element.tag.rpartition("}")[2] if isinstance(element.tag, str) else ""


def _parse(data: bytes, *, recover: bool) -> tuple[etree._Element | None, list[Any]]:
    """The root, None where there is none, and what the parser complained of."""
    parser = etree.XMLParser(
        resolve_entities=False,
        no_network=True,
        huge_tree=False,
        load_dtd=False,
        dtd_validation=False,
        remove_comments=True,
        remove_pis=True,
        recover=recover,
    )
    try:
        root = etree.fromstring(data, parser)
    except etree.XMLSyntaxError:
        root = None
    # The exception's own log also holds what other files were blamed for; the parser's does not.
    return root, list(cast("Iterable[Any]", parser.error_log))


def _recover(data: bytes, file: str, doubts: tuple[Doubt, ...]) -> Tree:
    root, faults = _parse(data, recover=False)
    if root is not None:
        return Tree(root, (), doubts)
    root, _ = _parse(data, recover=True)
    lines = data.splitlines()
    refusals = [
        Refusal(
            file,
            f"line {fault.line}",
            lines[fault.line - 1][:80].decode("utf-8", "replace")
            if 0 < fault.line <= len(lines)
            else "",
            f"broken XML: {fault.message}; what stands there was skipped",
        )
        for fault in faults[:_SHOWN_FAULTS]
    ]
    return Tree(root, tuple(dict.fromkeys(refusals)), doubts)


def _unsafe(file: str, need: str, given: str) -> BadInput:
    cure = "Take the file from the machine again; do not open this one elsewhere."
    return BadInput(Fault(file, need, given, cure))
