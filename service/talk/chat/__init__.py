"""Plain words about a heap, read by a small grammar into a status, and answered in plain words."""

from typing import TYPE_CHECKING

from service.operation.loading import loaded_when_used

if TYPE_CHECKING:
    from service.talk.chat import advising as advising
    from service.talk.chat import alarm as alarm
    from service.talk.chat import asides as asides
    from service.talk.chat import clause as clause
    from service.talk.chat import clauses as clauses
    from service.talk.chat import commands as commands
    from service.talk.chat import conversations as conversations
    from service.talk.chat import corrections as corrections
    from service.talk.chat import danger as danger
    from service.talk.chat import days as days
    from service.talk.chat import doubt as doubt
    from service.talk.chat import draft as draft
    from service.talk.chat import grammar as grammar
    from service.talk.chat import hearing as hearing
    from service.talk.chat import islands as islands
    from service.talk.chat import lexer as lexer
    from service.talk.chat import lexicon as lexicon
    from service.talk.chat import lone_numbers as lone_numbers
    from service.talk.chat import meaning_heap as meaning_heap
    from service.talk.chat import meaning_heat as meaning_heat
    from service.talk.chat import meaning_make as meaning_make
    from service.talk.chat import meaning_work as meaning_work
    from service.talk.chat import measures as measures
    from service.talk.chat import numbers as numbers
    from service.talk.chat import open_alarms as open_alarms
    from service.talk.chat import plain_text as plain_text
    from service.talk.chat import questions as questions
    from service.talk.chat import reading as reading
    from service.talk.chat import saying as saying
    from service.talk.chat import talk as talk
    from service.talk.chat import tokens as tokens
    from service.talk.chat import typos as typos
else:
    __getattr__ = loaded_when_used(__name__)
