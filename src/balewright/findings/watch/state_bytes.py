"""A machine's watch and a kind as bytes, to be kept between reviews.

Form: a line with the version, a line for each array (name, type, shape), an empty line, the
arrays. Texts are arrays of UTF-8 bytes. Numbers are little-endian, so a home may be moved.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from balewright.findings.charts.windows_kernel import packed, unpacked
from balewright.findings.finding import Finding, FindingKind, Weight
from balewright.findings.measures.frozen import Repeats
from balewright.findings.watch.alarm import Alarm
from balewright.findings.watch.by_jobs import JobsState, Shift
from balewright.findings.watch.honest import Shown
from balewright.findings.watch.kind import Kind
from balewright.findings.watch.level import LevelState, Usual
from balewright.findings.watch.rate import RateState, Rise, UsualRate
from balewright.findings.watch.restless import Restless, RestlessState
from balewright.findings.watch.state import STATE_VERSION, MachineState, Mark
from balewright.quantities.reason import because

Arrays = dict[str, NDArray[Any]]
_NONE: Final = np.iinfo(np.int64).min
_SEPARATOR: Final = "\x1f"


def state_to_bytes(state: MachineState) -> bytes:
    """The whole state; the same state gives the same bytes."""
    arrays: Arrays = {"judged": np.array([state.judged, state.keep_from, state.version])}
    for key, level in sorted(state.levels.items()):
        at = f"level/{key}/"
        arrays[at + "mean"], arrays[at + "covariance"] = level.mean, level.covariance
        arrays[at + "kept"], arrays[at + "sudden"] = level.kept, level.sudden
        arrays[at + "lasting"], arrays[at + "left"] = packed(level.lasting), level.left
        arrays[at + "since"] = np.array([level.charts_since, level.anew])
        arrays[at + "alarms"] = _rows(Alarm, level.alarms)
        by_jobs = level.by_jobs
        arrays[at + "jobs"] = by_jobs.jobs
        arrays[at + "jobs so far"] = np.array(
            [by_jobs.begun, by_jobs.ended, by_jobs.judged, by_jobs.warm, by_jobs.seen]
        )
        arrays[at + "shifts"] = _rows(Shift, by_jobs.shifts)
    for key, rate in sorted(state.rates.items()):
        at = f"rate/{key}/"
        arrays[at + "kept"], arrays[at + "slopes"] = rate.kept, rate.slopes
        arrays[at + "precision"], arrays[at + "rises"] = rate.precision, _rows(Rise, rate.rises)
    for key, sensor in sorted(state.restless.items()):
        arrays[f"restless/{key}/kept"] = sensor.kept
        arrays[f"restless/{key}/told"] = _rows(Restless, sensor.told)
    for key, column in sorted(state.repeats.items()):
        arrays[f"repeats/{key}/numbers"] = _rows(Repeats, [column])
    marks = sorted(state.marks.items())
    numbers = [(at, _whole(one.bale_no), _whole(one.made_us)) for at, one in marks]
    arrays["marks"] = np.array(numbers, dtype=np.int64).reshape(-1, 3)
    arrays["mark sheets"] = _texts(one.sheet or "" for _, one in marks)
    for place, one in enumerate(state.silent):
        arrays |= _silence(f"silent/{place}/", one)
    return _written(arrays)


def state_from_bytes(given: bytes) -> MachineState:
    """The state that `state_to_bytes` wrote. Raises ValueError for other bytes or versions."""
    arrays = _read(given)
    judged, keep_from, version = (int(one) for one in arrays["judged"])
    sheets = _told(arrays["mark sheets"]) if len(arrays["marks"]) else ()
    marks = {
        int(at): Mark(_maybe(number), _maybe(made), sheet or None)
        for (at, number, made), sheet in zip(arrays["marks"], sheets, strict=True)
    }
    return MachineState(
        judged=judged,
        keep_from=keep_from,
        levels=MappingProxyType({key: _level(one) for key, one in _under(arrays, "level")}),
        rates=MappingProxyType({key: _rate(one) for key, one in _under(arrays, "rate")}),
        restless=MappingProxyType(
            {
                key: RestlessState(one["kept"], _values(Restless, one["told"]))
                for key, one in _under(arrays, "restless")
            }
        ),
        marks=MappingProxyType(marks),
        repeats=MappingProxyType(
            {key: _values(Repeats, one["numbers"])[0] for key, one in _under(arrays, "repeats")}
        ),
        silent=tuple(_silent(one) for _, one in _under(arrays, "silent")),
        version=version,
    )


def kind_to_bytes(kind: Kind) -> bytes:
    """What is usual for a kind."""
    arrays: Arrays = {"machines": np.array([kind.machines])}
    for key, level in sorted(kind.levels.items()):
        numbers = [level.level, level.level_spread, level.spread, level.group_spread]
        numbers += [level.least_spread, level.group_like_frac]
        numbers += [level.roll_spread, level.roll_like_frac, level.like_frac]
        arrays[f"level/{key}/usual"] = np.array(numbers, dtype=np.float64)
        arrays[f"level/{key}/slopes"] = np.array([level.slopes, level.slope_spreads])
    for key, rate in sorted(kind.rates.items()):
        arrays[f"rate/{key}/usual"] = np.array([rate.rate, rate.events, *rate.slopes])
    if kind.shown:
        arrays["shown keys"] = _texts(sorted(kind.shown))
        counts = [(one.charts, one.moderate) for _, one in sorted(kind.shown.items())]
        arrays["shown counts"] = np.array(counts, dtype=np.int64)
    return _written(arrays)


def kind_from_bytes(given: bytes) -> Kind:
    """The kind that `kind_to_bytes` wrote."""
    arrays = _read(given)
    levels = {}
    for key, one in _under(arrays, "level"):
        level, apart, spread, group, *rest = one["usual"].tolist()
        slopes, open_ = (tuple(row) for row in one["slopes"].tolist())
        least, like, roll, rolls_like, bales_like = rest
        levels[key] = Usual(
            level, apart, spread, group, slopes, open_, least, like, roll, rolls_like, bales_like,
            True,
        )  # fmt: skip
    rates = {}
    for key, one in _under(arrays, "rate"):
        rate, events, *slopes = one["usual"].tolist()
        rates[key] = UsualRate(rate, events, tuple(slopes), True)
    count = int(arrays["machines"][0])
    shown = {}
    if "shown keys" in arrays:
        keys, counts = _told(arrays["shown keys"]), arrays["shown counts"].tolist()
        shown = {key: Shown(*numbers) for key, numbers in zip(keys, counts, strict=True)}
    return Kind(MappingProxyType(levels), MappingProxyType(rates), count, MappingProxyType(shown))


def _level(one: Mapping[str, NDArray[Any]]) -> LevelState:
    since, anew = (int(at) for at in one["since"])
    return LevelState(
        one["mean"], one["covariance"], one["kept"], one["sudden"], unpacked(one["lasting"]),
        one["left"], since, anew, _values(Alarm, one["alarms"]),
        _by_jobs(one),
    )  # fmt: skip


def _by_jobs(one: Mapping[str, NDArray[Any]]) -> JobsState:
    begun, ended, judged, warm, seen = (int(count) for count in one["jobs so far"])
    return JobsState(one["jobs"], begun, ended, judged, warm, seen, _values(Shift, one["shifts"]))


def _rate(one: Mapping[str, NDArray[Any]]) -> RateState:
    return RateState(one["kept"], one["slopes"], one["precision"], _values(Rise, one["rises"]))


def _rows(form: Any, values: Iterable[Any]) -> NDArray[np.float64]:
    """Frozen values of numbers as rows; None as NaN."""
    names = form.__dataclass_fields__
    rows = [
        [np.nan if (x := getattr(one, name)) is None else x for name in names] for one in values
    ]
    return np.array(rows, dtype=np.float64).reshape(-1, len(names))


def _values(form: Any, rows: NDArray[np.float64]) -> tuple[Any, ...]:
    """The values that `_rows` wrote, each of the type its field is declared with."""
    made = []
    for row in rows.tolist():
        fields: dict[str, Any] = {}
        for (name, field), number in zip(form.__dataclass_fields__.items(), row, strict=True):
            if number != number:  # noqa: PLR0124  NaN
                fields[name] = None
            elif field.type.startswith("float"):
                fields[name] = number
            else:
                fields[name] = bool(number) if field.type == "bool" else int(number)
        made.append(form(**fields))
    return tuple(made)


def _silence(at: str, one: Finding) -> Arrays:
    numbers = [_whole(one.since_bale), _whole(one.until_bale), _whole(one.since_us),
               _whole(one.until_us), one.bales, one.looked_at]  # fmt: skip
    texts = (one.machine, one.sheet or "", *one.evidence)
    return {at + "numbers": np.array(numbers), at + "texts": _texts(texts)}


def _silent(one: Mapping[str, NDArray[Any]]) -> Finding:
    since, until, since_us, until_us, bales, looked_at = (int(at) for at in one["numbers"])
    machine, sheet, *columns = _told(one["texts"])
    number = _maybe(since)
    words = because(
        "findings.silence", columns=", ".join(columns),
        since_bale="(no number)" if number is None else number, bales=bales, looked_at=looked_at,
    )  # fmt: skip
    return Finding(
        machine=machine, kind=FindingKind.NOT_WATCHED, weight=Weight.NOTE, since_bale=number,
        until_bale=_maybe(until), since_us=_maybe(since_us), bales=bales, looked_at=looked_at,
        planned=None, seen=None, unit="", evidence=tuple(columns), sheet=sheet or None,
        words=words, until_us=_maybe(until_us),
    )  # fmt: skip


def _whole(value: int | None) -> int:
    return _NONE if value is None else int(value)


def _maybe(value: int) -> int | None:
    return None if value == _NONE else int(value)


def _texts(texts: Iterable[str]) -> NDArray[np.uint8]:
    return np.frombuffer(_SEPARATOR.join(texts).encode(), dtype=np.uint8)


def _told(array: NDArray[np.uint8]) -> tuple[str, ...]:
    return tuple(array.tobytes().decode().split(_SEPARATOR))


def _under(arrays: Arrays, head: str) -> list[tuple[str, Mapping[str, NDArray[Any]]]]:
    """What is kept under each key of a head, in order."""
    found: dict[str, dict[str, NDArray[Any]]] = {}
    for name, array in arrays.items():
        if name.startswith(head + "/"):
            key, part = name[len(head) + 1 :].rsplit("/", 1)
            found.setdefault(key, {})[part] = array
    return list(found.items())


def _written(arrays: Arrays) -> bytes:
    lines, blobs = [f"watch {STATE_VERSION}"], []
    for name, given in arrays.items():
        array = np.ascontiguousarray(given)
        array = array.astype(array.dtype.newbyteorder("<"))
        shape = ",".join(map(str, array.shape))
        lines.append(f"{name}\t{array.dtype.str}\t{shape}")
        blobs.append(array.tobytes())
    return "\n".join(lines).encode() + b"\n\n" + b"".join(blobs)


def _read(given: bytes) -> Arrays:
    head, found, body = given.partition(b"\n\n")
    lines = head.decode(errors="replace").split("\n")
    if not found or lines[0] != f"watch {STATE_VERSION}":
        raise ValueError("no kept watch of this version")
    arrays, at = {}, 0
    for line in lines[1:]:
        name, kind, shape = line.split("\t")
        size = tuple(int(one) for one in shape.split(","))
        count = int(np.prod(size))
        dtype = np.dtype(kind)
        end = at + count * dtype.itemsize
        if end > len(body):
            raise ValueError("a kept watch that was cut off")
        array = np.frombuffer(body[at:end], dtype=dtype).reshape(size)
        arrays[name], at = array.astype(dtype.newbyteorder("=")), end
    return arrays
