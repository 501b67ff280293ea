"""The Hand-over page: the card for a carer or a school, and their paper sheet when it is back."""
