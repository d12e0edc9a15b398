"""The printed target: its design, its drawing, and finding it in a photo."""
