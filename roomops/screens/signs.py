"""What somebody may see that is wrong, and what to do first: before any word is typed.

Common practice, no source. From memory: burned skin under cool running water, 20 minutes (NHS), at least 10
(American Red Cross); a body cooled and not frozen, since freezing spoils an examination.
A vet and local rules come first, and the page says so.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Sign:
    """One thing to press. ``about`` says what it can be seen on: 'animal', 'tank', 'person', 'any'."""

    key: str
    words: str
    first: str  # heading of what to do
    steps: tuple[str, ...]
    call: bool = False  # the vet today


OWN_TUB = "Into a bare warm tub of its own, paper towel, lid off the heat, in sight."
SIGNS = (
    Sign(
        key="bleeding",
        words="Bleeding or nipped",
        first="First, for a wound",
        steps=(
            "Apart from the others now.",
            OWN_TUB,
            "Press clean gauze on it until it stops; nothing else on the wound.",
            "It does not stop, or it is deep: the vet now.",
        ),
        call=True,
    ),
    Sign(
        key="limp",
        words="Limp or swollen",
        first="First, for a limp",
        steps=(OWN_TUB, "No climbing, no feeding, no splint.", "Read the basking side of its tank."),
        call=True,
    ),
    Sign(
        key="breath",
        words="Mouth open, bubbles",
        first="First, for its breath",
        steps=(
            "Read the basking and the cool side: gaping under the lamp alone is cooling.",
            "Away from the lamp with bubbles or a click: into a tub of its own, warm, quiet.",
            "No feeding, no bath.",
        ),
        call=True,
    ),
    Sign(
        key="eyes",
        words="Eyes shut or sunken",
        first="First, for its eyes",
        steps=(
            "Look for shed or grit; do not rub, do not pull.",
            "Read both sides, and how far away the UV lamp is.",
            "Offer water by drops on the nose.",
        ),
        call=True,
    ),
    Sign(
        key="still",
        words="Not moving",
        first="First, if it does not move",
        steps=(
            "Watch its side for a full minute: does it breathe?",
            "Read both sides of its tank.",
            "Too hot: lamp off at the switch, animal to the cool side; no cold water, no ice.",
            "Cold: warm it slowly, never under a lamp.",
        ),
        call=True,
    ),
    Sign(
        key="dead",
        words="Dead",
        first="First, for a dead one",
        steps=(
            "Look at everybody else in the tank, count them, read both sides.",
            "Gloves. The body in a labeled bag, cooled, not frozen, never beside food.",
            "Its tankmates on watch; this tank last in the round; wash and change after it.",
            "The vet says whether it is examined.",
        ),
    ),
    Sign(
        key="lost",
        words="Can’t find it",
        first="First, for a head short",
        steps=(
            "Doors shut, nobody moves a foot without looking.",
            "Search warm, low, dark: under the lamp, the hides, drains, behind the rack.",
            "Count this tank and the ones beside it again.",
            "Tell everybody on shift; lid found open: say which and when.",
        ),
    ),
    Sign(
        key="shed",
        words="Loose skin on toe or tail",
        first="First, for stuck skin",
        steps=(
            "Do not pull.",
            "A damp hide or damp paper towel, warm, for some hours.",
            "Toe or tail dark or swollen: the vet.",
        ),
    ),
    Sign(
        key="droppings",
        words="Runny or bloody droppings",
        first="First, for droppings",
        steps=(
            "Gloves. Keep some in a sealed, labeled cup, cool, for the vet.",
            "Onto paper towel; fresh water.",
            "This tank last, with its own tools; wash hands after.",
        ),
    ),
    Sign(
        key="mites",
        words="Mites",
        first="First, for mites",
        steps=(
            "Nothing leaves this tank: its own tools, last in the round, wash and change after.",
            "Look at the tanks beside it, under the chin and around the eyes.",
            "No spray before the vet has said which: some kill reptiles.",
        ),
    ),
    Sign(
        key="heat",
        words="Tank too hot or cold",
        first="First, for the heat",
        steps=(
            "Read both sides now.",
            "Too hot: lamp off at the switch, animals into warm tubs in sight; the lamp still burns hands.",
            "Too cold: is the bulb lit, has the rock or the lamp moved?",
            "Read again 30 min after any change; no feed while the basking side is low.",
        ),
    ),
    Sign(
        key="lamp",
        words="Lamp blown",
        first="First, for a lamp",
        steps=(
            "Switch off, pull the plug with dry hands, let it cool before you touch it.",
            "Animals out before glass is moved.",
            "The same watts and the same distance; read the basking side an hour after.",
        ),
    ),
    Sign(
        key="person",
        words="Bitten or burned person",
        first="First, for a person",
        steps=(
            "Shock or fire: switch off first, do not touch; then 911.",
            "Burn: cool running water, 20 minutes; no ice, no ointment.",
            "Bite or scratch: soap and running water, then cover it.",
            "Deep, on the face or a hand, or still bleeding: a doctor today.",
        ),
    ),
    Sign(
        key="other",
        words="Something else",
        first="First",
        steps=(
            "Read both sides of its tank.",
            "Apart from the others, if in doubt.",
            "Say it in your words.",
        ),
    ),
)
BY_KEY = {sign.key: sign for sign in SIGNS}
