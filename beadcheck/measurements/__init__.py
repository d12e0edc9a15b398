"""From toes and ripples to quantities, a module per family."""
