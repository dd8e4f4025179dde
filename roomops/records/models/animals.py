"""Residents and lots, where they have lived, what they measured."""

from django.db import models

from roomops.planning.room import Status as PlanStatus
from roomops.records.models.places import Tank
from roomops.records.models.rooms import RoomScoped


class Status(models.TextChoices):
    """Planning's own words, so that a row and a fact never need translating."""

    HERE = PlanStatus.HERE.value, "here"
    QUARANTINE = PlanStatus.QUARANTINE.value, "quarantine"
    ISOLATED = PlanStatus.ISOLATED.value, "isolated"
    ON_HOLD = PlanStatus.ON_HOLD.value, "on hold"
    STORE = PlanStatus.STORE.value, "store animal"
    AT_VET = PlanStatus.AT_VET.value, "at vet"
    MISSING = PlanStatus.MISSING.value, "missing"
    SOLD = PlanStatus.SOLD.value, "gone home"
    DIED = PlanStatus.DIED.value, "died"
    MOVED = PlanStatus.MOVED.value, "moved out"


# Plain strings: a migration keeps them as they were, whatever the enumeration becomes.
IN_THE_ROOM = ["here", "quarantine", "isolated", "on hold", "store animal"]
KEEPS_ITS_PLACE = [*IN_THE_ROOM, "at vet", "missing"]


class Lot(RoomScoped):
    """Animals that came together and are not told apart yet."""

    key = models.SlugField()
    name = models.CharField(max_length=80)
    kind = models.CharField(max_length=40)  # as its care sheet names it: 'bearded dragon'
    arrived_on = models.DateField()
    breeder = models.CharField(max_length=120, blank=True)
    heads_arrived = models.PositiveSmallIntegerField()

    class Meta:
        constraints = [
            models.UniqueConstraint(name="lot_key_in_room", fields=["room", "key"]),
            models.CheckConstraint(
                name="lot_has_heads", condition=models.Q(heads_arrived__gte=1, heads_arrived__lte=500)
            ),
        ]


class Identity(models.TextChoices):
    MARKED = "marked", "marked"
    NAMED = "named", "named"
    UNMARKED = "unmarked", "unmarked"
    UNSURE = "unsure", "identity unsure"


class Resident(RoomScoped):
    """One animal, or the ``heads`` unmarked animals of a lot that share a tank.

    An unmarked row is a head count, not an individual: marking one takes a head off it and adds a row.
    """

    key = models.SlugField()
    name = models.CharField(
        max_length=80, blank=True
    )  # 'Marlow'; empty for hatchlings known by tank and mark
    mark = models.CharField(max_length=40, blank=True)  # 'two dots'
    identity = models.CharField(max_length=8, choices=Identity)
    unsure_since = models.DateField(null=True, blank=True)
    kind = models.CharField(max_length=40)  # as its care sheet names it: 'bearded dragon'
    stage = models.CharField(max_length=20, blank=True)  # empty: by age
    lot = models.ForeignKey(Lot, null=True, blank=True, on_delete=models.PROTECT, related_name="residents")
    heads = models.PositiveSmallIntegerField(default=1)
    hatched_on = models.DateField(null=True, blank=True)
    sex = models.CharField(max_length=8, blank=True)
    tank = models.ForeignKey(Tank, null=True, blank=True, on_delete=models.PROTECT, related_name="residents")
    status = models.CharField(max_length=16, choices=Status)
    status_since = models.DateTimeField()
    status_note = models.CharField(max_length=200, blank=True)  # 'limping', 'hold for the Ortegas to June 15'
    status_until = models.DateField(null=True, blank=True)
    for_adoption = models.BooleanField(default=False)
    last_fed_on = models.DateField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(name="resident_key_in_room", fields=["room", "key"]),
            models.UniqueConstraint(
                name="mark_once_in_a_tank",
                fields=["tank", "mark"],
                condition=models.Q(identity="marked", status__in=KEEPS_ITS_PLACE),
            ),
            models.CheckConstraint(name="resident_heads", condition=models.Q(heads__gte=0, heads__lte=500)),
            models.CheckConstraint(
                name="only_unmarked_are_many",
                condition=models.Q(heads__lte=1) | models.Q(identity="unmarked"),
            ),
            models.CheckConstraint(
                name="a_resident_here_has_a_tank",
                condition=models.Q(tank__isnull=False) | ~models.Q(status__in=IN_THE_ROOM),
            ),
        ]
        indexes = [models.Index(fields=["room", "status"])]


class Stay(RoomScoped):
    """Tank history: one open stay (``until`` empty) for each resident that lives in a tank."""

    resident = models.ForeignKey(Resident, on_delete=models.PROTECT, related_name="stays")
    tank = models.ForeignKey(Tank, on_delete=models.PROTECT, related_name="stays")
    heads = models.PositiveSmallIntegerField(default=1)
    since = models.DateTimeField()
    until = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                name="one_open_stay", fields=["resident"], condition=models.Q(until__isnull=True)
            ),
            models.CheckConstraint(
                name="stay_ends_after_start",
                condition=models.Q(until__isnull=True) | models.Q(until__gte=models.F("since")),
            ),
        ]


class Spell(RoomScoped):
    """Status history, the line that ends included: who said it, why, how many heads."""

    resident = models.ForeignKey(Resident, on_delete=models.PROTECT, related_name="spells")
    status = models.CharField(max_length=16, choices=Status)
    since = models.DateTimeField()
    heads = models.PositiveSmallIntegerField(default=1)
    note = models.CharField(max_length=200, blank=True)


class Measure(models.TextChoices):
    WEIGHT = "weight_g", "weight"
    LENGTH = "length_mm", "total length"
    GAP = "gap_mm", "gap between the eyes"
    GIRTH = "girth_mm", "girth"


class Measurement(RoomScoped):
    """One measured number, in grams or mm by its kind."""

    resident = models.ForeignKey(Resident, on_delete=models.PROTECT, related_name="measurements")
    measure = models.CharField(max_length=12, choices=Measure)
    value = models.FloatField()
    at = models.DateTimeField()

    class Meta:
        constraints = [models.CheckConstraint(name="measured_is_positive", condition=models.Q(value__gt=0))]
        indexes = [models.Index(fields=["room", "resident", "measure", "-at"])]
