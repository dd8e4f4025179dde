"""Background work and management commands: the doors that open without a browser."""
