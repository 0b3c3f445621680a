"""Where the words of a drawing stand: their sizes, and the places where they cover nothing."""
