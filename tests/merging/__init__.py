"""Laws of documents for many sizes and setups."""
