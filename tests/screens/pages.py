"""A browser without script and without eyes: it reads a page and presses buttons by their names."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from html.parser import HTMLParser
from typing import Any

import time_machine
from django.http import HttpResponse
from django.test import Client

from tests import makers as mk

INLINE = {"b", "span", "i", "u", "small", "a", "output", "label"}
VOID = {"input", "link", "meta", "br", "img", "use", "path", "rect", "circle", "line"}


@dataclass
class Node:
    tag: str
    attrs: dict[str, str]
    parent: Node | None = None
    children: list[Node | str] = field(default_factory=list)

    def all(self, tag: str = "") -> list[Node]:
        """Every element below, in the order of the page."""
        found = []
        for child in self.children:
            if isinstance(child, Node):
                found += [child] if not tag or child.tag == tag else []
                found += child.all(tag)
        return found

    def text(self) -> str:
        """All words below it, blocks apart from each other."""
        return " ".join(self._raw().split())

    def _raw(self) -> str:
        inner = "".join(c if isinstance(c, str) else c._raw() for c in self.children)
        apart = self.attrs.get("class") in {"age", "when"}  # lines of their own
        return inner if self.tag in INLINE and not apart else f" {inner} "

    def name(self) -> str:
        """What a screen reader calls it."""
        return self.attrs.get("aria-label") or self.text()

    def up(self, tag: str) -> Node | None:
        node = self.parent
        while node is not None and node.tag != tag:
            node = node.parent
        return node


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.root = self.at = Node("root", {})

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        node = Node(tag, {name: value or "" for name, value in attrs}, self.at)
        self.at.children.append(node)
        if tag not in VOID:
            self.at = node

    def handle_endtag(self, tag: str) -> None:
        node = self.at
        while node.tag != tag and node.parent:
            node = node.parent
        if node.tag == tag and node.parent:
            self.at = node.parent

    def handle_data(self, data: str) -> None:
        self.at.children.append(data)


class Page:
    """One answer of the server, read."""

    def __init__(self, answer: HttpResponse, path: str) -> None:
        self.status, self.path = answer.status_code, path
        self.html = answer.content.decode()
        reader = _Reader()
        reader.feed(self.html)
        self.root = reader.root
        self.text = self.root.text()

    def buttons(self) -> list[Node]:
        return [b for b in self.root.all("button") if b.attrs.get("aria-hidden") != "true"]

    def names(self) -> list[str]:
        return [b.name() for b in self.buttons()]

    def links(self) -> dict[str, str]:
        return {a.name(): a.attrs.get("href", "") for a in self.root.all("a")}

    def by_id(self, wanted: str) -> Node:
        return next(node for node in self.root.all() if node.attrs.get("id") == wanted)

    def said(self) -> str:
        """What the page says that something could not be kept, '' for nothing."""
        told = [p for p in self.root.all() if p.attrs.get("role") == "alert"]
        return " ".join(p.text() for p in told)

    def filled(self, button: Node) -> dict[str, list[str]]:
        """What the button's form would send."""
        form = self.form_of(button)
        sent: dict[str, list[str]] = {}
        for node in [n for n in self.root.all() if self.form_of(n) is form]:
            self._add(node, sent)
        if "name" in button.attrs:
            sent.setdefault(button.attrs["name"], []).append(button.attrs.get("value", ""))
        return sent

    def form_of(self, node: Node) -> Node | None:
        if "form" in node.attrs and node.tag != "form":
            return self.by_id(node.attrs["form"])
        return node.up("form")

    @staticmethod
    def _add(node: Node, sent: dict[str, list[str]]) -> None:
        name, kind = node.attrs.get("name"), node.attrs.get("type", "text")
        if not name or node.tag not in {"input", "select", "textarea"}:
            return
        if node.tag == "select":
            chosen = [o for o in node.all("option") if "selected" in o.attrs] or node.all("option")[:1]
            sent.setdefault(name, []).extend(o.attrs.get("value", "") for o in chosen)
        elif kind not in {"radio", "checkbox"} or "checked" in node.attrs:
            sent.setdefault(name, []).append(node.attrs.get("value", "on" if kind == "checkbox" else ""))


class Visitor:
    """Somebody signed in, at a wall-clock time of June 9, 2026."""

    def __init__(self, client: Client, person: Any, clock: str = "08:40") -> None:
        self.client, self.clock, self.presses = client, clock, 0
        account = person.account or mk.an_account(person)
        client.force_login(account)

    def now(self) -> datetime:
        """The wall clock; two presses are never at the same moment."""
        return mk.at(self.clock) + timedelta(milliseconds=self.presses)

    def open(self, path: str) -> Page:
        with time_machine.travel(self.now(), tick=False):
            return Page(self.client.get(path), path)

    def send(self, path: str, data: dict[str, Any]) -> Page:
        """Send a form and follow where it leads, as a browser does."""
        self.presses += 1
        with time_machine.travel(self.now(), tick=False):
            answer = self.client.post(path.partition("#")[0], data)
            while answer.status_code in {301, 302, 303}:
                path = answer["Location"]
                answer = self.client.get(path.partition("#")[0])
            return Page(answer, path)

    def press(self, page: Page, name: str, /, **typed: Any) -> Page:
        """Press the button with this accessible name; ``typed`` replaces what its fields hold."""
        found = [b for b in page.buttons() if b.name() == name]
        assert found, f"no button “{name}”: there are {page.names()}"
        form = page.form_of(found[0])
        assert form is not None
        path = form.attrs.get("action") or page.path.partition("#")[0]
        if form.attrs.get("method", "get") != "post":
            query = "&".join(f"{k}={v}" for k, values in page.filled(found[0]).items() for v in values)
            return self.open(f"{path.partition('?')[0]}?{query}")
        return self.send(path, page.filled(found[0]) | typed)

    def follow(self, page: Page, name: str) -> Page:
        """Follow the link with this accessible name."""
        links = page.links()
        assert name in links, f"no link “{name}”: there are {list(links)}"
        href = links[name]
        if href.startswith("?"):
            href = page.path.partition("?")[0].partition("#")[0] + href
        return self.open(href.partition("#")[0])
