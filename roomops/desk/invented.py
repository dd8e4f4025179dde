"""The invented room: Juniper Street, made from one file and one seed into an empty database."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.db import transaction

from roomops.desk.invented_animals import Life, add_animals
from roomops.desk.invented_days import Diary, add_chores
from roomops.desk.invented_facts import facts
from roomops.desk.invented_feeds import add_feeds
from roomops.desk.invented_medicine import add_medicines
from roomops.desk.invented_outside import add_arriving, add_pens
from roomops.desk.invented_places import add_people, add_places, new_world
from roomops.desk.invented_shelf import Shelf
from roomops.desk.invented_world import World, write
from roomops.records import models as m


class NotEmptyError(RuntimeError):
    """The database holds somebody's work already. ``str`` is one sentence."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SignIn:
    """An account of the demonstration, in plain words: a real database refuses it."""

    name: str
    password: str
    role: str


def sign_ins() -> tuple[SignIn, ...]:
    """Return who may sign in to a demonstration."""
    return tuple(SignIn(name=each.key, password=each.password, role=each.role) for each in facts().people)


def make(*, today: date) -> m.Room:
    """Make the whole room for a day, all or nothing, and return it.

    The same day gives the same room. Nothing of ``today`` itself has happened yet. Raises NotEmptyError for a
    database that holds a room or an account.
    """
    world = imagine(today=today)
    with transaction.atomic():
        _must_be_empty()
        write(world=world)
    return world.room


def imagine(*, today: date) -> World:
    """Return the room's rows without writing any."""
    world = new_world(today=today)
    add_people(world=world)
    add_places(world=world)
    add_pens(world=world)
    add_arriving(world=world)
    lives = add_animals(world=world)
    shelf, diary = Shelf(world=world), Diary(world=world)
    for ago in range(world.facts.history_days, 0, -1):
        shelf.morning(ago)
        add_feeds(diary=diary, shelf=shelf, lives=lives, ago=ago)
        add_chores(diary=diary, shelf=shelf, lives=lives, ago=ago)
    shelf.evening()
    add_medicines(diary=diary, lives=lives)
    _notes(world, lives)
    return world


def _must_be_empty() -> None:
    room = m.Room.objects.first()
    if room is not None:
        raise NotEmptyError(
            f"This database already holds the room “{room.name}”: name an empty one in DATABASE_URL."
        )
    if m.Account.objects.exists():
        raise NotEmptyError("This database already holds accounts: name an empty one in DATABASE_URL.")


def _notes(world: World, lives: tuple[Life, ...]) -> None:
    wrong = world.facts.wrong
    vet = next(life for life in lives if life.row.key == wrong["at_vet"])
    low = world.tanks[wrong["basking_low"]]
    noted = (
        (
            world.at(1, "11:20"),
            {"resident": vet.row, "tank": vet.tank},
            f"{wrong['at_vet_note'].capitalize()}: at the vet.",
        ),
        (
            world.at(1, "15:24"),
            {"tank": low},
            "Basking side read low twice. Lamp and thermostat: read again first.",
        ),
    )
    for moment, about, text in noted:
        by = world.on_shift(moment)[0]
        world.add(m.Note, written_at=moment, by=by, at=moment, text=text, wrong=True, **about)
