"""The one table of keys: footer, help, README and tests are all made from it.

`where` is the screen a key belongs to. `words` is what the footer and help say.
A key of "all" acts on every screen of the evening.
"""

from __future__ import annotations

from dataclasses import dataclass

from textual.binding import Binding, BindingType


@dataclass(frozen=True, slots=True)
class Key:
    """One key: `key` as Textual names it, `shown` as it is printed on a keyboard."""

    where: str
    key: str
    shown: str
    action: str
    words: str
    short: str = ""


KEYS: tuple[Key, ...] = (
    # --- the floor: the station in hand
    Key("floor", "enter", "Enter", "go", "start the set; then all reps left made; then the suggested grade", "go"),
    Key("floor", "space", "Space", "rep(True)", "a rep made", "rep"),
    Key("floor", "full_stop", ".", "rep(False)", "a rep missed", "missed"),
    Key("floor", "1", "1", "grade('sharp')", "grade sharp: nothing to fix", "sharp"),
    Key("floor", "2", "2", "grade('sound')", "grade sound: small things", "sound"),
    Key("floor", "3", "3", "grade('rough')", "grade rough: one thing to fix before more load", "rough"),
    Key("floor", "4", "4", "grade('broken')", "grade broken: the movement fell apart", "broken"),
    Key("floor", "5", "5", "grade('unseen')", "unseen: done, nobody watched", "unseen"),
    Key("floor", "9", "9", "take_offer", "take the order the plan offers at this station", "take the offer"),
    Key("floor", "0", "0", "hold_order", "hold the line as it stands; again: back to the rising bar", "hold order"),
    Key("floor", "8", "8", "trims", "trims: what could be left out, each with the minutes it gains", "trims"),
    Key("floor", "plus", "+", "overrule('add')", "overrule the proposal: a step more", "heavier"),
    Key("floor", "equals_sign", "=", "overrule('keep')", "overrule the proposal: the same load", "same"),
    Key("floor", "minus", "-", "overrule('lighten')", "overrule the proposal: lighter", "lighter"),
    Key("floor", "tab", "Tab", "next_station", "to the next station that needs a key", "next"),
    Key("floor", "left", "←", "station(-1)", "to the station on the left", "left"),
    Key("floor", "right", "→", "station(1)", "to the station on the right", "right"),
    Key("floor", "f2", "F2", "whole_set", "record a set whole, afterwards", "late set"),
    Key("floor", "f3", "F3", "put_right", "put an older set right: reps, load, grade, faults", "put right"),
    Key("floor", "f4", "F4", "ramp_done", "ramp done: all ramp sets of this lift at once", "ramp"),
    Key("floor", "f5", "F5", "pass_turn", "pass: the next lifter goes first", "pass"),
    Key("floor", "f6", "F6", "swap", "swap two lifters in the line", "swap"),
    Key("floor", "f7", "F7", "load", "change the load by hand", "load"),
    Key("floor", "f8", "F8", "people", "people: arrive, walk in, late, must go, leave, move", "people"),
    Key("floor", "f9", "F9", "pain", "pain: hold every lift; or record the clearance", "pain"),
    Key("floor", "f10", "F10", "bar_found", "the bar isn't like that: say what is on it", "bar"),
    Key("floor", "exclamation_mark", "!", "stop", "stop everything; again to go on", "STOP"),
    Key("floor", "slash", "/", "more", "everything else, by letter", "more"),
    Key("floor", "ctrl+k", "Ctrl+K", "unlock", "unlock the keyboard", "unlock"),
    # --- every screen
    Key("all", "backspace", "Backspace", "undo", "undo the latest command, as often as wanted", "undo"),
    Key("all", "f1", "F1", "help", "the keys", "keys"),
    Key("all", "f12", "F12", "questions", "ask the week a question in SQL", "ask"),
    Key("all", "ctrl+q", "Ctrl+Q", "quit", "leave; nothing is lost", "quit"),
    # --- check-in
    Key("checkin", "up", "↑", "cursor(-1)", "the lifter above", ""),
    Key("checkin", "down", "↓", "cursor(1)", "the lifter below; after the last one, the floor", ""),
    Key("checkin", "enter", "Enter", "check_in", "check in at the station suggested, or go to the floor", "check in"),
    Key("checkin", "1", "1-9", "to_station(1)", "check in at that station, or move there", "station"),
    Key("checkin", "l", "L", "late", "expected late: Enter for 15 minutes, or say when", "late"),
    Key("checkin", "m", "M", "must_go", "must go at a time: the plan ends their sets by then", "must go"),
    Key("checkin", "w", "W", "walk_in", "a walk-in: name and go", "walk-in"),
    Key("checkin", "n", "N", "note", "read the notes about a lifter, or add a caution", "note"),
    Key("checkin", "c", "C", "clearance", "held for pain: record who cleared it, and when", "cleared"),
    Key("checkin", "p", "P", "programme", "give a programme", "programme"),
    Key("checkin", "g", "G", "groups", "who shares which station, and why; those here go there", "who"),
    Key("checkin", "s", "S", "sheet", "write the evening sheet to print", "sheet"),
    Key("checkin", "f", "F", "floor", "to the floor", "floor"),
    Key("checkin", "e", "E", "equipment", "plates, bars and stations: see and change them"),
    Key("checkin", "v", "V", "week", "the week: who came, what moved, what stalled, what is next", "week"),
    # --- the week
    Key("week", "up", "↑", "cursor(-1)", "the lifter above", ""),
    Key("week", "down", "↓", "cursor(1)", "the lifter below", "lifter"),
    Key("week", "enter", "Enter", "look", "to the lifter: charts, form limit, plans, notes", "look"),
    Key("week", "n", "N", "next_load", "next time: another load than the one proposed", "next"),
    Key("week", "e", "E", "evening", "write the latest evening's summary, for the coach", "summary"),
    Key("week", "escape", "Esc", "leave", "back", "back"),
    # --- one lifter
    Key("lifter", "left", "←", "lift(-1)", "the lift before", ""),
    Key("lifter", "right", "→", "lift(1)", "the next lift", "lift"),
    Key("lifter", "tab", "Tab", "chart", "the next chart: load and maximum, form by load, faults by week", "chart"),
    Key("lifter", "down", "↓", "scroll(1)", "a line down", "more"),
    Key("lifter", "up", "↑", "scroll(-1)", "a line up", ""),
    Key("lifter", "pagedown", "PgDn", "page(1)", "a screen down", ""),
    Key("lifter", "pageup", "PgUp", "page(-1)", "a screen up", ""),
    Key("lifter", "n", "N", "next_load", "next time: another load than the one proposed", "next"),
    Key("lifter", "s", "S", "step", "the step: what this lifter adds on this lift when it goes well", "step"),
    Key("lifter", "b", "B", "body", "bodyweight or birth year, for the coach: smaller steps", "body"),
    Key("lifter", "c", "C", "card", "write the card for next session, to hand over", "card"),
    Key("lifter", "escape", "Esc", "leave", "back to the week", "back"),
    # --- plates, bars and stations
    Key("plates", "up", "↑", "row(-1)", "the line above", ""),
    Key("plates", "down", "↓", "row(1)", "the line below", ""),
    Key("plates", "left", "←", "field(-1)", "the field to the left", ""),
    Key("plates", "right", "→", "field(1)", "the field to the right", ""),
    Key("plates", "enter", "Enter", "edit", "change the field under the cursor", "change"),
    Key("plates", "plus", "+", "count(1)", "a pair, or a bar, more", "one more"),
    Key("plates", "minus", "-", "count(-1)", "a pair, or a bar, less", "one less"),
    Key("plates", "a", "A", "add", "add one of these: a plate, a bar, a station", "add"),
    Key("plates", "x", "X", "remove", "take this one out", "remove"),
    Key("plates", "s", "S", "adopt", "adopt the changes as a new version", "save"),
    Key("plates", "backspace", "Backspace", "back", "the latest change here off", "take back"),
    Key("plates", "escape", "Esc", "leave", "back", "back"),
    # --- fast entry from the paper sheet
    Key("sheetentry", "1", "1-5", "grade('sharp')", "the set as shown, with that grade; the next set", "grade, next"),
    Key("sheetentry", "enter", "Enter", "grade('unseen')", "the set as shown, unseen", "done, unseen"),
    Key("sheetentry", "full_stop", ".", "missed", "one rep fewer made", "a rep missed"),
    Key("sheetentry", "plus", "+", "load(1)", "lifted with a step more", "heavier"),
    Key("sheetentry", "minus", "-", "load(-1)", "lifted with a step less", "lighter"),
    Key("sheetentry", "tab", "Tab", "step(1)", "skip: the next set", "skip"),
    Key("sheetentry", "down", "↓", "step(1)", "the next set", ""),
    Key("sheetentry", "up", "↑", "step(-1)", "the set before", ""),
    Key("sheetentry", "backspace", "Backspace", "back", "what was typed for this set off; else undo", "undo"),
    Key("sheetentry", "escape", "Esc", "leave", "back", "back"),
    # --- closing the session
    Key("close", "enter", "Enter", "close", "close the session; closed, on to check-in", "close"),
    Key("close", "n", "N", "next_load", "next time: another load than the one proposed", "next time"),
    Key("close", "g", "G", "stage", "stage: sign off or step back; / then g does the same", "stage"),
    Key("close", "down", "↓", "scroll(1)", "a line down", ""),
    Key("close", "up", "↑", "scroll(-1)", "a line up", ""),
    Key("close", "pagedown", "PgDn", "page(1)", "a screen down", ""),
    Key("close", "pageup", "PgUp", "page(-1)", "a screen up", ""),
    Key("close", "escape", "Esc", "leave", "back to the floor", "back"),
    # --- a question in SQL
    Key("questions", "enter", "Enter", "ask_marked", "in the list: ask the question under the cursor", "ask"),
    Key("questions", "f5", "F5", "run", "run the question", "run"),
    Key("questions", "escape", "Esc", "stop_or_leave", "stop a running question; else back", "stop, or back"),
    Key("questions", "f2", "F2", "questions", "ready questions and those kept: take one", "questions"),
    Key("questions", "f3", "F3", "tables", "show or hide the tables a question can use", "tables"),
    Key("questions", "f4", "F4", "fresh", "an empty editor for a question of your own", "new"),
    Key("questions", "f6", "F6", "keep", "keep the question under a name, in the gym file", "keep"),
    Key("questions", "f7", "F7", "save", "save the whole answer: .csv, .parquet, .arrow, .json", "save"),
    Key("questions", "f8", "F8", "chart", "draw the answer, or back to its table", "chart"),
    Key("questions", "tab", "Tab", "app.focus_next", "from the list to its SQL, to the answer and back", "SQL, answer"),
    Key("questions", "right", "→", "complete", "take the grey end of a word", "grey word"),
    Key("questions", "up", "↑", "earlier", "on the first line: the question asked before", "earlier"),
    Key("questions", "down", "↓", "later", "on the last line: the question asked after it"),
    Key("questions", "s", "S", "sort", "in the answer: sort by this column; again turns it", "sort"),
    Key("questions", "pagedown", "PgDn", "turn(1)", "in the answer: down; at its end the next 1,000 rows", "on"),
    Key("questions", "pageup", "PgUp", "turn(-1)", "in the answer: up; at its top the 1,000 rows before"),
    Key("questions", "backspace", "Backspace", "edit", "in the answer: back to the question"),
    Key("questions", "f12", "F12", "leave", "back"),
    # --- the group drill
    Key("drill", "space", "Space", "rep", "on the word: a rep for everyone", "rep, on the word"),
    Key("drill", "a", "a-z", "fault('a')", "a fault by its letter, then whom by their key", "fault"),
    Key("drill", "exclamation_mark", "!", "stop", "stop everything; again to go on", "STOP"),
    Key("drill", "escape", "Esc", "end", "end the drill, back to the floor", "end"),
    # --- the list of keys
    Key("keyshelp", "escape", "Esc", "close", "close the list of keys", "close"),
    Key("keyshelp", "f1", "F1", "close", "close the list of keys", "close"),
)
"""All keys, in the order help shows them."""


@dataclass(frozen=True, slots=True)
class More:
    """One line of the "everything else" list on the floor: a letter there, an action here."""

    letter: str
    action: str
    words: str


MORE: tuple[More, ...] = (
    More("s", "start_work", "start the work set: the ramp is done"),
    More("o", "take_offer", "take the order the plan offers"),
    More("r", "hold_order", "hold this order; or back to the rising bar"),
    More("t", "trims", "trims: end earlier"),
    More("v", "ten_minutes", "the next ten minutes, station by station"),
    More("l", "swap_lifts", "swap lifts: the rack is taken, the next lift first"),
    More("h", "heights", "heights: rack, safeties, bench"),
    More("g", "stage", "stage: sign off or step back in the teaching order"),
    More("d", "drill", "group drill: everyone, an empty bar, one stage"),
    More("i", "incident", "incident note"),
    More("n", "notes", "notes about a lifter"),
    More("e", "sheet_entry", "enter sets from the paper sheet"),
    More("p", "sheet", "write the evening sheet to print"),
    More("b", "equipment", "plates and bars"),
    More("c", "checkin", "check-in screen"),
    More("m", "mute", "bell on or off"),
    More("k", "lock", "lock the keyboard"),
    More("w", "week", "the week: who came, what moved, what is next"),
    More("q", "questions", "ask the week a question"),
    More("x", "close", "close the session"),
)
"""What `/` opens."""


def keys_of(where: str) -> tuple[Key, ...]:
    """The keys of one screen, without those of every screen."""
    return tuple(k for k in KEYS if k.where == where)


def bindings(where: str) -> list[BindingType]:
    """Textual's bindings for a screen. In the SQL pane the F keys come before the editor, in the order pressed.

    Elsewhere priority is off: a dialog keeps its own keys. A letter shown as a
    capital acts either way.
    """
    first = where == "questions"
    return [
        Binding(key, k.action, k.short or k.words, show=False, priority=first and k.shown.startswith("F"))
        for k in keys_of(where)
        for key in ((k.key, k.key.upper()) if len(k.key) == 1 and k.key.upper() == k.shown else (k.key,))
    ]
