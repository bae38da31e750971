"""Pure formulas, quantities in and quantities out, one module a topic; ``registry.TOPICS`` lists them."""
