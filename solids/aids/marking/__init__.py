"""Aids to mark with: the template, and the rest that holds a tail board over its pin board."""
