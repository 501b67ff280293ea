"""When tests are due and what became of them: rules, readings and now in; states out."""
