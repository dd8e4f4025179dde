"""The room itself and what it has chosen."""

from django.db import models


class Units(models.TextChoices):
    US = "us", "US"
    METRIC = "metric", "metric"


class Paper(models.TextChoices):
    LETTER = "letter", "US Letter"
    A4 = "a4", "A4"


class Room(models.Model):
    """A store's reptile room. Every other table hangs on one."""

    key = models.SlugField(unique=True)
    name = models.CharField(max_length=120)
    place = models.CharField(max_length=120)
    latitude = models.FloatField()
    longitude = models.FloatField()
    timezone = models.CharField(max_length=64)
    units = models.CharField(max_length=8, choices=Units, default=Units.US)
    paper = models.CharField(max_length=8, choices=Paper, default=Paper.LETTER)
    shop_share = models.FloatField(default=0.15)  # of each shift, kept for the shop
    settings = models.JSONField(default=dict, blank=True)  # overrides of planning.room.Settings by name
    vet = models.CharField(max_length=200, blank=True)
    vet_phone = models.CharField(max_length=40, blank=True)
    invented = models.BooleanField(default=False)  # a demo room: its accounts are refused by a real database
    facts_changed = models.DateTimeField()  # last change to anything that planning reads

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="room_shop_share_is_a_share", condition=models.Q(shop_share__gte=0, shop_share__lt=1)
            ),
            models.CheckConstraint(
                name="room_is_on_earth",
                condition=models.Q(latitude__range=(-90, 90), longitude__range=(-180, 180)),
            ),
        ]

    def __str__(self) -> str:
        return self.name


class RoomScoped(models.Model):
    """A row of one room, with who wrote it and when."""

    room = models.ForeignKey(Room, on_delete=models.PROTECT, related_name="+")
    written_at = models.DateTimeField()
    written_by = models.ForeignKey(
        "records.Person", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        abstract = True


class Peak(RoomScoped):
    """A stretch of each week when the shop floor needs its people (an opening peak)."""

    weekday = models.PositiveSmallIntegerField()  # Monday is 0
    start = models.TimeField()
    end = models.TimeField()
    why = models.CharField(max_length=80)

    class Meta:
        constraints = [
            models.CheckConstraint(name="peak_weekday", condition=models.Q(weekday__lte=6)),
            models.CheckConstraint(
                name="peak_ends_after_start", condition=models.Q(end__gt=models.F("start"))
            ),
        ]

    def __str__(self) -> str:
        return self.why


class CareChoice(RoomScoped):
    """Which claim of a care sheet this room goes by, where practice and print differ."""

    kind = models.CharField(max_length=40)  # as its care sheet names it: 'bearded dragon'
    topic = models.CharField(max_length=80)  # 'basking/hatchling' or 'basking'
    claim = models.CharField(max_length=40)

    class Meta:
        constraints = [
            models.UniqueConstraint(name="one_choice_per_figure", fields=["room", "kind", "topic"]),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.topic}: {self.claim}"
