"""STEP: ISO 10303-242 (AP242), clear text of ISO 10303-21, millimetres.

One assembly with named parts, each with its colour, its wood as material with density, its faces by name, its reference
edge in a colour of its own, and its geometric validation properties (volume, area, centroid), with which a CAD program
can check its own import.

What is done here because of something that Open CASCADE was seen to write says so in a comment.
"""

from __future__ import annotations

from solids.write.formats.part21 import encoded
from solids.write.formats.step.parts import Head, Product
from solids.write.formats.step.reading import reread
from solids.write.formats.step.writing import step_bytes

__all__ = ["Head", "Product", "encoded", "reread", "step_bytes"]
