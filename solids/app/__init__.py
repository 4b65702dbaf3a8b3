"""The user interface: commands, batch runs, terminal output, and the live page that follows a recipe."""
