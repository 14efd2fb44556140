"""What a ledger tells: tables for people and tidy tables for other programs, from questions to the ledger alone."""
