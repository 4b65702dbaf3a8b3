"""The records of a report, as models."""
