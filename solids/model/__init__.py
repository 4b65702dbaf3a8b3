"""Exact solids of boards and boxes: the one door to Open CASCADE, and Manifold beside it."""
