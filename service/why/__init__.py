"""The parts of an explanation: what each rule met, what would change the first action, what assumptions do to it."""
