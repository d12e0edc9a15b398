"""The camera that a photo was taken with."""
