"""Guides that hold a saw at the angle of a flank."""
