"""What a season of a pile came to, from its log book: heat given, work done, how forecasts and advice turned out."""
