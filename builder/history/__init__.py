"""What was released before: editions read back from their folders, and how two of them differ."""
