"""The result for people: an annotated picture, tables, and a folder of files."""
