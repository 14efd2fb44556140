"""Workbook in, survey out: the bounded door to the file, the spelling of readings, and the record built from them."""
