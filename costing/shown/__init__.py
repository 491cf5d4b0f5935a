"""How is it shown? The faces in the terminal and in JSON, a module for each subject."""
