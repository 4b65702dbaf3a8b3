"""Batch runs: many joints, from a table or a folder of recipes, made by local processes or by a cluster."""
