"""Cauls that press on tails or pins alone, and the pad for the edge."""
