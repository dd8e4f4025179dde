"""What somebody said, read back in a few words: '2 left of 8', 'not here: at vet', '4 animals seen'."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from roomops.papers.words import Reader, temperature_words
from roomops.records.models import EntryKind

Data = Mapping[str, Any]


def said_words(*, kind: str, data: Data, reader: Reader) -> str:
    """Return the words; data may be a whole entry as it came, with its own data inside."""
    inner = data.get("data") if isinstance(data.get("data"), Mapping) else data
    words = _WORDS.get(kind)
    return words(dict(inner), reader) if words and isinstance(inner, Mapping) else kind


def _left(data: Data, reader: Reader) -> str:
    del reader
    more = f" and {data['more']} more" if data.get("more") else ""
    plus = "+" if data.get("at_least") else ""
    return f"{data.get('left', '–')}{plus} left of {data.get('offered', '–')}{more}"


def _refused(data: Data, reader: Reader) -> str:
    return f"refused, {_left(data, reader)}"


def _not_here(data: Data, reader: Reader) -> str:
    del reader
    note = f", {data['note']}" if data.get("note") else ""
    return f"not here: {data.get('why', '–')}{note}"


def _back(data: Data, reader: Reader) -> str:
    del reader
    return f"back in {data.get('tank', '–')}"


def _walk(data: Data, reader: Reader) -> str:
    heads = data.get("heads", "–")
    parts = [f"{heads} animal{'' if heads == 1 else 's'} seen"]
    if data.get("night_low_c") is not None:
        parts.append(f"night low {_heat(data['night_low_c'], reader)}")
    if data.get("droppings") == "not":
        parts.append("droppings not normal")
    if data.get("dead_or_nipped"):
        parts.append("one dead or nipped")
    return ", ".join(parts)


def _reading(data: Data, reader: Reader) -> str:
    named = (("basking_c", "basking side"), ("cool_c", "cool side"))
    return ", ".join(f"{name} {_heat(data[key], reader)}" for key, name in named if data.get(key) is not None)


def _heat(value: object, reader: Reader) -> str:
    known = isinstance(value, int | float) and not isinstance(value, bool)
    return temperature_words(celsius=float(value), units=reader.units) if known else str(value)


def _washed(data: Data, reader: Reader) -> str:
    del reader
    tubs = data.get("not_clean") or ()
    return f"washed, but not {', '.join(map(str, tubs))}" if tubs else "washed"


def _fixed(words: str) -> Callable[[Data, Reader], str]:
    return lambda _data, _reader: words


_WORDS: Mapping[str, Callable[[Data, Reader], str]] = {
    EntryKind.CUPS: _fixed("cups ready"),
    EntryKind.OUT: _fixed("in its tub"),
    EntryKind.COUNT: _left,
    EntryKind.REFUSED: _refused,
    EntryKind.NOT_HERE: _not_here,
    EntryKind.HERE: _fixed("it is here"),
    EntryKind.BACK: _back,
    EntryKind.WASHED: _washed,
    EntryKind.WALK: _walk,
    EntryKind.READING: _reading,
    EntryKind.DONE: _fixed("done"),
    EntryKind.WRONG: lambda data, _: str(data.get("text", "something is wrong")),
}
