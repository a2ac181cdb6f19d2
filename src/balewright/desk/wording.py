"""Template tags: words from the catalogues, never written into a page."""

from __future__ import annotations

from typing import Any

from django import template

from balewright.desk.reading import reading
from balewright.quantities.reason import Reason
from balewright.words.say import say, say_value
from balewright.words.times import say_day, say_time, zone_named

register = template.Library()


@register.simple_tag
def words(key: str, **values: Any) -> str:
    """The desk's own sentence under `desk.<key>`: `{% words "today.title" count=3 %}`."""
    return say(Reason(f"desk.{key}", tuple(values.items())), reading())


@register.filter
def said(reason: Reason) -> str:
    """A reason from a flow as a sentence: `{{ finding.words|said }}`."""
    return say(reason, reading())


@register.filter
def shown(value: float | int | str | None, name: str) -> str:
    """A value with its unit: `{{ film.width_m|shown:"width_m" }}`; unknown stays a dash."""
    return "–" if value is None else say_value(name, value, reading())


@register.filter
def since(since_us: int, zone: str = "UTC") -> str:
    """The day something began, in a machine's own zone."""
    return words("frame.since", day=say_day(since_us, zone_named(zone)))


@register.filter
def moment(at_us: int | None, zone: str = "UTC") -> str:
    """Local date and time; unknown stays a dash."""
    return "–" if at_us is None else say_time(at_us, zone_named(zone))


@register.filter
def caution(key: str) -> str:
    """The caution under that key, as it stands before the work."""
    return say(Reason(key), reading())


@register.filter
def due_state(state: str) -> str:
    """How urgent work is: `{{ due.state|due_state }}`."""
    return say(Reason(f"due.state.{state}"))
