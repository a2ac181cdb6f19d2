"""Dry matter: the microwave step by step, samples, the probe and the picture."""

from typing import Final

MESSAGES: Final = {
    "dry_matter.caution.fire": (
        "A dry sample burns. Stay beside the oven, stop at the first smell or smoke, and do not "
        "heat a sample that has begun to char."
    ),
    "dry_matter.caution.water": (
        "Keep a cup of water in the oven and change it when it boils; out of doors or under a hood "
        "with silage."
    ),
    "dry_matter.heat": "Heat again for {heat_min}, stir, weigh.",
    "dry_matter.heat_loss": "The last run took {loss_said} g: not dry yet by this rule.",
    "dry_matter.at_most": "Dry matter is at most {most_frac}.",
    "dry_matter.stop": "Stop: it is dry. The last run took {loss_said} g.",
    "dry_matter.charred": "Stop: it charred. The weight before counts.",
    "dry_matter.again": "It charred before it was dry: take a new sample and shorter runs.",
    "dry_matter.answer": (
        "Dry matter {best_said} % ({low_said} to {high_said} by the scale and the rule), moisture "
        "{moist_said} %."
    ),
    "dry_matter.rule": "Rule: {rule_said}.",
    "dry_matter.one": "One sample: {best_said} % dry matter; how good that is stays unknown.",
    "dry_matter.mean": (
        "{count} samples: {best_said} % dry matter ({low_said} to {high_said}, {confidence_frac} "
        "sure), standard deviation {deviation_said} points."
    ),
    "dry_matter.needed": "Within {within_said} points either way takes {needed} samples in all.",
    "dry_matter.probe": (
        "The probe at {reading_said} % means {best_said} % moisture ({low_said} to {high_said}, "
        "{confidence_frac} sure)."
    ),
    "dry_matter.probe_outside": (
        "The probe at {reading_said} % lies outside its pairs ({from_said} to {to_said} %): "
        "unknown."
    ),
    "dry_matter.probe_bias": (
        "On {pairs} pairs the probe reads {bias_said} points {side} the oven."
    ),
    "dry_matter.above": "above",
    "dry_matter.below": "below",
    "dry_matter.volatiles": (
        "If this is silage: an oven or microwave drives off more than water, and the true dry "
        "matter may be {low_said} to {high_said} % (from memory, not applied)."
    ),
    "dry_matter.chart.title": "Microwave: {step_said}",
    "dry_matter.chart.heat": "heat again",
    "dry_matter.chart.stop": "dry",
    "dry_matter.chart.charred": "charred, the weight before counts",
    "dry_matter.chart.again": "charred too early, start again",
    "dry_matter.chart.x": "minutes heated",
    "dry_matter.chart.y": "% of the wet weight",
    "dry_matter.chart.answer": "dry matter {answer_said}",
    "dry_matter.chart.open": "not dry yet",
    "dry_matter.chart.desc": "Weights in grams: {weights}. {step}: {answer}.",
}
