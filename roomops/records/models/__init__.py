"""Every table of Roomops, by topic. Import from here."""

from roomops.records.models.animals import Lot, Measure, Measurement, Resident, Spell, Stay
from roomops.records.models.foods import Batch, LedgerLine
from roomops.records.models.people import Account, Person, RefusedSignIn, Shift
from roomops.records.models.places import Lamp, LampKind, Rack, Reading, Spot, Tank, Timer, Tray, Tub
from roomops.records.models.rooms import CareChoice, Peak, Room
from roomops.records.models.work import Clash, Entry, EntryKind, Job, JobState, Note, PaperSet, PlanVersion

__all__ = [
    "Account",
    "Batch",
    "CareChoice",
    "Clash",
    "Entry",
    "EntryKind",
    "Job",
    "JobState",
    "Lamp",
    "LampKind",
    "LedgerLine",
    "Lot",
    "Measure",
    "Measurement",
    "Note",
    "PaperSet",
    "Peak",
    "Person",
    "PlanVersion",
    "Rack",
    "Reading",
    "RefusedSignIn",
    "Resident",
    "Room",
    "Shift",
    "Spell",
    "Spot",
    "Stay",
    "Tank",
    "Timer",
    "Tray",
    "Tub",
]
