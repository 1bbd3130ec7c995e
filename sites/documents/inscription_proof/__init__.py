"""The inscription proof: a plaque's words at true size, to be read before they are engraved."""
