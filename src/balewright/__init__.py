"""Balewright: plan -> records -> findings -> cause -> work, for round baler-wrappers.

The names of `__all__` are the public ones; they follow semantic versioning. Each is loaded when
it is first asked for, so that counting layers does not load what reads files.
"""

from importlib import import_module as _import_module
from types import MappingProxyType as _MappingProxyType

__version__ = "0.1.0"

_ROOMS = {
    "quantities.errors": ("BadInput", "BadProfile", "BalewrightError", "Fault", "NotAnswerable"),
    "quantities.interval": ("Interval",),
    "quantities.reason": ("Reason",),
    "plan.crop": ("Crop",),
    "plan.machine": ("BindingKind", "Machine"),
    "plan.film.strip": ("Bale", "Film", "LaidStrip", "film_use", "lay_strip"),
    "plan.film.crossings": ("Wrapping", "bale_turn_from_advance"),
    "plan.film.layers": ("LayerCount", "count_layers"),
    "plan.film.shape": ("Shape", "film_path_of", "shape_of"),
    "plan.film.laying": ("Girth", "Laying"),
    "plan.film.real_bale": ("RealCount", "count_real_bale"),
    "plan.film.many_bales": ("CountedMany", "ManyBales", "count_many", "many_bales"),
    "plan.film.many_legs": ("ManyLegs", "legs_of_courses", "plain_legs"),
    "plan.film.spread": ("Spread", "SpreadShape"),
    "plan.film.recorded_spread": ("RecordedSpread", "recorded_spread"),
    "plan.film.varying": ("Draws", "MeasuredStrip", "StretchedFilm", "Varying"),
    "plan.film.critical_strips": ("Goal", "critical_strips"),
    "plan.film.tolerance": ("chance_of", "expected_short", "layer_chances"),
    "plan.film.chance_setting": ("Choice", "Wish", "least_film", "turns_for_chance", "turns_table"),
    "plan.film.turns": ("turns_after_loss", "turns_everywhere", "turns_needed"),
    "plan.film.course": ("Course", "Leg"),
    "plan.film.count_course": ("count_course",),
    "plan.film.events": ("Happening", "Running", "tell_story"),
    "plan.film.event_text": ("read_events",),
    "plan.film.from_here": ("Need", "ways_on"),
    "plan.film.tipped": ("judge_tipped",),
    "plan.keeping.climate": ("CLIMATES", "Climate", "Stay"),
    "plan.keeping.oxygen": ("Cover", "cover_of", "dose_mol_m2"),
    "plan.keeping.keep": ("Kept", "Mishaps", "School", "Stored", "keep"),
    "plan.keeping.mould": ("MouldRisk", "judge_mould"),
    "plan.keeping.least_cost": ("LeastCost", "Prices", "least_cost"),
    "plan.keeping.heating": ("HeatAdvice", "advise_heat"),
    "plan.keeping.heating_trend": ("HeatReading", "HeatReport", "follow_heat"),
    "plan.keeping.additive": ("AcidDose", "acid_dose"),
    "plan.keeping.dry_matter": ("dry_matter_frac",),
    "plan.keeping.microwave": ("Drying", "Weighing", "follow_drying"),
    "plan.keeping.probe": ("Calibration", "ProbePair", "calibrate_probe"),
    "plan.power.need": ("Chamber",),
    "plan.power.answer": ("Load", "PowerAnswer", "Tractor", "power_of"),
    "plan.power.fuel": ("fuel_l_h",),
    "plan.cost.ownership": ("Resale", "capital_recovery_money"),
    "plan.cost.outlay": ("Made", "Outlay", "Owned", "Season", "UnitPrices"),
    "plan.cost.bale_cost": ("BaleCost", "cost_of"),
    "plan.cost.job": ("Draw", "Job", "made_of"),
    "plan.cost.answer": ("CostAnswer", "Hired", "answer_cost"),
    "plan.cost.break_even": ("bales_to_own", "break_even_use"),
    "plan.pace.work": ("Headland", "Phases", "Stop", "Work"),
    "plan.pace.steady": ("WorkPace", "work_pace"),
    "plan.pace.variation": ("Variation", "draw_factors"),
    "plan.pace.chances": ("ChancePace", "chance_pace"),
    "plan.sheet.to_pace": ("settings_from_sheet",),
    "plan.pace.answer": ("PaceAnswer", "answer_pace"),
    "plan.film.rolls": ("RollBought", "film_bill"),
    "plan.film.roll_stock": ("Stock", "UseSpread", "rolls_to_load", "use_spread"),
    "plan.film.roll_ends": ("Day", "roll_ends"),
    "plan.film.stretch": ("Doubts", "Drawn", "stretch_from_metres"),
    "plan.film.two_marks": ("Marks", "judge_marks", "label_limits", "read_marks"),
    "plan.film.on_bale": ("Taped", "turning_on_bale"),
    "plan.sheet.gate_fit": ("GateFit", "fit_gate"),
    "plan.sheet.sheet": (
        *("Additive", "Conditions", "Conflict", "GateReading", "LostRoll", "Measure", "RollChange"),
        *("Sheet", "SheetLine"),
    ),
    "plan.sheet.change": ("change_condition",),
    "plan.sheet.compare": ("SheetDifference", "compare_sheets", "what_if"),
    "plan.sheet.rules": ("plan_bale",),
    "cards.issue": ("Issue", "issue_of"),
    "cards.sheet_text": ("sheet_text",),
    "cards.sheet_message": ("sheet_message",),
    "cards.sheet_page": ("sheet_page",),
    "cards.sheet_pdf": ("Paper", "sheet_pdf"),
    "cards.sheet_json": ("sheet_from_json", "sheet_to_json"),
    "cards.task_data": ("TaskNames", "task_data_zip"),
    "records.bales": ("BaleTable", "bale_table"),
    "records.column_map": ("ColumnMap", "MappedColumn"),
    "records.counts.account": ("CountAccount", "LifetimeCount", "account_for"),
    "records.cycles.bale_rows": ("to_bales",),
    "records.cycles.cutting": ("cut_cycles", "cut_pieces"),
    "records.cycles.cycles": ("Cycles",),
    "records.cycles.rules": ("CycleRules",),
    "records.events": ("Event", "EventKind"),
    "records.fields.areas": ("Area", "gather_areas"),
    "records.fields.find_misplaced": ("find_misplaced",),
    "records.fields.misplaced": ("JobPlace", "Misplaced"),
    "records.intake": ("Batch", "Doubt", "Refusal"),
    "records.outlines": ("Outline",),
    "records.rolls": ("RollAccount", "RollRange", "account_rolls"),
    "readers.profile": ("read_profile", "shipped_profiles"),
    "readers.open_records": ("Records", "open_records"),
    "readers.reading": ("Reading",),
    "readers.can.trace": ("Trace", "open_trace"),
    "readers.task_data": ("TaskData", "open_task_data", "task_bales"),
    "readers.bale_csv": ("write_bale_csv",),
    "readers.geojson": ("read_geojson",),
    "findings.finding": ("Finding", "FindingKind", "Weight"),
    "findings.against_plan": ("cannot_tell", "find_against_plan"),
    "findings.chapters": ("find_in_chapter",),
    "findings.episodes": ("Episode", "EpisodeState", "follow", "set_aside", "take_back"),
    "findings.judged": ("Judged", "judge"),
    "findings.admission": ("Admission", "Dependence", "admit"),
    "findings.rolls_compared": ("RollCompared", "RollUse", "compare_rolls", "roll_uses"),
    "cause.case.case": ("Case",),
    "cause.case.entry": ("Entry", "EntryKind"),
    "cause.case.evidence": ("evidence_of",),
    "cause.case.merge": ("merge",),
    "cause.case.payload": ("fields_of",),
    "cause.case.proof": ("CureProof", "LaterBales", "RepairedAt", "prove"),
    "cause.case.read_case": ("read_case",),
    "work.usage": ("Usage", "read_usage"),
    "work.due": ("WorkDue", "forecast_work"),
    "words.say": ("say", "say_value"),
    "words.reader": ("Reader", "Units"),
    "words.exact": ("read_exact", "write_exact"),
}
_HOME = _MappingProxyType({name: room for room, names in _ROOMS.items() for name in names})

__all__ = ["__version__", *sorted(_HOME)]  # noqa: PLE0604 - the names stand in _ROOMS


def __getattr__(name: str) -> object:
    """A public name, from the room it lives in."""
    if name not in _HOME:
        raise AttributeError(f"balewright has no public name {name!r}")
    return getattr(_import_module(f"balewright.{_HOME[name]}"), name)


def __dir__() -> list[str]:
    return sorted(__all__)
