"""One joint: its edges, exact areas and volumes, the reasons it cannot be cut, and the faces that should meet."""
