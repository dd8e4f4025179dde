"""Racks, tanks, lamps, and the tubs on their trays."""

from django.db import models

from roomops.records.models.rooms import RoomScoped


class Timer(RoomScoped):
    """Lamps on and off by wall clock."""

    key = models.SlugField()
    name = models.CharField(max_length=80)
    on = models.TimeField()
    off = models.TimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(name="timer_key_in_room", fields=["room", "key"]),
            models.CheckConstraint(name="timer_off_after_on", condition=models.Q(off__gt=models.F("on"))),
        ]


class TimerSeason(RoomScoped):
    """Other hours of a timer from a day of the year on, until its next season begins."""

    timer = models.ForeignKey(Timer, on_delete=models.PROTECT, related_name="seasons")
    from_month = models.PositiveSmallIntegerField()
    from_day = models.PositiveSmallIntegerField()
    on = models.TimeField()
    off = models.TimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(name="one_season_a_day", fields=["timer", "from_month", "from_day"]),
            models.CheckConstraint(
                name="season_begins_on_a_day",
                condition=models.Q(from_month__range=(1, 12), from_day__range=(1, 31)),
            ),
            models.CheckConstraint(name="season_off_after_on", condition=models.Q(off__gt=models.F("on"))),
        ]


class Rack(RoomScoped):
    key = models.SlugField()
    name = models.CharField(max_length=80)
    order = models.PositiveSmallIntegerField()

    class Meta:
        constraints = [models.UniqueConstraint(name="rack_key_in_room", fields=["room", "key"])]


class Tank(RoomScoped):
    """A tank. Outside measures in mm; ``order`` is the walking order in its rack."""

    key = models.SlugField()
    name = models.CharField(max_length=80)
    rack = models.ForeignKey(Rack, on_delete=models.PROTECT, related_name="tanks")
    order = models.PositiveSmallIntegerField()
    timer = models.ForeignKey(Timer, null=True, blank=True, on_delete=models.PROTECT, related_name="tanks")
    length_mm = models.FloatField()
    depth_mm = models.FloatField()
    height_mm = models.FloatField()
    quarantine = models.BooleanField(default=False)
    removed_on = models.DateField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(name="tank_key_in_room", fields=["room", "key"]),
            models.CheckConstraint(
                name="tank_has_size", condition=models.Q(length_mm__gt=0, depth_mm__gt=0, height_mm__gt=0)
            ),
        ]


class LampKind(models.TextChoices):
    DAY = "day", "day lamp"
    UV = "uv", "UV lamp"
    NIGHT = "night", "night heat"


class LampType(models.TextChoices):
    T5 = "t5", "T5 tube"
    T8 = "t8", "T8 tube"
    COMPACT = "compact", "compact lamp"
    HALIDE = "halide", "metal halide"
    HALOGEN = "halogen", "halogen bulb"
    CERAMIC = "ceramic", "ceramic heater"
    OTHER = "other", "other"


class Lamp(RoomScoped):
    """A bulb, tube or heater in its fixture. ``rated_watts`` is the fixture's and is never exceeded.

    ``key`` names the fixture: what is put in after this one takes it over. ``timer`` empty: the tank's own.
    """

    key = models.SlugField()
    tank = models.ForeignKey(Tank, on_delete=models.PROTECT, related_name="lamps")
    kind = models.CharField(max_length=8, choices=LampKind)
    type = models.CharField(max_length=8, choices=LampType, default=LampType.OTHER)
    name = models.CharField(max_length=80)
    timer = models.ForeignKey(Timer, null=True, blank=True, on_delete=models.PROTECT, related_name="lamps")
    watts = models.PositiveSmallIntegerField(null=True, blank=True)
    rated_watts = models.PositiveSmallIntegerField(null=True, blank=True)
    thermostat = models.BooleanField(default=False)
    probe = models.BooleanField(default=False)
    fitted_on = models.DateField(null=True, blank=True)
    blown_at = models.DateTimeField(null=True, blank=True)
    removed_on = models.DateField(null=True, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="watts_within_the_fixture",
                condition=models.Q(watts__isnull=True)
                | models.Q(rated_watts__isnull=True)
                | models.Q(watts__lte=models.F("rated_watts")),
            ),
            models.UniqueConstraint(
                name="one_lamp_in_a_fixture",
                fields=["room", "key"],
                condition=models.Q(removed_on__isnull=True),
            ),
        ]


class Spot(models.TextChoices):
    BASKING = "basking", "basking"
    COOL = "cool", "cool side"
    NIGHT_LOW = "night low", "night low"


class Reading(RoomScoped):
    """A temperature that somebody read. ``entry`` is what it came with, None for history."""

    tank = models.ForeignKey(Tank, on_delete=models.PROTECT, related_name="readings")
    spot = models.CharField(max_length=12, choices=Spot)
    value_c = models.FloatField()
    at = models.DateTimeField()
    entry = models.ForeignKey(
        "records.Entry", null=True, blank=True, on_delete=models.PROTECT, related_name="readings"
    )

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="reading_is_a_room_temperature", condition=models.Q(value_c__range=(-20, 90))
            )
        ]
        indexes = [models.Index(fields=["room", "tank", "spot", "-at"])]


class Tray(RoomScoped):
    key = models.SlugField()
    name = models.CharField(max_length=40)
    order = models.PositiveSmallIntegerField()
    columns = models.PositiveSmallIntegerField(default=4)  # tubs a row as they stand on the counter
    quarantine = models.BooleanField(default=False)

    class Meta:
        constraints = [models.UniqueConstraint(name="tray_key_in_room", fields=["room", "key"])]


class Tub(RoomScoped):
    """``fits_mm`` is the longest animal (total length) that it serves."""

    key = models.SlugField()
    tray = models.ForeignKey(Tray, on_delete=models.PROTECT, related_name="tubs")
    number = models.PositiveSmallIntegerField()
    fits_mm = models.FloatField()
    out_of_use = models.BooleanField(default=False)

    class Meta:
        constraints = [
            models.UniqueConstraint(name="tub_key_in_room", fields=["room", "key"]),
            models.UniqueConstraint(name="tub_number_on_tray", fields=["tray", "number"]),
            models.CheckConstraint(name="tub_fits_something", condition=models.Q(fits_mm__gt=0)),
        ]
