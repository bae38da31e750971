"""Published facts shipped with the builder: one table a source and edition, each with its citation."""
