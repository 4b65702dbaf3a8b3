"""One joint: where every edge falls, exact areas and volumes, what cannot be cut, and which faces should meet."""
