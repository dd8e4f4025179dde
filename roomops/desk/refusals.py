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
    UNKNOWN_FOOD = "unknown food"  # kept, but no batch of that name leaves the shelf


class Refused(Exception):  # noqa: N818  (it is an answer, not a fault)
    """Nothing was kept. ``why`` is typed; ``about`` names the value and what would be right."""

    def __init__(self, why: No, **about: object) -> None:
        super().__init__(f"{why}: {about}")
        self.why = why
        self.about = about
