"""The fault network, and one cause of it. Nothing here depends on a machine."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from balewright.cause.facts import machine_facts
from balewright.cause.heard import stems
from balewright.cause.learn.track import Track
from balewright.cause.network import JUDGED, Cause, Kind, Link, Network, Observation, Text
from balewright.desk.access import Deed, needs
from balewright.desk.causes.next_step import CautionShown, cautions_shown, rest_said, who_said
from balewright.desk.causes.shown import chance_said
from balewright.desk.wording import words
from balewright.desk.workplace import the_workplace
from balewright.flows.network_in_force import lessons_in_force, network_in_force
from balewright.flows.track_record import track_record
from balewright.words.languages import LANGUAGES, SOURCE

_KINDS: Final = (Kind.REPORT, Kind.FINDING, Kind.CHECK)


@dataclass(frozen=True)
class Line:
    """One cause in the list. chance: that it is there, before anything was seen."""

    cause: Cause
    name: str
    tells: str
    side: str
    chance: str
    links: int
    arises: str


@dataclass(frozen=True)
class LinkShown:
    """What a cause shows in. chance: how often alone; leak: how often it is so without it; of a
    check also its cautions, who may make it, for how long, and whether the machine stands.
    """

    text: str
    asks: str
    how: str
    chance: str
    width: str
    leak: str
    strength: str
    why: str
    source: str
    minutes: str
    cautions: tuple[CautionShown, ...] = ()
    who: str = ""
    rest: str = ""


@require_safe
@needs(Deed.SEE)
def show_network(request: HttpRequest) -> HttpResponse:
    """Causes by system, or those that have the words looked for."""
    workplace, language = the_workplace(), _language(request)
    profile, said = request.GET.get("profile", ""), request.GET.get("q", "").strip()[:200]
    network, profile = _network(profile)
    systems: dict[str, list[Line]] = {}
    causes, track = _found(network, said), track_record(workplace)
    for one in causes:
        systems.setdefault(one.system.value, []).append(_line(network, one, language))
    kinds = {kind: sum(one.kind is kind for one in network.observations) for kind in _KINDS}
    context = {
        "network": network,
        "systems": list(systems.items()),
        "found": len(causes),
        "q": said,
        "counts": [(words(f"network.kind.{kind.value}"), kinds[kind]) for kind in _KINDS],
        "alike": [(_names(network, one.causes, language), one.why) for one in network.alike],
        "track": track,
        "profiles": [(key, one.title, key == profile) for key, one in workplace.profiles.items()],
        "profile": profile,
        "taught": len(lessons_in_force(workplace, profile)) if profile else 0,
        "missed": _missed(track, language),
        "language": language,
        "languages": [(one, _query(request, one)) for one in LANGUAGES],
    }
    return render(request, "network.html", context)


@require_safe
@needs(Deed.SEE)
def show_cause(request: HttpRequest, key: str) -> HttpResponse:
    """One cause: what it does, how often it arises, what it shows in, what puts it right."""
    language = _language(request)
    network, profile = _network(request.GET.get("profile", ""))
    cause = network.cause_by_key.get(key)
    if cause is None:
        raise Http404(key)
    links = sorted(network.shows[key], key=lambda one: -one.chance_frac)
    repair = cause.repair
    context = {
        "network": network,
        "cause": cause,
        "name": cause.name.in_language(language),
        "tells": cause.tells.in_language(language),
        "english": cause.name.in_language(SOURCE),
        "side": words(f"causes.side.{cause.side.value}"),
        "repair": repair.words.in_language(language),
        "repair_by": words(
            "causes.repair.by", who_said=who_said(repair.by), minutes=repair.minutes
        ),
        "cautions": cautions_shown(repair.cautions, language),
        "parts": [
            (network.part_by_key[one].name.in_language(language), network.part_by_key[one].money)
            for one in repair.parts
        ],
        "tools": [network.tool_by_key[one].name.in_language(language) for one in repair.tools],
        "strength": words(f"network.strength.{cause.grounds.strength.value}"),
        "source": _source(cause.grounds.source),
        "chance": chance_said(cause.prior_frac()),
        "arises": f"{cause.arises_per_1000:g}",
        "stays": words("network.stays.bales", bales=round(cause.stays_bales)),
        "links": [
            (words(f"network.shows.{kind.value}"), shown)
            for kind in _KINDS
            if (shown := _links(network, links, kind, language))
        ],
        "facts": [" / ".join(one.split("|")) for one in cause.exists_if],
        "alike": [
            (_names(network, [one for one in pair.causes if one != key], language), pair.why)
            for pair in network.alike
            if key in pair.causes
        ],
        "language": language,
        "languages": [(one, _query(request, one)) for one in LANGUAGES],
        "profile": profile,
    }
    return render(request, "network_cause.html", context)


def _network(profile: str) -> tuple[Network, str]:
    """The part of the network that machines of a profile can have, with what their cases taught;
    the whole of it as it comes, and "", for a profile that is not known.
    """
    workplace = the_workplace()
    machine = workplace.profiles.get(profile)
    if machine is None:
        return network_in_force(workplace, None), ""
    return network_in_force(workplace, profile).for_machine(machine_facts(machine)), profile


def _language(request: HttpRequest) -> str:
    asked = request.GET.get("language", SOURCE)
    return asked if asked in LANGUAGES else SOURCE


def _query(request: HttpRequest, language: str) -> str:
    query = request.GET.copy()
    query["language"] = language
    return f"?{query.urlencode()}"


def _found(network: Network, said: str) -> list[Cause]:
    """Causes of which every word stands in a name, a sentence or a sign, in any language."""
    asked = stems(said)
    if not asked:
        return sorted(network.causes, key=lambda one: (one.system.value, one.key))
    found = []
    for one in network.causes:
        texts = [one.name, one.tells, one.repair.words]
        texts += [network.observation(link.on).words for link in network.shows[one.key]]
        own = frozenset().union(*(_stems(text) for text in texts), stems(one.key.replace("_", " ")))
        if asked <= own:
            found.append(one)
    return sorted(found, key=lambda one: (one.system.value, one.key))


def _stems(text: Text) -> frozenset[str]:
    return frozenset().union(*(stems(said) for _, said in text.said))


def _line(network: Network, one: Cause, language: str) -> Line:
    return Line(
        one, one.name.in_language(language), one.tells.in_language(language),
        words(f"causes.side.{one.side.value}"), chance_said(one.prior_frac()),
        len(network.shows[one.key]), f"{one.arises_per_1000:g}",
    )  # fmt: skip


def _links(network: Network, links: list[Link], kind: Kind, language: str) -> list[LinkShown]:
    own = [(link, network.observation(link.on)) for link in links]
    return [_link(link, one, language) for link, one in own if one.kind is kind]


def _link(link: Link, one: Observation, language: str) -> LinkShown:
    check = one.check
    return LinkShown(
        text=one.words.in_language(language),
        asks="" if check is None else check.asks.in_language(language),
        how="" if check is None else check.how.in_language(language),
        chance=chance_said(link.chance_frac),
        width=f"{100.0 * link.chance_frac:.1f}",
        leak=words("network.leak", leak_frac=one.leak_frac),
        strength=words(f"network.strength.{link.grounds.strength.value}"),
        why=link.grounds.why,
        source=_source(link.grounds.source),
        minutes="" if check is None else words("causes.minutes", minutes=f"{check.minutes:g}"),
        cautions=() if check is None else cautions_shown(check.cautions, language),
        who="" if check is None else who_said(check.by),
        rest="" if check is None else rest_said(check),
    )


def _source(source: str) -> str:
    return words("network.judged") if source == JUDGED else source


def _names(network: Network, keys: object, language: str) -> list[tuple[str, str]]:
    found = []
    for key in keys if isinstance(keys, tuple | list) else ():
        one = network.cause_by_key.get(key)
        found.append((key, key if one is None else one.name.in_language(language)))
    return found


def _missed(track: Track, language: str) -> list[tuple[tuple[str, str], int, str]]:
    """Causes not put first every time: (key, name), cases, what stood first instead."""
    network, found = network_in_force(the_workplace(), None), []
    for one in track.missed:
        (name,) = _names(network, (one.cause,), language)
        instead = ", ".join(
            words("network.missed.instead", name=_names(network, (key,), language)[0][1],
                  count=count)
            for key, count in one.first
        )  # fmt: skip
        found.append((name, len(one.ranks), instead))
    return found
