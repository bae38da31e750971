"""The rules; each module has one ``rule(program, ledger)``."""
