"""Tests of many joints in one run."""
