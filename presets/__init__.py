"""The recipes that ship with the tool: one TOML file each, read by name with `solids.recipe`."""
