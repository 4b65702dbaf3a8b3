"""The proof of one joint: where its faces meet, how it goes together, and what holds it."""
