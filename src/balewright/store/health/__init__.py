"""What can be wrong with what is kept, looked at one thing at a time. Nothing is changed here."""
