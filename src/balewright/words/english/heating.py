"""Hot hay: cautions, actions, readings and the picture of them."""

from typing import Final

MESSAGES: Final = {
    "heating.caution.flames": (
        "Hot hay can burst into flames when it is opened or moved and air reaches it."
    ),
    "heating.caution.walk": (
        "Never walk on a stack that may be hot: the hay under you may be burnt out. Two people, "
        "planks, harness and lifeline; never young people."
    ),
    "heating.caution.call": (
        "The fire service, the rules of the place and trained people come before this page. Call "
        "too early rather than too late."
    ),
    "heating.caution.smell": (
        "A smell of caramel, tobacco or smoke, or hay warm to the hand, is an alarm of its own, "
        "whatever the thermometer shows beside it."
    ),
    "heating.caution.smoke": (
        "Smoke of hay treated with acid may be toxic: keep people out of it and tell the fire "
        "service what was used."
    ),
    "heating.action.0": "no action; look again as below",
    "heating.action.1": "watch it: measure at least once a day",
    "heating.action.2": "watch it closely: measure at least twice a day",
    "heating.action.3": (
        "danger zone: while it is safe, take the stack apart so that air can cool it, away from "
        "buildings; measure every two hours"
    ),
    "heating.action.4": "call the fire service now; move nothing before it is there",
    "heating.action.5": (
        "fire is likely: people and animals away, fire service at once; only it moves hay"
    ),
    "heating.short.0": "no action",
    "heating.short.1": "watch",
    "heating.short.2": "watch closely",
    "heating.short.3": "danger zone",
    "heating.short.4": "call the fire service",
    "heating.short.5": "fire likely",
    "heating.now": (
        "Now {hot_c} ({hot_fahrenheit} °F), with the thermometer's error {read_c}: {action_said}."
    ),
    "heating.agree": "Every source asks for this.",
    "heating.by": "{asking} of {sources} sources ask for this; the most cautious rules.",
    "heating.trend.rising": (
        "It is rising, by {rate_said} K an hour ({low_said} to {high_said}, {confidence_frac} "
        "sure)."
    ),
    "heating.trend.falling": (
        "It is falling, by {rate_said} K an hour ({low_said} to {high_said}, {confidence_frac} "
        "sure)."
    ),
    "heating.trend.unsure": (
        "Whether it rises or falls is not shown yet: {rate_said} K an hour, anything from "
        "{low_said} to {high_said}."
    ),
    "heating.trend.few": (
        "Whether it rises or falls is unknown: three readings within two days are needed."
    ),
    "heating.reach": (
        "If it goes on like this it reaches {alarm_c} ({action_said}) in {best_h}, as soon as "
        "{earliest_h}. Heating can run away faster than that."
    ),
    "heating.reach_soonest": (
        "If it goes on like this it need not reach {alarm_c} ({action_said}); the readings allow "
        "it as soon as {earliest_h}."
    ),
    "heating.reach_now": "It may be at {alarm_c} ({action_said}) already.",
    "heating.next": "Next reading in {next_h} at the latest.",
    "heating.next_none": "No more readings: nobody goes near it but the fire service.",
    "heating.moist.yes": "At {moisture_frac} a {bale} bale is dry enough for every source.",
    "heating.moist.disputed": (
        "At {moisture_frac} sources disagree about a {bale} bale: limits run from {low_frac} to "
        "{high_frac}. For: {agree_count}, against: {against_count}."
    ),
    "heating.moist.no": (
        "At {moisture_frac} a {bale} bale is too damp for every source (limits from {low_frac} to "
        "{high_frac}): watch it from the first day."
    ),
    "heating.times": (
        "Hay heats most one to two weeks after baling; most fires come in weeks two to six. Go on "
        "measuring until it has cooled."
    ),
    "heating.column.source": "source",
    "heating.column.says": "says now",
    "heating.column.check": "next reading",
    "heating.column.calls": "fire service from",
    "heating.chart.title": "Hay at {hot_c}: {action_said}",
    "heating.chart.desc": (
        "Temperature over {span_h}, {count} readings, now {hot_c}. Lowest alarms of the sources: "
        "watch from {watch_c}, danger zone from {danger_c}, fire service from {call_c}, fire "
        "likely from {fire_c}. Next reading in {next_said}."
    ),
    "heating.chart.axis": "hours before and after the last reading",
    "heating.chart.degrees": "°C",
    "heating.chart.by_source": "source by source",
    "heating.name.purdue": "Purdue",
    "heating.name.penn": "Penn State",
    "heating.name.kentucky": "Kentucky",
    "heating.name.mississippi": "Mississippi",
    "heating.name.cornell": "Cornell",
    "heating.name.california": "California",
    "heating.name.oklahoma": "Oklahoma",
    "heating.chart.now": "{hot_c} now",
    "heating.chart.next": "read again in {next_said}",
}
