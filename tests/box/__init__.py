"""Tests of whole boxes."""
