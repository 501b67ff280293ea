"""Arrays and plain times in, frozen results out: no Qt, no SQL, no clock of its own."""
