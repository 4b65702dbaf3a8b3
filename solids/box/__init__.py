"""A whole box: its layout made into solids, proved, and put together in some order."""
