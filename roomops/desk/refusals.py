"""What the desk refuses, and with which words' worth of facts. Sentences are worded on the top floor."""

from __future__ import annotations

from enum import StrEnum


class No(StrEnum):
    """Why nothing was kept. The facts beside it say which value, and what would be right."""

    UNKNOWN_DUTY = "unknown duty"  # value: the key as it came
    UNKNOWN_ROUND = "unknown round"
    UNKNOWN_SEAT = "unknown seat"  # no such tub in this round
    UNKNOWN_TANK = "unknown tank"
    UNKNOWN_RESIDENT = "unknown resident"
    UNKNOWN_KIND = "unknown kind"
    UNKNOWN_REASON = "unknown reason"  # of not here: value, allowed
    NOT_A_NUMBER = "not a number"  # name, value
    OUT_OF_RANGE = "out of range"  # name, value, least, most
    MORE_LEFT_THAN_OFFERED = "more left than offered"  # left, offered
    MISSING = "missing"  # name
    TOO_LONG = "too long"  # name, most
    OTHER_DAY = "other day"  # value, day
    NOT_BEGUN = "not begun"  # cups before animals, animals before counts
    BASKING_LOW = "basking low"  # tank, value_c, low_c
    TUB_TAKEN = "tub taken"  # tubs, round: its number; another feed's animal is in it
    ANIMALS_OUT = "animals out"  # count, tubs
    NOT_COUNTED = "not counted"  # count, tubs
    NOT_WASHED = "not washed"
    OTHER_TANK = "other tank"  # value, tank: where it lives
    NOT_OUT = "not out"  # it is in no tub
    DOUBTFUL = "doubtful"  # name, value_c, usual low_c and high_c: measure again, or keep as read
    NO_SUCH_HEADS = "no such heads"  # value, most
    MARK_TAKEN = "mark taken"  # value: the mark, tank: where another animal has it
    ALREADY_CORRECTED = "already corrected"  # somebody corrected it first: look again
    ALREADY_SETTLED = "already settled"
    NOT_YOURS = "not yours"  # of another room
    OTHER_DUTY = "other duty"  # a correction of something else: duty, value
    WRONG_KIND = "wrong kind"  # a count of a clean, a walk of a feed: value, duty
    BAD_TIME = "bad time"  # a moment without a time zone, or long ago: value
    NOTHING_TO_UNDO = "nothing to undo"
    CHANGED = "changed meanwhile"  # value: the animal, by, status, tank: as it stands now
    LEFT_ALREADY = "left already"  # value: the animal, status: it is in the room no more
    NAME_TAKEN = "name taken"  # value, tank: where the other one lives
    SAME_TANK = "same tank"  # value, tank
    NOT_A_LOT = "not a lot"  # value: it is one animal, known already
    LIVED_IN = "lived in"  # value: the tank, animals
    ALREADY_SO = "already so"  # value: the animal, status
    KINDS_MIXED = "kinds mixed"  # tank, kinds
    TOO_MANY = "too many"  # tank, value: heads, most
    LIVES_ALONE = "lives alone"  # tank, value: who lives alone by its sheet
    SIZES_APART = "sizes apart"  # tank, value: how many times, most: may be kept after a look
    QUARANTINE_APART = "quarantine apart"  # tank, value: who
    ISOLATED_APART = "isolated apart"  # tank, value: who
    NOT_COMPANY = "not company"  # tank, clash: another reason of the care sheets
    WEIGHT_JUMP = "weight jump"  # value_g, before_g, change: weigh again, or keep it as weighed
    MEASURE_AGAIN = "measure again"  # name, value_mm, most_mm, than
    TOO_SMALL_TO_LEAVE = "too small to leave"  # value, value_mm, most_mm
    NOT_MEASURED_TO_LEAVE = "not measured to leave"  # value: its shell is not measured
    UNKNOWN_RACK = "unknown rack"
    AWAY = "away"  # value: the animal: nobody here can give it anything
    FOUND = "found"  # value: the animal: nobody looks for it any more
    NO_MEDICINE = "no medicine"  # value: no such order today
    UNKNOWN_FOOD = "unknown food"  # kept, but no batch of that name leaves the shelf
    NOT_ARRIVED = "not arrived"  # kept, but value came on day, after it was fed: nothing leaves the shelf
    UNKNOWN_BATCH = "unknown batch"
    NOT_FARM_RAISED = "not farm-raised"  # value: the kind
    FUTURE_DATE = "future date"  # name, value
    TOO_EARLY = "too early"  # name, value, first: the day that it cannot be before
    MORE_THAN_THERE = "more than there"  # value, most, name: of a batch
    UNKNOWN_LAMP = "unknown lamp"
    UNKNOWN_TIMER = "unknown timer"
    TIMER_TAKEN = "timer taken"  # value: the name
    LAMP_TAKEN = "lamp taken"  # value: the fixture's name, tank: where it hangs
    OVER_RATING = "over rating"  # value, most: watts
    NO_RATING = "no rating"  # the fixture's highest watts are not written down
    WRONG_LAMP = "wrong lamp"  # value, what, allowed: a night heater gives no light
    NO_FIT = "no fit"  # value: a spare that does not fit, allowed
    BAD_HOURS = "bad hours"  # value: on, off
    NO_SUCH_DAY = "no such day"  # value
    SEASON_TAKEN = "season taken"  # value
    UNKNOWN_LOT = "unknown lot"  # value: no such lot, or none that is expected
    NOT_FREE = "not free"  # value: the tank: somebody lives in it, or a lot is promised it
    NOT_ALL_SORTED = "not all sorted"  # value: in tanks, alive
    TOO_MANY_DEAD = "too many dead"  # value, most: the lot
    TOO_FAR_AHEAD = "too far ahead"  # value, last: the day
    NO_PICTURE = "no picture"  # value: the file's name: nothing here can read it
    TOO_LARGE = "too large"  # value, most: of a picture, in MB
    LOT_TOGETHER = "lot together"  # value: those of the lot that would stay behind
    QUARANTINE_RUNS = "quarantine runs"  # value: the lot, until: the day; a vet's word ends it earlier
    UNKNOWN_PEN = "unknown pen"
    PEN_TAKEN = "pen taken"  # value: the pen, who
    OUTDOORS_NOW = "outdoors now"  # value: the animal
    NOT_OUTDOORS = "not outdoors"  # value: the animal
    JUST_FED = "just fed"  # value: the animal, minutes: still to wait
    NO_WEATHER = "no weather"  # nobody has looked out since: value, hours
    NOT_FIT = "not fit"  # value: the animal, reasons: why there is no sun for it
    FEEDS_HELD = "feeds held"  # heat or power failed and is not back
    READ_AFTER = "read after"  # value: tanks not read in their band since heat came back
    NOT_LOOKED = "not looked"  # value: what is to be looked at before it is over
    NO_OUTAGE = "no outage"  # nothing has failed, or it is back already


class Refused(Exception):  # noqa: N818  (it is an answer, not a fault)
    """Nothing was kept. ``why`` is typed; ``about`` names the value and what would be right."""

    def __init__(self, why: No, **about: object) -> None:
        super().__init__(f"{why}: {about}")
        self.why = why
        self.about = about
