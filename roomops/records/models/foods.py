"""What is on the shelf, by batch, with an append-only ledger."""

from django.db import models
from django.db.models.functions import Coalesce

from roomops.records.models.rooms import RoomScoped

SUPPLIES = ("disinfectant", "gloves", "bulb")  # categories of what nobody eats: planning never sees them


class Batch(RoomScoped):
    """One delivery of one thing. What is on hand is the sum of its ledger, never a column."""

    key = models.SlugField()
    kind = models.CharField(max_length=40)  # as care sheets name it: 'cricket', 'collard greens', 'mouse'
    category = models.CharField(max_length=12)  # 'insect', 'greens', 'rodent', 'powder', 'bulb', ...
    name = models.CharField(max_length=80)
    size_mm = models.FloatField(null=True, blank=True)  # what the prey rule of its kind is held against
    weight_g = models.FloatField(null=True, blank=True)  # of one, for what is sold by weight: rodents
    source = models.CharField(max_length=120, blank=True)  # who raised it
    unit = models.CharField(max_length=12, default="each")
    watts = models.PositiveSmallIntegerField(null=True, blank=True)  # spare bulbs
    use_by = models.DateField(null=True, blank=True)
    received_on = models.DateField()
    opened_on = models.DateField(null=True, blank=True)
    closed_on = models.DateField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(name="batch_key_in_room", fields=["room", "key"]),
            models.CheckConstraint(
                name="batch_size_is_positive",
                condition=models.Q(size_mm__isnull=True) | models.Q(size_mm__gt=0),
            ),
            models.CheckConstraint(
                name="batch_weighs_something",
                condition=models.Q(weight_g__isnull=True) | models.Q(weight_g__gt=0),
            ),
        ]


class Reason(models.TextChoices):
    RECEIVED = "received", "received"
    COUNTED = "counted", "counted"
    FED = "fed", "fed out"
    USED = "used", "used"
    THROWN = "thrown", "thrown out"
    CORRECTED = "corrected", "corrected"


class LedgerLine(RoomScoped):
    """A change of a batch. Never edited, never deleted: a mistake is another line.

    ``form`` is the page's form that said it: pressed twice, it is one line. A count that finds what is
    written changes nothing, and is kept all the same: it is the number's age.
    """

    batch = models.ForeignKey(Batch, on_delete=models.PROTECT, related_name="lines")
    change = models.FloatField()
    reason = models.CharField(max_length=12, choices=Reason)
    at = models.DateTimeField()
    entry = models.ForeignKey(
        "records.Entry", null=True, blank=True, on_delete=models.PROTECT, related_name="lines"
    )
    form = models.UUIDField(null=True, blank=True)
    note = models.CharField(max_length=120, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="ledger_line_changes_something",
                condition=~models.Q(change=0) | models.Q(reason=Reason.COUNTED),
            ),
            models.UniqueConstraint(name="ledger_line_once_a_form", fields=["room", "form"]),
        ]
        indexes = [models.Index(fields=["room", "batch"])]


class Minimum(RoomScoped):
    """The least that is kept of one thing, whichever batches it comes from."""

    kind = models.CharField(max_length=40)
    category = models.CharField(max_length=12)
    size_mm = models.FloatField(null=True, blank=True)
    watts = models.PositiveSmallIntegerField(null=True, blank=True)
    amount = models.FloatField()
    unit = models.CharField(max_length=12, default="each")

    class Meta:
        constraints = [
            models.UniqueConstraint(
                "room",
                "kind",
                Coalesce("size_mm", 0.0),
                Coalesce("watts", 0),
                name="one_minimum_a_thing",  # coalesced: two nulls would count as different things
            ),
            models.CheckConstraint(name="minimum_is_not_negative", condition=models.Q(amount__gte=0)),
        ]
