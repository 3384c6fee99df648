"""A sentence read by its parts, whatever their order: what cannot be read whole is put in the grammar's order."""
