"""The commands themselves."""
