"""The rules that fill in what the recipe of a corner leaves out."""
