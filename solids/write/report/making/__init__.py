"""How a report's records are made."""
