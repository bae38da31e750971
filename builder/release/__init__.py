"""What is done with whole handbooks: released, compared, handed to an auditor."""
