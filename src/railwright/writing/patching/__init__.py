"""Flagged copies of workbooks: patch the few parts that must change, copy every other one byte for byte."""
