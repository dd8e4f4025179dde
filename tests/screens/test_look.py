"""The look's colors measured, both schemes.

Formula: WCAG 2.2, definitions of relative luminance and contrast ratio.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

STATIC = Path(__file__).resolve().parents[2] / "roomops" / "screens" / "static"
CSS = (STATIC / "look.css").read_text(encoding="utf-8")
GROUNDS = ("lid", "warm", "cool", "panel")
TEXT = [(ink, ground) for ink in ("ink", "ink-2") for ground in GROUNDS]
TEXT += [(f"{name}-ink", f"{name}-soft") for name in ("heat", "cold", "uv", "leaf", "alarm", "sun")]
TEXT += [(f"{name}-ink", "panel") for name in ("heat", "cold", "uv", "leaf", "alarm")]
TEXT += [("alarm-ink", "lid"), ("alarm-ink", "warm"), ("lid", "alarm-ink"), ("floor-ink", "floor")]
TEXT += [("tape-ink", "tape"), ("act-ink", "act")]
EDGES = [("line", ground) for ground in GROUNDS] + [("focus", ground) for ground in GROUNDS]
EDGES += [("heat-ink", "warm"), ("leaf-ink", "warm"), ("alarm-ink", "cool"), ("ink", "leaf-soft")]


def scheme(start: str) -> dict[str, str]:
    """Tokens of the block that begins with ``start``."""
    block = CSS[CSS.index(start) :]
    block = block[: block.index("}")]
    return dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6})", block))


LIGHT, DARK, BY_DEVICE = (
    scheme(start) for start in (":root {", ":root[data-lamps=off] {", ":root:not([data-lamps=on]) {")
)


def luminance(color: str) -> float:
    shares = [int(color[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [s / 12.92 if s <= 0.04045 else ((s + 0.055) / 1.055) ** 2.4 for s in shares]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_the_formula_gives_the_published_ends_of_its_scale() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21)  # WCAG 2.2: ratios range from 1 to 21
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.01)  # the known gray just short of 4.5


@pytest.mark.parametrize("tokens", [LIGHT, DARK], ids=["lamps on", "lamps off"])
@pytest.mark.parametrize(("ink", "ground"), TEXT)
def test_text_on_its_ground_has_seven_to_one(tokens: dict[str, str], ink: str, ground: str) -> None:
    assert contrast(tokens[ink], tokens[ground]) >= 7


@pytest.mark.parametrize("tokens", [LIGHT, DARK], ids=["lamps on", "lamps off"])
@pytest.mark.parametrize(("edge", "ground"), EDGES)
def test_edges_have_three_to_one(tokens: dict[str, str], edge: str, ground: str) -> None:
    assert contrast(tokens[edge], tokens[ground]) >= 3


def test_the_device_and_the_button_give_the_same_dark_page() -> None:
    assert BY_DEVICE == DARK
    assert set(DARK) == set(LIGHT)


def test_every_sign_that_a_template_names_is_drawn() -> None:
    drawn = set(re.findall(r'<symbol id="([\w-]+)"', (STATIC / "glyphs.svg").read_text(encoding="utf-8")))
    top = STATIC.parents[2]
    used: set[str] = set()
    for path in (top / "templates").rglob("*.html"):
        used |= set(re.findall(r'{% glyph "([\w-]+)"', path.read_text(encoding="utf-8")))
    assert used
    assert used <= drawn
