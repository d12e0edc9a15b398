"""One weld from several photos, shown as one: unrolled picture, plots, table."""
