"""The two toes as continuous lines."""
