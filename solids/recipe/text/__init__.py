"""Recipes as TOML: read, begun, frozen."""
