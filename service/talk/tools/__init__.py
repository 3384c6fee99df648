"""Tools for language-model clients, over the Model Context Protocol."""
