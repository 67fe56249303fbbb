"""Small parts every room is made of: plain text, keys, sentence words, number fields, lists, dialogs, painters."""
