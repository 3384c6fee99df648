"""What the commands say by themselves; how they are used stands beside them, as the help of each."""

from __future__ import annotations

from typing import Final

COMMANDS: Final[dict[str, str]] = {
    "command.how": 'Answer in your own words, with units ("121 F", "ten weeks", "like a wrung-out rag"); tell more '
    'than is asked if you like. "Don\'t know" is an answer, "why" tells why it is asked, "undo" takes'
    ' the last answer back, "stop" ends the questions.',
    "command.nothing-to-undo": "There is nothing to take back yet.",
    "command.undone": "Taken back.",
    "command.chance": "About {times} times in 10 it changes what to do first.",
    "command.unusable": "{file} cannot be used: {why}",
    "command.the-file": "The file",
    "command.the-output": "The output",
    "command.interrupted": "Interrupted.",
    "command.no-cluster": "A cluster needs the extra `dask`: pip install 'warmheap[dask]'",
    "command.lines-answered": "{lines} lines answered{part}, {problems} with a problem",
    "command.lines-with-problem": "{problems} of {lines} lines have a problem.",
    "command.chat-start": 'Tell me about your heap. "help" says how, "undo" takes back, "bye" ends.',
    "command.no-output": "Standard output is closed: there is nowhere to write to.",
    "command.no-rule": "There is no rule of this id.{meant}",
    "command.no-folder": "There is no folder {folder}. If it is meant, make it first with mkdir.",
    "command.no-mqtt": "For this install the extra `mqtt` (aiomqtt).",
    "command.copied": "The log book is copied to {file}.",
    "command.restore-unsure": "This replaces everything that is logged now; say --yes if that is meant.",
    "command.restored": "The log book is as it was in {file}.",
    "command.all-well": "All is well.",
    "command.faults": "{count} faults.",
    "command.compared": "knowledge {then} -> {now}: {differ} of {all} answers differ",
    "command.unreadable": "{file} cannot be read: {why}",
    "command.no-answers": "{file} does not hold recorded answers",
    "command.logged": "Added: readings {readings}, work {work}. There already: {twins}.",
    "command.no-tools": "The tools are not installed: pip install '.[mcp]' adds them.",
    "command.delete-unsure": "This deletes the pile and all that was logged of it; say --yes if that is meant.",
    "command.deleted": "{pile} is deleted.",
    "command.traces": "The file still holds traces until it is closed.",
    "command.promised": "promised {low} to {high} %: {better} of {told} better",
    "command.more-lines": "({count} more lines: --all; as data: --json)",
    "command.replay.not-recorded": "not recorded then",
    "command.replay.status-gone": "its status is gone",
    "command.replay.first": "first action: {then} -> {now}",
    "command.replay.actions": "actions: {then} -> {now}",
    "command.replay.texts-only": "texts or numbers only",
    "command.not-read": 'Not read: "{what}" - {why}',
    "command.fault": "FAULT: {fault}",
    "command.knowledge": "{version} ({count} rules)",
    "command.damaged": "DAMAGED: {why} [{id}] {warning}",
    "command.head.day": "day",
    "command.head.date": "date",
    "command.head.core": "core {unit}",
    "command.head.air": "air {unit}",
    "command.no-listening": "The address cannot be listened on: {why}.",
    "command.answers-at": "warmheap answers at {address} (Ctrl-C ends it)",
    "command.answers-everywhere": "warmheap answers at {address} and at every other address of this machine (Ctrl-C "
    "ends it)",
    "command.revoked": "{id} is revoked.",
}
