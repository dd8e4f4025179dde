"""What is ordered or expected: arrivals, medicine, photos, natural sun, heat or power failed."""

from django.db import models

from roomops.records.models.animals import Lot, Resident
from roomops.records.models.rooms import RoomScoped


class ArrivalState(models.TextChoices):
    EXPECTED = "expected", "expected"
    HERE = "here", "here"
    CANCELLED = "cancelled", "cancelled"


class Arrival(RoomScoped):
    """A lot that somebody said yes to. Its tanks run warm a day ahead; ``lot`` is set when it has come."""

    key = models.SlugField()
    kind = models.CharField(max_length=40)
    stage = models.CharField(max_length=20, blank=True)  # empty: the kind's youngest
    length_mm = models.FloatField(null=True, blank=True)  # of one, as its breeder says
    heads = models.PositiveSmallIntegerField()
    expected_on = models.DateField()
    breeder = models.CharField(max_length=120, blank=True)
    state = models.CharField(max_length=10, choices=ArrivalState, default=ArrivalState.EXPECTED)
    lot = models.OneToOneField(Lot, null=True, blank=True, on_delete=models.PROTECT, related_name="arrival")
    dead_on_arrival = models.PositiveSmallIntegerField(default=0)
    tanks = models.ManyToManyField("records.Tank", blank=True, related_name="arrivals")
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(name="arrival_key_in_room", fields=["room", "key"]),
            models.CheckConstraint(
                name="arrival_has_heads", condition=models.Q(heads__gte=1, heads__lte=500)
            ),
            models.CheckConstraint(
                name="no_more_dead_than_came", condition=models.Q(dead_on_arrival__lte=models.F("heads"))
            ),
        ]


class Photo(RoomScoped):
    """A picture of a lot or a resident, made small and free of camera data before it is kept."""

    lot = models.ForeignKey(Lot, null=True, blank=True, on_delete=models.PROTECT, related_name="photos")
    resident = models.ForeignKey(
        Resident, null=True, blank=True, on_delete=models.PROTECT, related_name="photos"
    )
    at = models.DateTimeField()
    jpeg = models.BinaryField()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="photo_of_one_thing",
                condition=models.Q(lot__isnull=False, resident__isnull=True)
                | models.Q(lot__isnull=True, resident__isnull=False),
            )
        ]


class MedicineOrder(RoomScoped):
    """What the vet ordered, in the vet's words. Whether it was given is an entry on its duty."""

    key = models.SlugField()
    resident = models.ForeignKey(Resident, on_delete=models.PROTECT, related_name="medicines")
    as_ordered = models.CharField(max_length=300)
    ordered_by = models.CharField(max_length=120)
    times_a_day = models.PositiveSmallIntegerField()
    from_on = models.DateField()
    until_on = models.DateField()
    stopped_on = models.DateField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(name="medicine_key_in_room", fields=["room", "key"]),
            models.CheckConstraint(
                name="medicine_times_a_day", condition=models.Q(times_a_day__gte=1, times_a_day__lte=4)
            ),
            models.CheckConstraint(
                name="medicine_ends_after_start", condition=models.Q(until_on__gte=models.F("from_on"))
            ),
        ]


class Pen(RoomScoped):
    """A pen for natural sun: lid, shade and a hide are part of it."""

    key = models.SlugField()
    name = models.CharField(max_length=80)
    order = models.PositiveSmallIntegerField(default=1)
    out_of_use = models.BooleanField(default=False)

    class Meta:
        constraints = [models.UniqueConstraint(name="pen_key_in_room", fields=["room", "key"])]


class Sky(models.TextChoices):
    CLEAR = "clear", "clear"
    SCATTERED = "scattered", "some cloud"
    BROKEN = "broken", "much cloud"
    OVERCAST = "overcast", "overcast"
    RAIN = "rain", "rain or snow"


class Wind(models.TextChoices):
    CALM = "calm", "calm"
    BREEZE = "breeze", "a breeze"
    STRONG = "strong", "strong"


class Weather(RoomScoped):
    """What somebody saw outdoors, in ten seconds. The newest of the day counts."""

    at = models.DateTimeField()
    temp_c = models.FloatField()
    sky = models.CharField(max_length=10, choices=Sky)
    wind = models.CharField(max_length=8, choices=Wind)

    class Meta:
        constraints = [
            models.CheckConstraint(name="weather_of_this_planet", condition=models.Q(temp_c__range=(-60, 60)))
        ]
        indexes = [models.Index(fields=["room", "-at"])]


class SunSession(RoomScoped):
    """An animal in natural sun. ``ends`` empty: it is outdoors now."""

    resident = models.ForeignKey(Resident, on_delete=models.PROTECT, related_name="sun_sessions")
    pen = models.ForeignKey(Pen, null=True, blank=True, on_delete=models.PROTECT, related_name="sessions")
    starts = models.DateTimeField()
    ends = models.DateTimeField(null=True, blank=True)
    note = models.CharField(max_length=200, blank=True)
    entry = models.ForeignKey(
        "records.Entry", null=True, blank=True, on_delete=models.PROTECT, related_name="sun_sessions"
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(
                name="outdoors_once", fields=["resident"], condition=models.Q(ends__isnull=True)
            ),
            models.UniqueConstraint(
                name="one_animal_a_pen", fields=["pen"], condition=models.Q(ends__isnull=True)
            ),
            models.CheckConstraint(
                name="sun_ends_after_start",
                condition=models.Q(ends__isnull=True) | models.Q(ends__gte=models.F("starts")),
            ),
        ]


class OutageKind(models.TextChoices):
    POWER = "power", "power"
    HEAT = "heat", "heat"
    HOT = "hot", "room too hot"


class Outage(RoomScoped):
    """Heat or power failed. While it is open, feeds are held and tanks are checked every half hour."""

    kind = models.CharField(max_length=8, choices=OutageKind)
    began = models.DateTimeField()
    ended = models.DateTimeField(null=True, blank=True)
    ended_by = models.ForeignKey(
        "records.Person", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(
                name="one_open_outage", fields=["room"], condition=models.Q(ended__isnull=True)
            ),
            models.CheckConstraint(
                name="outage_ends_after_start",
                condition=models.Q(ended__isnull=True) | models.Q(ended__gte=models.F("began")),
            ),
        ]
