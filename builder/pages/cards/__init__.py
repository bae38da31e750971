"""Card blocks: each composer turns program and ledger into plain data."""
