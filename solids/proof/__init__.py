"""Solids measured against the layout: overlap, contacts, the way in, what holds, the order of assembly."""
