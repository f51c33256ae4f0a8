"""What the coach touches: the command line and its reports."""
