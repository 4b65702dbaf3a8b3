"""Aids for a router: the comb for a guide bush, and the cradle that holds a board upright."""
