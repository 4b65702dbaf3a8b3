"""The cautions that stand in every note, sheet and aid. No option leaves them out.

They name the usual dangers of the bench and the router and defer to manuals, local rules and trained people. That wood
dust can cause cancer: IARC Monographs vol. 62 (1995) and 100C, Group 1.
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
    Caution("Edge tools", "Saws, knives and chisels are sharp. Keep both hands behind the edge. Clamp the work."),
    Caution("Clamps", "A board that comes loose can hurt you. Check each clamp, and check that no cut can meet one."),
    Caution("Eyes", "Wear eye protection that is made for the work."),
    Caution("Noise", "Routers and saws are loud enough to harm your hearing. Wear ear protection."),
    Caution("Dust", "Wood dust harms the lungs and can cause cancer. Use dust extraction, and a mask that fits."),
    Caution(
        "Printed aids are not guards",
        "A printed jig or guide only shows where to cut. It will not stop a blade or a cutter. Throw it away if it "
        "is cracked or bent.",
    ),
)

MILLING = ("Router and CNC", "Cutter speed", "Scorching and fire", "Clamps", "Eyes", "Noise", "Dust")
"""The topics that matter wherever something is milled."""

IN_SHORT = (
    "Sharp tools, machines and dust can hurt you. Manuals, local rules and trained people come first. Read the "
    "cautions on the setup sheet."
)
"""For a page that has no room for all cautions: it sends the reader to one that has."""

FAILS = "THIS JOINT FAILS ITS PROOF. DO NOT CUT IT."
