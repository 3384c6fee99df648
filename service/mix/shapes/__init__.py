"""Questions about a mix and their answers: what comes in and what goes out."""
