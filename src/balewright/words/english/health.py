"""Whether everything that is kept is well, and how to mend what is not; backups."""

from __future__ import annotations

from typing import Final

_BACKUP_CURE: Final = "Run `balewright backup FILE`, best to another disk."
_REVIEW_CURE: Final = (
    "The desk does it by itself while it is served (`balewright serve`); `balewright review` does "
    "it now."
)
_OTHER_BACKUP: Final = (
    "Stop the desk, restore the newest good backup into an empty folder (`balewright restore "
    "FILE`), then take in again what came since: nothing counts twice."
)

MESSAGES: Final = {
    "backup.made": "{file}: written, {size_bytes}, files in it: {members}.",
    "backup.originals_gone": (
        "{count} originals are not there any more, by rule or by loss; their bales are in it."
    ),
    "backup.holds": (
        "It holds personal data (positions, customers, operators). Keep it where nobody else "
        "reads it."
    ),
    "restore.done": "{home}: put back and checked, {size_bytes}, files: {members}.",
    "desk.health.state.good": "good",
    "desk.health.state.look": "look",
    "desk.health.state.broken": "broken",
    "desk.health.state.unknown": "not seen",
    "desk.health.all.good": "All is well. Looked at: {count}.",
    "desk.health.all.look": "Want a look: {count}. Everything works.",
    "desk.health.all.broken": "Broken: {count}.",
    "desk.health.all.unknown": "Could not be looked at: {count}.",
    "desk.health.name.open": "Opening",
    "health.open.shut": "The workplace cannot be opened: {place} needs {need}, there is {given}.",
    "health.open.shut.cure": "{mend}",
    "desk.health.name.home": "Folder",
    "health.home.good": "{home} can be written.",
    "health.home.shut": "{home} cannot be written: {error}.",
    "health.home.shut.cure": (
        "Give the user that runs the desk write permission, or set BALEWRIGHT_HOME to a folder "
        "that can be written. Nothing was lost: what was refused can be taken in again."
    ),
    "desk.health.name.room": "Room",
    "health.room.good": "{free_bytes} free.",
    "health.room.little": "Only {free_bytes} free.",
    "health.room.little.cure": (
        "Free some space before the season: a file needs room for its copy and its column files."
    ),
    "health.room.none": "Almost no room: {free_bytes} free.",
    "health.room.none.cure": (
        "Free space now. Files that do not fit are refused whole and can be taken in again."
    ),
    "health.room.unseen": "Free space could not be read: {error}.",
    "health.room.unseen.cure": "Check that the folder is there and may be read.",
    "desk.health.name.key": "Key",
    "health.key.good": "The key that signs sessions is readable by its owner alone.",
    "health.key.open": "Others on this computer may read {path}.",
    "health.key.open.cure": (
        "Delete that file and start the desk again: a new key is made, and people sign in anew."
    ),
    "desk.health.name.left_over": "Left lying",
    "health.left_over.good": "Nothing was left lying beside the folder.",
    "health.left_over.restores": "Stopped restores beside the folder: {count} ({names}).",
    "health.left_over.restores.cure": "They hold nothing that counts; delete them.",
    "desk.health.name.register": "Register",
    "health.register.good": "The register is whole.",
    "health.register.server": "The register is on a database server; it looks after its own.",
    "health.register.server.cure": "Ask whoever runs the server for its checks and backups.",
    "health.register.damaged": "The register is damaged: {error}.",
    "health.register.damaged.cure": _OTHER_BACKUP,
    "health.register.loose": "Lines of the register that point at lines that are gone: {count}.",
    "health.register.loose.cure": _OTHER_BACKUP,
    "desk.health.name.parts": "Journal",
    "health.parts.good": "Every column file is there: {count}, rows of bales: {rows}.",
    "health.parts.missing": "Column files missing: {count}, rows in them: {rows} ({names}).",
    "health.parts.missing.cure": _OTHER_BACKUP,
    "health.parts.damaged": "Column files damaged: {count}, rows in them: {rows} ({names}).",
    "health.parts.damaged.cure": _OTHER_BACKUP,
    "desk.health.name.versions": "Versions",
    "health.versions.good": "Every column file is of version {version}.",
    "health.versions.old": "Column files of an older version, which are read as well: {count}.",
    "health.versions.old.cure": "`balewright compact` writes them anew, which makes them quicker.",
    "desk.health.name.tails": "Merging",
    "health.tails.good": "Files that wait to be merged: {count}, which is few.",
    "health.tails.many": "Files that wait to be merged: {count}, of one bucket {most}.",
    "health.tails.many.cure": "Run `balewright compact`: questions become quicker, nothing else.",
    "desk.health.name.originals": "Originals",
    "health.originals.good": "Originals that are there: {count}; let go by rule: {gone}.",
    "health.originals.lost": "Originals missing though no rule let them go: {count} ({names}).",
    "health.originals.lost.cure": (
        "Their bales are kept, but cannot be traced to row or byte. Copy the folder back from a "
        "backup."
    ),
    "desk.health.name.clock": "Clock",
    "health.clock.good": "The clock runs on from what was noted last.",
    "health.clock.behind": "Something was noted at {last} UTC, which is later than now.",
    "health.clock.behind.cure": (
        "Set this computer's clock right. Bales are not touched: their times are the machines' own."
    ),
    "desk.health.name.healed": "After a stop",
    "health.healed.good": "Nothing was ever left unfinished by a stop.",
    "health.healed.done": (
        "On {at} UTC what a stop had left was cleared away: unfinished column files: {files}, "
        "copies: {originals}; work begun again: {work}. Nothing that was taken in was touched."
    ),
    "desk.health.name.unended_backup": "Backup that did not end",
    "health.unended_backup.begun": "A backup was begun on {at} UTC and lies unfinished: {path}.",
    "health.unended_backup.begun.cure": (
        "Where none is being written now, write it again under the same name, or delete that file."
    ),
    "desk.health.name.unended_erasure": "Erasure that did not end",
    "health.unended_erasure.begun": "An erasure ({kind}) was begun on {at} UTC and did not end.",
    "health.unended_erasure.begun.cure": (
        "Ask for the same erasure again: it goes on where it was stopped."
    ),
    "desk.health.name.cases": "Cases",
    "health.cases.good": "Cases: {cases}; photos: {photos}, each in its place.",
    "health.cases.lost": "Photos whose file is gone: {lost} of {photos}.",
    "health.cases.lost.cure": "Bring the files back from a backup, into the folder `photos`.",
    "health.cases.conflicts": (
        "Entries of cases under whose id two things were written: {conflicts}. Both are kept."
    ),
    "health.cases.conflicts.cure": (
        "Open the cases that say so and take back what is wrong; ask whose phone wrote it twice."
    ),
    "desk.health.name.machines": "Machines",
    "health.machines.good": "Every machine with bales is entered; machines: {count}.",
    "health.machines.unknown": "Machines with bales that are not entered: {count} ({names}).",
    "health.machines.unknown.cure": (
        "Enter them, so that they have their own days, profile and findings."
    ),
    "desk.health.name.review": "Daily review",
    "health.review.good": "Every machine was last reviewed on {last} UTC.",
    "health.review.never": "The whole fleet was never reviewed.",
    "health.review.never.cure": _REVIEW_CURE,
    "health.review.old": "Overdue. Since every machine was last reviewed: {age_days}.",
    "health.review.old.cure": _REVIEW_CURE,
    "desk.health.name.review_none": "Daily review",
    "health.review_none.good": "No machine is entered yet, so there is nothing to review.",
    "desk.health.name.review_begun": "Daily review",
    "health.review_begun.good": (
        "Begun on {at} UTC and not ended: it is at work, or goes on once the desk is served."
    ),
    "desk.health.name.review_work": "Daily review at work",
    "health.review_work.good": "Machines reviewed: {done} of {machines}.",
    "desk.health.name.backup": "Backup",
    "health.backup.good": "The last backup is of {last} UTC.",
    "health.backup.never": "There was no backup yet.",
    "health.backup.never.cure": _BACKUP_CURE,
    "health.backup.old": "Days since the last backup: {age_days}.",
    "health.backup.old.cure": _BACKUP_CURE,
    "desk.health.name.backup_empty": "Backup",
    "health.backup_empty.good": "Nothing was taken in yet, so there is nothing to back up.",
    "desk.health.name.queue": "Work in hand",
    "health.queue.good": "Files that wait: {waiting}; at work: {running}.",
    "health.queue.stuck": "Files that wait: {waiting}; days since anything moved: {age_days}.",
    "health.queue.stuck.cure": "Start the desk again: work that was left is done from its start.",
    "health.queue.failed": "Files that failed by a fault of ours: {count}.",
    "health.queue.failed.cure": (
        "Nothing of them was kept. Send them again; if that fails too, tell whoever runs the desk."
    ),
    "desk.health.title": "Health",
    "desk.health.what": "Whether everything that is kept is well, and how to mend what is not.",
    "desk.health.col.what": "What",
    "desk.health.col.state": "State",
    "desk.health.col.seen": "Seen",
    "desk.health.col.mend": "How to mend it",
    "desk.health.at": "Looked at {at} UTC.",
    "desk.health.deep": (
        "Every file is held against its hash by `balewright doctor --deep`, which takes longer."
    ),
}
