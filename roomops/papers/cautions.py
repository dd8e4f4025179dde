"""The usual cautions of the work on each sheet, in our own words.

From memory of what public health, fire services and manufacturers print (hands after reptiles: Salmonella;
heat lamps; mains and water; disinfectants). A vet and local rules come first: every page says so.
"""

from __future__ import annotations

from roomops.papers.view import Saying

LETTERS = (
    "R refused · W something is wrong · N not here: say S gone home, M moved, I isolated, V at vet, D dead, "
    "? can’t find. 0 +3 all eaten and 3 more. Empty box: not counted."
)

TRAYS = (
    Saying(
        lead="Cups before animals.", text="No feed while a tank’s basking side is low. Nobody stays in a tub."
    ),
    Saying(
        lead="Closed tubs overheat:",
        text="never in sun, never under a lamp, never on a warm lid, never out of sight.",
    ),
    Saying(
        lead="Live insects",
        text="never stay behind with an animal that does not eat: take them out and count them.",
    ),
)

HANDS = Saying(
    lead="Hands:",
    text="soap and water after every animal, tub, dish and droppings (Salmonella). No food or drink here.",
)

FEEDS = (
    Saying(
        lead="Live prey",
        text="is watched until it is eaten and taken out if it is not: it bites. Write what came out.",
    ),
)

RODENTS = (
    Saying(
        lead="Rodents",
        text="are thawed through in their own fridge, warmed in water, never in a microwave, offered with "
        "tongs. Never a live one. What is left goes out, and never back into the freezer.",
    ),
)

GREENS = (
    Saying(
        lead="Greens", text="chopped fine, in separate piles, washed; what is left goes out before it wilts."
    ),
)

OUT_OF_BAND = (
    Saying(
        lead="Basking low:",
        text="bulb lit? probe on the rock? rock or lamp moved? Read again 30 min after. No feed until it is "
        "warm. Night low: off the min/max probe, then reset it.",
    ),
)

LAMPS = Saying(
    lead="Lamps",
    text="burn hands and start fires: off and cool before touching; plugs and hands dry; nothing on or "
    "against a lamp; no look into a UV lamp.",
)

HEAD_SHORT = (
    Saying(
        lead="A head short?",
        text="Stop. Search warm, low, dark, drains, behind the rack. Count the neighbors. Close the doors. "
        "Tell everybody on shift. Lid found open: tank ____________ time ________",
    ),
)

CLOSING = (
    Saying(
        lead="Before you go:", text="nobody in a tub; every lid locked; day and UV lamps off; night heat on."
    ),
    HANDS,
)

QUARANTINE_ORDER = (
    "Nobody goes from here to the other animals without washing and changing.",
    "If one person must do both: these last in each feed, and fed on time all the same.",
    "Lot in and lot out together. An animal that joins starts the days again.",
    "Disinfectant as its label says: strength, time, rinsed and dry before an animal is near. Never mix two.",
)
QUARANTINE_THINGS = (
    "pen",
    "thermometer",
    "tray and tubs",
    "tongs",
    "gown and gloves",
    "tablet or this paper",
)
