"""The log book: piles, readings, work done, advice given and what became of it, kept in SQLite or PostgreSQL.

Nothing here is imported before a route or command of the log book is first used.
"""
