"""Marks between words: what ends a sentence, what parts, what joins, and what says nothing."""

from __future__ import annotations

import re
import unicodedata

from service.talk.chat.tokens import TextPiece


def mark_at(text: str, place: int) -> TextPiece:
    """The mark that stands here, as what it does between words."""
    mark, end = text[place], place + 1
    if mark in ".!?;\n":
        inside = mark == "." and end < len(text) and not text[end].isspace()
        return TextPiece("OTHER" if inside else "STOP", mark, place, end)
    parts = mark == "|" or (mark == "/" and text[place - 1 : place] == " " and text[end : end + 1] in (" ", "\n"))
    if mark == "/" and place and text[place - 1].isalpha() and text[end : end + 1].isalpha():
        return TextPiece("AND", mark, place, end)
    if mark in ",()" or parts:
        return TextPiece("COMMA", mark, place, end)
    if mark == "@":
        return TextPiece("DROPPED", mark, place, end)
    if mark in "&+":
        return TextPiece("AND", mark, place, end)
    if mark == "-" and re.match(r"- (?:\d|[^\W\d_])", text[place : place + 3]):
        return TextPiece("DASH", mark, place, end)
    if mark == "-" and text[end : end + 1].isalpha() and place and text[place - 1].isalnum():
        return TextPiece("DROPPED", mark, place, end)
    harmless = mark in " :=~≈\"'*•_|#" or unicodedata.category(mark) in ("So", "Sk", "Mn", "Cf", "Zs", "Pi", "Pf")
    return TextPiece("DROPPED" if harmless and mark not in "#|_" else "OTHER", mark, place, end)
