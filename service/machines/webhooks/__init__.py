"""Messages sent to addresses that users name, signed as the Standard Webhooks specification says."""
