"""Plans by version, what people said was done, notes, jobs and papers."""

import uuid

from django.db import models

from roomops.records.models.animals import Resident
from roomops.records.models.places import Tank
from roomops.records.models.rooms import RoomScoped


class PlanVersion(RoomScoped):
    """A plan for a room and date. The first writer of a version wins; the loser reads it."""

    day = models.DateField()
    version = models.PositiveSmallIntegerField()
    method = models.CharField(max_length=12)
    facts = models.CharField(max_length=64)  # digest of the room facts that it answers
    document = models.JSONField()  # planning.codec plan document
    note = models.CharField(max_length=200, blank=True)  # 'verifier refused: ...'

    class Meta:
        constraints = [models.UniqueConstraint(name="plan_version_once", fields=["room", "day", "version"])]


class EntryKind(models.TextChoices):
    """What a person said. On pages each is called by what it is: a count, a reading, a note, 'done'."""

    CUPS = "cups", "cups ready"
    OUT = "out", "in its tub"
    COUNT = "count", "count"
    REFUSED = "refused", "refused"
    NOT_HERE = "not here", "not here"
    HERE = "here", "it is here"
    BACK = "back", "back in its tank"
    WASHED = "washed", "washed"
    WALK = "walk", "walk"
    READING = "reading", "reading"
    DONE = "done", "done"
    WRONG = "wrong", "something is wrong"
    UNDONE = "undone", "taken back"  # what it corrects was not so, or is left aside


class Entry(RoomScoped):
    """A person says that a duty was done and what was seen. Append-only: a correction is a new entry.

    ``id`` is made by the page before it is sent, so that a repeat changes nothing. ``duty`` is a planning
    duty key, or ``day/round/<round key>`` for a step of a whole tray (cups ready, washed). ``matched`` is
    False for an authentic entry that fits no duty: a person sorts it out.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    day = models.DateField()
    duty = models.CharField(max_length=160)
    head = models.PositiveSmallIntegerField(default=0)  # seat of a lot's head, from 1; 0: the whole duty
    kind = models.CharField(max_length=12, choices=EntryKind)
    at = models.DateTimeField()
    data = models.JSONField(default=dict)  # {'offered': 8, 'left': 2, 'tub': 'a-3'}, {'heads': 4, ...}
    corrects = models.ForeignKey(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="corrections"
    )
    matched = models.BooleanField(default=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(name="corrected_once", fields=["corrects"]),
        ]
        indexes = [models.Index(fields=["room", "day", "duty"])]


class Clash(RoomScoped):
    """The same id with other content: kept as it came, until a person has looked."""

    entry = models.ForeignKey(Entry, on_delete=models.PROTECT, related_name="clashes")
    content = models.JSONField()
    settled_at = models.DateTimeField(null=True, blank=True)


class Note(RoomScoped):
    at = models.DateTimeField()
    text = models.TextField(max_length=2000)
    resident = models.ForeignKey(
        Resident, null=True, blank=True, on_delete=models.PROTECT, related_name="notes"
    )
    tank = models.ForeignKey(Tank, null=True, blank=True, on_delete=models.PROTECT, related_name="notes")
    wrong = models.BooleanField(default=False)  # something is wrong: shown until settled
    settled_at = models.DateTimeField(null=True, blank=True)


class JobState(models.TextChoices):
    WAITING = "waiting", "waiting"
    RUNNING = "running", "running"
    DONE = "done", "done"
    FAILED = "failed", "failed"


class Job(RoomScoped):
    """Work that outlives a request. ``key`` makes it idempotent: asking twice is asking once."""

    kind = models.CharField(max_length=24)
    key = models.CharField(max_length=160)
    state = models.CharField(max_length=8, choices=JobState, default=JobState.WAITING)
    lease_until = models.DateTimeField(null=True, blank=True)
    lease_by = models.CharField(max_length=64, blank=True)
    attempts = models.PositiveSmallIntegerField(default=0)
    done_steps = models.PositiveIntegerField(default=0)
    all_steps = models.PositiveIntegerField(default=0)
    data = models.JSONField(default=dict)
    result = models.JSONField(default=dict)
    error = models.CharField(max_length=400, blank=True)
    ended_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [models.UniqueConstraint(name="job_key_once", fields=["room", "kind", "key"])]
        indexes = [models.Index(fields=["state", "lease_until"])]


class PaperSet(RoomScoped):
    """A printed set as its bytes. ``code`` stands on every page."""

    day = models.DateField()
    shift = models.CharField(max_length=20)
    code = models.CharField(max_length=24)
    plan = models.ForeignKey(PlanVersion, null=True, on_delete=models.PROTECT, related_name="papers")
    digest = models.CharField(max_length=64)
    pages = models.PositiveSmallIntegerField()
    pdf = models.BinaryField()

    class Meta:
        constraints = [models.UniqueConstraint(name="paper_code_once", fields=["room", "code"])]
