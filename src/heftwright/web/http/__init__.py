"""Between HTTP and values: reading what was typed, answering refusals."""
