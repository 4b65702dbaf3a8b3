"""Drawings of a whole piece, made of its solids and dimensioned from its layout: plan and elevations, sections, each
board, and how the parts go together."""
