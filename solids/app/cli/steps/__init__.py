"""What the commands share: loading, proving, showing, writing, and how a run ends."""
