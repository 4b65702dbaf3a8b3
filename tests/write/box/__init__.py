"""Tests of the files of a box."""
