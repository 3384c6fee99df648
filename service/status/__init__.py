"""The shapes of what goes in and what comes out, checked by pydantic."""
