"""Halfpin: exact solids of hand-cut dovetailed corners."""

__version__ = "0.1.0"
