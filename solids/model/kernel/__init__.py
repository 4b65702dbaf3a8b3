"""The few Open CASCADE operations that the rest needs, in plain names. Points and numbers in mm.

`solid` builds, reads and intersects plane-faced solids, `shaping` cuts, joins and chamfers them, `drawing` projects
their edges.
"""

from solids.base.geometry import Point
from solids.base.polygons import Face, Loop, newell_normal
from solids.model.kernel.drawing import Projection, Segment, project
from solids.model.kernel.solid import (
    Measure,
    Mesh,
    Solid,
    Topology,
    are_valid,
    bounds,
    common,
    faces_of,
    is_valid,
    measure,
    mesh,
    mesh_by_face,
    moved,
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
    "are_valid",
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
