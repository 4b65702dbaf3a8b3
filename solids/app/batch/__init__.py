"""Many joints in one run: a table or a folder of recipes, worked off by processes here or by a cluster."""
