"""The cautions: every danger that the notes must carry is there, in words short enough to be read at the machine."""

from __future__ import annotations

import re

import pytest

from solids.base.cautions import BY_HAND, CAUTIONS, Caution

DANGERS = {
    "edge tools": r"sharp.*Clamp the work.*never the other hand in front.*first aid.*Watch pupils",
    "router and cnc": r"stop button.*Never leave a running machine.*Cut the power before you touch",
    "cutter speed": r"faster than the top speed.*Feed against the turn.*climb cut",
    "scorching and fire": r"scorches.*catch fire.*Stop if you smell burning",
    "dust": r"can cause cancer.*mask",  # IARC Monographs vol. 62 (1995), Group 1
    "noise": r"ear protection",
    "eyes": r"eye protection",
    "woods that irritate": r"Red cedar.*walnut.*inflame skin, eyes and lungs.*see a doctor",
    "oily rags": r"heats up by itself.*catch fire.*flat outdoors, or drown",
    "magnets": r"out of the reach of children.*Two that are swallowed can kill.*hospital at once",
    "clamps": r"clamp",
    "glue": r"glue's own sheet first.*irritate skin and lungs.*scalds",
    "printed aids are not guards": r"will not stop a blade",
    "manuals come first": r"do as they say",
    "rules and help": r"safety rules of the place.*someone who is trained",
}


@pytest.mark.parametrize(("topic", "words"), DANGERS.items())
def test_every_danger_has_a_caution_that_says_what_to_do(topic: str, words: str) -> None:
    (found,) = (caution for caution in CAUTIONS if caution.topic.lower() == topic)
    assert re.search(words, found.text)


def test_there_is_no_caution_that_this_list_forgets() -> None:
    assert {caution.topic.lower() for caution in CAUTIONS} == set(DANGERS)


@pytest.mark.parametrize("caution", CAUTIONS, ids=lambda caution: caution.topic)
def test_sentences_are_short_enough_to_be_read_at_the_machine(caution: Caution) -> None:
    sentences = re.split(r"(?<=\.)\s+", caution.text)
    assert all(sentence.endswith(".") for sentence in sentences)
    assert max(len(sentence.split()) for sentence in sentences) <= 20


def test_what_the_manual_says_comes_before_what_we_say() -> None:
    assert CAUTIONS[0].topic == "Manuals come first"


def test_work_by_hand_leads_with_edge_tools_and_leaves_none_out() -> None:
    assert BY_HAND[0].topic == "Edge tools"
    assert [caution for caution in BY_HAND if caution.topic != "Edge tools"] == [
        caution for caution in CAUTIONS if caution.topic != "Edge tools"
    ]
    assert len(BY_HAND) == len(CAUTIONS)


def test_no_caution_promises_safety() -> None:
    promise = re.compile(r"\b(is|are) (?:now )?safe\b|guarantee|cannot hurt|no risk", re.IGNORECASE)
    assert not [caution.topic for caution in CAUTIONS if promise.search(caution.text)]
