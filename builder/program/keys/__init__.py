"""The one home of the keys of figures: their forms make, read, complete and document them."""
