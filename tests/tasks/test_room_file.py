"""A day's facts as a file: for planning without tables, and without people's names."""

import json
from dataclasses import replace

import makers
import pytest
from django.core.management import CommandError, call_command
from makers import DAY, at

from roomops.planning.codec import parse_room
from roomops.planning.first_fit import plan_day
from roomops.planning.room import Begun, Done, Shift, Span
from roomops.records.pseudonyms import without_names
from roomops.records.snapshot import take


@pytest.fixture
def morning(db) -> makers.Morning:
    return makers.an_ordinary_morning()


def written(capsys, **options) -> str:
    call_command("room_file", date=str(DAY), **options)
    return capsys.readouterr().out


def test_a_room_file_reads_back_as_the_room_that_was_taken(morning, capsys):
    told = parse_room(written(capsys, names=True))
    assert told == take(room=morning.room, day=DAY, now=at("23:59"))


def test_people_are_numbers_unless_their_names_are_asked_for(morning, capsys):
    text = written(capsys)
    assert not any(name in text.lower() for name in ("tamsin", "oskar", "lupe"))
    people = json.loads(text)["people"]
    assert [(each["key"], each["name"]) for each in people] == [
        ("p1", "Person 1"),
        ("p2", "Person 2"),
        ("p3", "Person 3"),
    ]
    assert "tamsin" in written(capsys, names=True)


def test_a_room_without_names_is_planned_alike(morning):
    facts = take(room=morning.room, day=DAY, now=at("07:40"))
    told, hidden = plan_day(room=facts), plan_day(room=without_names(room=facts))
    called = {"lupe": "p1", "oskar": "p2", "tamsin": "p3"}
    assert hidden.scores == told.scores
    assert [each.person for each in hidden.rounds] == [called[each.person] for each in told.rounds]


def test_everything_that_names_a_person_is_renamed_and_who_left_comes_last(morning):
    facts = replace(
        take(room=morning.room, day=DAY, now=at("07:40")),
        shifts=(Shift(person="oskar", start=0, end=60, share=0.85),),
        peaks=(Span(start=0, end=9, person="tamsin"), Span(start=10, end=19)),
        done=(
            Done(duty="x", person="bea", minute=1, outcome="done"),
            Done(duty="y", person="", minute=2, outcome="done"),
        ),
        begun=(Begun(person="lupe", duties=("z",), start=0, person_free=9),),
    )
    hidden = without_names(room=facts)
    assert [each.person for each in hidden.shifts] == ["p2"]
    assert [each.person for each in hidden.peaks] == ["p3", ""]
    assert [each.person for each in hidden.done] == ["p4", ""]
    assert [each.person for each in hidden.begun] == ["p1"]


def test_a_file_is_written_where_it_is_wanted_and_never_over_another(morning, tmp_path, capsys):
    path = tmp_path / "day.json"
    assert written(capsys, into=path) == ""
    assert json.loads(path.read_text(encoding="utf-8"))["day"] == str(DAY)
    with pytest.raises(CommandError, match=r"day\.json cannot be written .*name a new file"):
        written(capsys, into=path)


def test_one_sentence_says_what_is_missing(db, capsys):
    with pytest.raises(CommandError, match="holds no room yet"):
        written(capsys)
    makers.a_room()
    with pytest.raises(CommandError, match="no room “maple-street” in this database, only juniper-street"):
        written(capsys, room="maple-street")
    makers.a_room("maple-street")
    with pytest.raises(CommandError, match="say which with --room, one of juniper-street, maple-street"):
        written(capsys)
    with pytest.raises(CommandError, match="“tomorrow” is no date"):
        call_command("room_file", room="maple-street", date="tomorrow")


def test_a_room_that_cannot_be_read_writes_nothing(db, capsys, tmp_path):
    makers.a_room(settings={"watch_mots": 6})
    with pytest.raises(CommandError, match="sets “watch_mots”, which nothing reads"):
        written(capsys, into=tmp_path / "day.json")
    assert list(tmp_path.iterdir()) == []
