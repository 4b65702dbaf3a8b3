"""A set of files on its way to the disk: whole, or not at all."""
