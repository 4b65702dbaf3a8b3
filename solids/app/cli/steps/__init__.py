"""Steps that commands share: loading, proving, showing, writing, and ending a run."""
