"""Marks on what was kept with a doubt: what each says, and what to do about it."""

from typing import Final

MESSAGES: Final = {
    "intake.mark.times_disordered": "A bale's times are not in the order in which a bale is made.",
    "intake.mark.times_disordered.do": (
        "Look at the clock of the control and at who wrote the file. Durations of these bales "
        "cannot be trusted; the bales count all the same."
    ),
    "intake.mark.clock_jumped": "The clock went back, or stands far ahead.",
    "intake.mark.clock_jumped.do": (
        "Set the clock of the machine or terminal. Until then days may be wrong; what was done "
        "stands beside each."
    ),
    "intake.mark.zone_unknown": "Nobody says in which time zone the clock runs.",
    "intake.mark.zone_unknown.do": "Enter the machine with its zone, then the days come right.",
    "intake.mark.number_repeated": "A bale number comes more than once in the file.",
    "intake.mark.number_repeated.do": (
        "Harmless where the file was exported in overlapping parts: such a bale counts once. "
        "Else the counter was set back: look when the control was changed."
    ),
    "intake.mark.number_missing": "Bale numbers are missing between two bales.",
    "intake.mark.number_missing.do": (
        "Look for another file of those hours. Nothing was made up for the gap."
    ),
    "intake.mark.counter_stepped_back": "The machine's counter went back.",
    "intake.mark.counter_stepped_back.do": (
        "Ask whether the control was swapped or reset; enter the change, so that lifetime bales "
        "add up."
    ),
    "intake.mark.counter_leapt": "The machine's counter leapt ahead by more than a thousand.",
    "intake.mark.counter_leapt.do": (
        "Ask whether the control was swapped or the number entered by hand. A lifetime count "
        "goes by the highest number."
    ),
    "intake.mark.counted_twice": "Two counters of the task count the same bales.",
    "intake.mark.counted_twice.do": "Nothing: each bale was counted once.",
    "intake.mark.counter_carried_over": "A counter began where another task had left it.",
    "intake.mark.counter_carried_over.do": (
        "Nothing: only what it rose by was counted. Check the first bale of the task."
    ),
    "intake.mark.total_differs": "The total in the file is not what its records add up to.",
    "intake.mark.total_differs.do": (
        "Compare with the terminal's own display. The records were kept, and the total noted."
    ),
    "intake.mark.mass_without_bale": "A mass was recorded to which no bale belongs.",
    "intake.mark.mass_without_bale.do": "Look at the scale's log: the mass was given to no bale.",
    "intake.mark.bale_without_mass": "A bale has no mass although others beside it have one.",
    "intake.mark.bale_without_mass.do": "Its mass stays unknown. Look at the scale if it recurs.",
    "intake.mark.mass_unbelievable": "A mass is not that of any round bale.",
    "intake.mark.mass_unbelievable.do": "Set the scale to zero and check it against known weights.",
    "intake.mark.record_damaged": "A record in the file is damaged.",
    "intake.mark.record_damaged.do": (
        "Copy the file again from the machine. What could be read was kept."
    ),
    "intake.mark.record_left_out": "A record was left out: it says nothing of bales here.",
    "intake.mark.record_left_out.do": "Nothing, unless you miss something.",
    "intake.mark.file_cut": "The file ends in the middle.",
    "intake.mark.file_cut.do": (
        "Copy it again from the machine and take the whole one in: bales kept before stay single."
    ),
    "intake.mark.log_repeated": "Two time logs hold the same records.",
    "intake.mark.log_repeated.do": "Nothing: they were counted once.",
    "intake.mark.log_missing": "A time log that the task names is not there.",
    "intake.mark.log_missing.do": (
        "Copy the whole folder from the terminal, with every file beside TASKDATA.XML."
    ),
    "intake.mark.unit_contradicted": "The file says two units of one value.",
    "intake.mark.unit_contradicted.do": "Compare one value with the terminal's display.",
    "intake.mark.element_unknown": "A record names a part of the machine that is not told.",
    "intake.mark.element_unknown.do": "Nothing, unless values are missing.",
    "intake.mark.identity_unknown": (
        "Rows name no machine, or neither a bale number nor a time: they cannot be told apart."
    ),
    "intake.mark.identity_unknown.do": (
        "Say which machine the file is of when you take it in. Taken in from two files such rows "
        "count twice."
    ),
    "intake.mark.start_unknown": "The recording does not say when it began.",
    "intake.mark.start_unknown.do": (
        "Take it in again from the command line with --begins and the time; a satellite's time in "
        "the recording, where there is one, is named."
    ),
    "intake.mark.recording_gap": "For a while nothing at all was recorded.",
    "intake.mark.recording_gap.do": (
        "Nothing, where the machine stood switched off; else look at the recorder's plug and "
        "memory."
    ),
    "intake.mark.message_incomplete": (
        "A long message lost a part on its way; it was left out whole."
    ),
    "intake.mark.message_incomplete.do": (
        "Nothing, while it stays rare; often it is a loose plug or a bus without its end resistor."
    ),
    "intake.mark.sender_doubted": "More than one control sends the same value, or one changed.",
    "intake.mark.sender_doubted.do": "See whether the one taken is the machine this file is of.",
    "intake.mark.job_word_shared": "A job's word is used by another customer's order too.",
    "intake.mark.job_word_shared.do": (
        "These bales stand under no customer until somebody says whose they are."
    ),
    "intake.mark.place_doubted": "The receiver itself says that a position is not to be trusted.",
    "intake.mark.place_doubted.do": (
        "Look at the receiver where it recurs: its aerial, its plug, trees. The bales count."
    ),
    "intake.mark.clock_off": "The clock is not that of the receiver beside it.",
    "intake.mark.clock_off.do": "Set the clock of the terminal or recorder; check its time zone.",
    "intake.mark.value_unbelievable": "A value is not that of any round bale.",
    "intake.mark.value_unbelievable.do": (
        "What was done with it stands beside it. Compare with the terminal's display, then check "
        "the sensor."
    ),
    "intake.mark.signals_unknown": (
        "The machine's own signals are not known here, so no bale can be told from the recording."
    ),
    "intake.mark.signals_unknown.do": (
        "Enter the machine with its make where that has a signal book, or give one with "
        "--signals in the shell; then take the same file in again."
    ),
    "intake.mark.named_twice": "The file describes one thing twice.",
    "intake.mark.named_twice.do": "Nothing, unless values are missing: which one counted is told.",
    "intake.mark.cycle_unseen": "A bale was counted, but nothing of its making was recorded.",
    "intake.mark.cycle_unseen.do": (
        "It counts, with its times unknown. Look whether the recorder dropped out meanwhile."
    ),
}
