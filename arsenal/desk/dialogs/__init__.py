"""Dialogs that several rooms open. Each has one function that shows it over a window and calls back when kept."""
