"""Who signs in, who works here, and when."""

from django.contrib.auth.models import AbstractUser
from django.db import models

from roomops.records.models.rooms import RoomScoped


class Account(AbstractUser):
    """What signs in. ``invented`` accounts belong to the demo and are refused by a real database."""

    invented = models.BooleanField(default=False)


class Role(models.TextChoices):
    STAFF = "staff", "staff"
    WRITER = "writer", "handout writer"
    MANAGER = "manager", "manager"


class Person(RoomScoped):
    """Somebody of this room. ``key`` is the pseudonym that leaves the room in files."""

    key = models.SlugField()
    name = models.CharField(max_length=80)
    account = models.ForeignKey(
        Account, null=True, blank=True, on_delete=models.SET_NULL, related_name="people"
    )
    role = models.CharField(max_length=8, choices=Role, default=Role.STAFF)
    may_quarantine = models.BooleanField(default=True)
    left_on = models.DateField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(name="person_key_in_room", fields=["room", "key"]),
            models.UniqueConstraint(name="account_once_in_room", fields=["room", "account"]),
        ]

    def __str__(self) -> str:
        return self.name


class Shift(RoomScoped):
    """One person's presence, in absolute time (so a clock change cannot shorten it)."""

    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="shifts")
    starts = models.DateTimeField()
    ends = models.DateTimeField()
    name = models.CharField(max_length=20, default="opening")  # the paper's set: 'opening', 'closing'

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="shift_ends_after_start", condition=models.Q(ends__gt=models.F("starts"))
            ),
            models.UniqueConstraint(name="shift_once", fields=["room", "person", "starts"]),
        ]
        indexes = [models.Index(fields=["room", "starts"])]


class RefusedSignIn(models.Model):
    """A sign-in that failed: what makes the next ones wait. It has no room: nobody is in one yet."""

    name = models.CharField(max_length=150)  # as typed, in lower case
    address = models.GenericIPAddressField(null=True)
    at = models.DateTimeField()

    class Meta:
        indexes = [models.Index(fields=["name", "at"])]

    def __str__(self) -> str:
        return self.name
