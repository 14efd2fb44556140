"""The ledger: what was read, found, decided, ordered, cut and on hand, from week to week, in one SQLite file."""
