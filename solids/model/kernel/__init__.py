"""The few Open CASCADE operations that the rest needs, in plain names. Points and numbers in mm.

`solid` builds and reads plane-faced solids, `shaping` intersects, cuts, joins and chamfers them, `rounding` makes what
is round, `meshing` makes triangles of them, `drawing` projects their edges.
"""

from solids.base.geometry import Point
from solids.base.polygons import Face, Loop, newell_normal
from solids.model.kernel.drawing import Projection, outlines_of, project, project_apart
from solids.model.kernel.meshing import Mesh, Patch, facets_of, mesh, mesh_by_face, patches_of, slack_of
from solids.model.kernel.shaping import common
from solids.model.kernel.solid import (
    Measure,
    Solid,
    Topology,
    are_valid,
    bounds,
    faces_of,
    is_valid,
    measure,
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
    "Patch",
    "Point",
    "Projection",
    "Solid",
    "Topology",
    "are_valid",
    "bounds",
    "common",
    "faces_of",
    "facets_of",
    "is_valid",
    "measure",
    "mesh",
    "mesh_by_face",
    "moved",
    "newell_normal",
    "outlines_of",
    "patches_of",
    "project",
    "project_apart",
    "quiet",
    "slack_of",
    "solid_from_faces",
    "topology",
    "volume_of",
]
