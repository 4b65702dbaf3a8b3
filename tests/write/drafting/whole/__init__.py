"""Drawings of whole boxes."""
