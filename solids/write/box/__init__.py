"""The files of a whole box."""
