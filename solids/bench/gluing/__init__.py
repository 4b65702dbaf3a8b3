"""The glue-up of a piece: what is glued with how much, in how many goes, and where the clamps press."""
