"""The cautions that stand in every note, sheet and aid. No option leaves them out.

They name the usual dangers of the bench and the router and defer to manuals, local rules and trained people.

- Wood dust can cause cancer: IARC Monographs vol. 62 (1995) and 100C, Group 1.
- Woods that irritate: the chart of woods toxic to man in American Woodturner, June 1990, read in copies; it draws on
  Woods and Calnan, "Toxic Woods", British Journal of Dermatology 1976, and the ILO Encyclopaedia of Occupational Health
  and Safety 1983. "Toxic woods", HSE Woodworking Sheet No 30, says the same of dust, sap and sensitised skin.
- Resin and polyurethane glues irritate skin and lungs: makers' safety sheets, from memory.
- Rags with drying oil heat up by themselves; swallowed magnets pull together through the gut: common knowledge of fire
  services and hospitals, from memory.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Caution:
    """One danger: its topic in a few words, and what to do, in short sentences."""

    topic: str
    text: str


CAUTIONS: tuple[Caution, ...] = (
    Caution(
        "Manuals come first",
        "This page does not replace the manual of your machine, your cutter or your glue. Where they say otherwise, "
        "do as they say.",
    ),
    Caution(
        "Rules and help",
        "Keep to the safety rules of the place where you work. If you are in doubt, ask someone who is trained.",
    ),
    Caution(
        "Router and CNC",
        "A cutter can grab the work, break, and throw parts. Keep hands, hair and sleeves away. Keep the stop button "
        "in reach. Never leave a running machine. Cut the power before you touch the cutter or the work.",
    ),
    Caution(
        "Cutter speed",
        "Never turn a cutter faster than the top speed that its maker gives. Feed against the turn of the cutter. A "
        "climb cut, with the turn, can tear the router or the work out of your hands.",
    ),
    Caution(
        "Scorching and fire",
        "A blunt cutter, or one fed too slowly, scorches the wood. Hot dust can smoulder and catch fire hours later. "
        "Stop if you smell burning. Empty the dust bag when you stop work.",
    ),
    Caution(
        "Edge tools",
        "Saws, knives and chisels are sharp. Clamp the work. Keep both hands behind the edge, and never the other hand "
        "in front of it. Have first aid at hand. Watch pupils all the time.",
    ),
    Caution("Clamps", "A board that comes loose can hurt you. Check each clamp, and check that no cut can meet one."),
    Caution("Eyes", "Wear eye protection that is made for the work."),
    Caution("Noise", "Routers and saws are loud enough to harm your hearing. Wear ear protection."),
    Caution("Dust", "Wood dust harms the lungs and can cause cancer. Use dust extraction, and a mask that fits."),
    Caution(
        "Woods that irritate",
        "Red cedar, teak, walnut, mahogany, beech, birch and oak can inflame skin, eyes and lungs. Rosewood, ebony, "
        "iroko and yew can do worse. Stop if you react, and see a doctor.",
    ),
    Caution(
        "Oily rags",
        "A rag with drying oil heats up by itself and can catch fire. Dry it flat outdoors, or drown it in water.",
    ),
    Caution(
        "Glue",
        "Read your glue's own sheet first. What it says of times, temperature, gloves and fresh air goes before this "
        "page. Resins and polyurethanes irritate skin and lungs. Hot glue scalds.",
    ),
    Caution(
        "Magnets",
        "Keep magnets out of the reach of children. Two that are swallowed can kill. Go to a hospital at once.",
    ),
    Caution(
        "Printed aids are not guards",
        "A printed jig or guide only shows where to cut. It will not stop a blade or a cutter. Throw it away if it "
        "is cracked or bent.",
    ),
)

MILLING = ("Router and CNC", "Cutter speed", "Scorching and fire", "Clamps", "Eyes", "Noise", "Dust")
"""The topics that matter wherever something is milled."""

BY_HAND: tuple[Caution, ...] = tuple(sorted(CAUTIONS, key=lambda caution: caution.topic != "Edge tools"))
"""All of them for work by hand: what cuts there comes first."""

SHARP = "Sharp tools, machines and dust can hurt you. Manuals, local rules and trained people come first."

IN_SHORT = f"{SHARP} Read the cautions on the setup sheet."
"""For a page that has no room for all cautions: it sends the reader to one that has."""

IN_A_BOOKLET = f"{SHARP} Read the cautions on the last pages."
"""The same in a booklet, which ends with them."""

BESIDE_A_NOTE = f"{SHARP} Read the cautions in the note beside this file."
"""The same where the note comes along, and no setup sheet."""

IN_A_LINE = (
    "Take care: sharp tools, machines and dust can hurt you; manuals, local rules and trained people come first. All "
    "cautions stand in the papers that `halfpin build` and `halfpin paper` write."
)
"""For a terminal, which is not taken to the bench."""

FAILS = "THIS JOINT FAILS ITS PROOF. DO NOT CUT IT."

SAWING: tuple[Caution, ...] = (
    Caution(
        "Sawing up boards",
        "A board that closes on the blade is thrown back. Use the guard, the riving knife and push sticks, and stand "
        "aside of the blade. Rip only a straight edge along a fence, and never crosscut freehand. Look for nails, grit "
        "and loose knots first. Hold long boards up at both ends, so that none pinches the saw as it drops.",
    ),
    Caution(
        "Planing machines",
        "Plane nothing shorter or thinner than the manual of the machine allows. Where pieces are too short, plane the "
        "board first, and saw it after.",
    ),
)
"""Besides all of them, where boards are sawn up. From memory, of what manuals of saw benches and planers say."""

LIDS = Caution(
    "Lids of chests",
    "A hinged lid that falls can crush fingers or a child's neck, and a child that hides inside must be able to get "
    "out. Fit a lid support that holds the lid wherever it is let go, and never a latch that locks by itself.",
)
"""Where a lid is hinged. Source: US Consumer Product Safety Commission, on the lids of chests: entrapment, falling
lids, lid supports, no latch."""
