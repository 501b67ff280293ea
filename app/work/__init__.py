"""One function for each thing a person does: plain values in, one transaction, done or not."""
