"""Every number that reaches a reader: computed, rounded toward safety, and traceable."""
