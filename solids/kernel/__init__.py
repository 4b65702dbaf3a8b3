"""The few Open CASCADE operations that the rest needs, in plain names. Points and numbers in mm.

`solid` builds, reads and intersects plane-faced solids, `shaping` cuts, joins and chamfers them, `drawing` projects
their edges.
"""

from solids.kernel.drawing import Projection, Segment, project
from solids.kernel.solid import (
    Face,
    Loop,
    Measure,
    Mesh,
    Point,
    Solid,
    Topology,
    bounds,
    common,
    faces_of,
    is_valid,
    measure,
    mesh,
    mesh_by_face,
    moved,
    newell_normal,
    quiet,
    solid_from_faces,
    topology,
    volume_of,
)

__all__ = [
    "Face",
    "Loop",
    "Measure",
    "Mesh",
    "Point",
    "Projection",
    "Segment",
    "Solid",
    "Topology",
    "bounds",
    "common",
    "faces_of",
    "is_valid",
    "measure",
    "mesh",
    "mesh_by_face",
    "moved",
    "newell_normal",
    "project",
    "quiet",
    "solid_from_faces",
    "topology",
    "volume_of",
]
