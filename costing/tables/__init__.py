"""What is each figure? A folder for each subject, a module for each table: its given and its worked columns."""
