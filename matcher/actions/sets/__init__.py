"""Several things from one bin: what they are, what each lot gives to which, and how sure all of them are at once."""
