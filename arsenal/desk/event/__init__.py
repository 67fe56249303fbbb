"""The Event room: which balls at which finishes go to an event, what work that means, and the lanes themselves."""
