"""The user interface: commands, the bench, batch runs and terminal output."""
