"""The recipes of a folder: their files, the states that are kept of them, and their small pictures."""
