"""The command ``beadcheck``, a module per subcommand."""
