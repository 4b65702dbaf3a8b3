"""What other programs read: STEP, STL, 3MF, GLB, and a picture."""
