"""Plain words in, plain words out: the chat, and tools for language-model clients."""
