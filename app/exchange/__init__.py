"""Files in and out, as rows and problems."""
