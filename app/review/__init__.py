"""One function for each question: asks the store, calls statistics, returns frozen records."""
