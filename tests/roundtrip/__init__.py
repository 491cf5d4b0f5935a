"""Records into workbooks and back: nothing is lost on the way, and nothing is made up."""
