"""The rules that fill in what a recipe leaves out, for a corner and for the four corners of a box."""
