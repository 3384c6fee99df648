"""Planning questions and their answers: what comes in and what goes out."""
